"""nbval in a process of its own: what each kind of cell comes to, and that nothing outlives a batch."""

import os
import tempfile
import time
from pathlib import Path

import pytest

from suspedu.coursework.running import scratch
from suspedu.coursework.running.limits import Limits
from suspedu.coursework.running.runner import Job, Launcher, Step, run_batch

QUICK = Limits(cell_seconds=2.0)


def one(*steps, **options):
    return run_batch([Job("one", tuple(Step(str(n), *given) for n, given in enumerate(steps)))],
                     limits=options.pop("limits", QUICK), **options)["one"]


@pytest.fixture(scope="module")
def outcomes():
    """Several notebooks in one session, since a session costs a second to start."""
    jobs = {
        "plain": [("x = 3",), ("print(x)", "3\n"), ("print(x)", "4\n"), ("def f():\n    return 1 / 0",), ("f()",)],
        "stderr": [("import warnings; warnings.warn('odd'); print(5)", "5\n")],
        "markers": [("# NBVAL_SKIP\nx = 1",), ("# NBVAL_IGNORE_OUTPUT\nprint(x)", "2\n")],
        "dies": [("import os; os._exit(3)",), ("print(2)", "2\n")],
        "exits": [("x = 1\nexit()",), ("print(2)", "2\n")],  # this kernel lives on for a tenth of a second
        "sleeps": [("import time; time.sleep(60)",), ("print(2)", "2\n")],
        "floods": [("for _ in range(3000): print('x' * 1000, flush=True)",), ("print(2)", "2\n")],
        "talks": [("for _ in range(1300): print('x' * 1000, flush=True)",
                   ("x" * 1000 + "\n") * 1300), ("print(2)", "2\n")],
        "folder": [("import os; print(os.listdir('.'), 'PYTEST_CURRENT_TEST' in os.environ)",)],
        "orphan": [("import subprocess\nchild = subprocess.Popen(['sleep', '600']); print(child.pid)",)],
    }
    batch = [Job(name, tuple(Step(str(n), *given) for n, given in enumerate(steps))) for name, steps in jobs.items()]
    return run_batch(batch, limits=QUICK)


def lives(pid):
    """Whether a process runs; one that ended and waits for its parent does not."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


def faults(cells):
    return [cell.fault for cell in cells.values()]


def test_prints_are_compared_and_errors_found(outcomes):
    assert faults(outcomes["plain"]) == ["", "", "differs", "", "error"]
    assert [cell.passed for cell in outcomes["plain"].values()] == [True, True, False, True, False]
    error = outcomes["plain"]["4"].error
    assert error == {"name": "ZeroDivisionError", "words": "division by zero", "line": 2, "frames": 2}


def test_warning_beside_a_right_print_passes(outcomes):
    assert outcomes["stderr"]["0"].passed


def test_markers_in_comments_decide_nothing(outcomes):
    assert faults(outcomes["markers"]) == ["", "differs"]


def test_dead_kernel_is_noticed_at_once(outcomes):
    assert faults(outcomes["dies"]) == faults(outcomes["exits"]) == ["died", "dead"]


def test_cell_after_a_time_out_still_counts(outcomes):
    assert faults(outcomes["sleeps"]) == ["timeout", ""]
    assert outcomes["sleeps"]["1"].passed


def test_what_is_said_faster_than_it_is_read_is_not_lost(outcomes):
    """More messages than a publisher keeps by itself, fewer than a cell may send."""
    assert faults(outcomes["talks"]) == ["", ""]


def test_flood_is_bounded(outcomes):
    assert outcomes["floods"]["0"].fault in ("flood", "timeout")
    assert len(outcomes["floods"]["0"].printed) <= 2000
    assert not outcomes["floods"]["1"].passed


def test_kernel_starts_in_an_empty_folder_and_a_clean_environment(outcomes):
    assert outcomes["folder"]["0"].printed.endswith("False\n")
    assert ".ipynb'" not in outcomes["folder"]["0"].printed


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="looks for processes in /proc")
def test_nothing_outlives_a_batch(outcomes):
    assert lives(os.getpid())
    assert not lives(int(outcomes["orphan"]["0"].printed))


@pytest.mark.parametrize("long", [False, True])
def test_folders_of_a_batch_are_removed(monkeypatch, tmp_path, long):
    """Also where the temporary folder has a path too long for a socket: then the run has its folder elsewhere."""
    with tempfile.TemporaryDirectory(prefix="t", dir=scratch.SHORT) as short:
        monkeypatch.setattr(scratch, "SHORT", Path(short))
        own = tmp_path / ("far" * 40) if long else Path(short)
        own.mkdir(exist_ok=True)
        monkeypatch.setattr(tempfile, "tempdir", str(own))
        seen = []
        cells = one(("print(1)", "1\n"), on_record=lambda line: seen.append(sorted(line)))
        assert cells["0"].passed and list(own.iterdir()) == list(Path(short).iterdir()) == []
    assert [keys for keys in seen if "kernel" in keys] and [keys for keys in seen if keys == ["end"]]


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="looks for processes in /proc")
def test_batch_time_is_limited_and_its_kernels_end(monkeypatch):
    monkeypatch.setattr("suspedu.coursework.running.runner.START_ALLOWANCE", 4.0)
    kernels, began = [], time.monotonic()
    short = Limits(cell_seconds=90, notebook_seconds=1)
    cells = one(("print(1)", "1\n"), ("import time; time.sleep(100)",), limits=short,
                on_record=lambda line: kernels.append(line.get("kernel")))
    assert time.monotonic() - began < 60
    assert list(cells) in (["0"], [])
    patience = time.monotonic() + 10  # a busy machine takes its time over a process that was killed
    while any(lives(pid) for pid in kernels if pid) and time.monotonic() < patience:
        time.sleep(0.05)
    assert not any(lives(pid) for pid in kernels if pid)


def test_engine_that_cannot_start_says_so():
    with pytest.raises(RuntimeError, match="the marking engine did not start"):
        one(("print(1)",), launcher=Launcher(plugins=("no_such_module",)))
    cells = one(("print(1)",), launcher=Launcher(argv=("/bin/false", "{connection_file}")))
    assert faults(cells) in (["dead"], [])
