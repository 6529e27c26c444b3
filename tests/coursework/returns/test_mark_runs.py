"""Marking as a run: every row of numbers, other methods, the limited mode, stops at any moment, a cluster."""

import json
import random
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import make_returns
import psutil
import pytest
from make_returns import ALONE, FULL, RATE

from suspedu.coursework.desk import desk
from suspedu.coursework.exercise import expected
from suspedu.coursework.running import sandbox
from suspedu.units import InputError

pytestmark = pytest.mark.timeout(900)
RUN = "import sys; from suspedu.cli import main; sys.exit(main(['mark', *sys.argv[1:]]))"
OTHER = ("import numpy as np\narea = np.float64(wire * 1e-3) ** 2\nk = 79.3e9 / (turns * (2 * 0.0165) ** 3)\n"
         "rate = float(f'{k * area:.6g}') * area / 8")


def answer_all(place, returns, numbers, answers):
    """Returns of some students, all answered alike or as `answers(student)` says."""
    for number in numbers:
        folder = returns / number
        folder.mkdir(parents=True)
        copy = (place.handed_out / number / "90_demo.ipynb").read_bytes()
        scene = make_returns.Scene(copy, folder, number)
        scene.write(scene.answered(answers(number) if callable(answers) else answers))


def points(place):
    with place.record() as record:
        return {m.student: {q.question: q.earned for q in m.questions if q.question in FULL} for m in record.marked()}


@pytest.fixture
def every_row(tmp_path, course, hand_out):
    """A class of which each row of numbers has a student, and the rows."""
    found = desk.materials([], course / "solutions", course / "exercises")["90_demo"]
    place = desk.Desk(tmp_path / "desk")
    rows = {}
    for number in range(1, 2000):
        rows.setdefault(found.row_for(place.secret(), str(number)), str(number))
    assert sorted(rows) == list(range(1, found.rows))
    hand_out(place.folder, rows.values())
    return place, rows, found


def test_other_methods_are_right_and_the_practice_result_wrong_for_every_row(every_row, tmp_path, arguments, run_mark):
    place, rows, found = every_row
    practice = expected.of_rows(found.solution, [0])[0]
    typed = {"q2": f"def spring_force(stroke):\n    return {practice['q2'].print.split()[0]}"}
    answer_all(place, tmp_path / "returns", rows.values(), {"q1": OTHER} | typed)
    code, output = run_mark(arguments(place.folder, tmp_path / "returns"))
    assert code == 0 and f"{len(rows)} marked" in output
    assert set(map(str, points(place).values())) == {str({"q1": 2.0, "q2": 0.0, "q3": 1.0})}


def test_limited_mode_marks_too_and_says_what_it_is_not(tmp_path, hand_out, arguments, run_mark):
    place = hand_out(tmp_path / "desk", ["1", "2", "3"])
    hostile = {"2": {"q1": "import os\nos._exit(1)"}, "3": {"q1": "import os\nos.kill(os.getppid(), 9)"}}
    answer_all(place, tmp_path / "returns", ["1", "2", "3"], lambda number: hostile.get(number, {}))
    _, output = run_mark(arguments(place.folder, tmp_path / "returns", mode="limited"))
    assert "do not contain a determined attacker" in output and "bubblewrap" in output
    assert points(place) == {"1": FULL, "2": FULL | {"q1": 0}, "3": FULL | {"q1": 0}}
    with place.record() as record:
        assert {m.evidence["mode"] for m in record.marked()} == {"limited"}


def test_only_what_changed_is_marked_again(tmp_path, hand_out, arguments, run_mark):
    place = hand_out(tmp_path / "desk", ["1", "2"])
    answer_all(place, tmp_path / "returns", ["1", "2"], {"q1": "rate = 1"})
    args = arguments(place.folder, tmp_path / "returns")
    assert "2 marked" in run_mark(args)[1]
    path = tmp_path / "returns" / "2" / "90_demo.ipynb"
    path.write_text(json.dumps(make_returns.answered(json.loads(path.read_text()), {"q1": RATE})))
    assert "1 marked, 0 could not be marked, 1 unchanged" in run_mark(args)[1]
    assert points(place) == {"1": FULL | {"q1": 0}, "2": FULL}


def marking(place, returns, course, *more):
    command = [sys.executable, "-c", RUN, str(returns), "--desk", str(place.folder), "--solutions",
               str(course / "solutions"), "--exercises", str(course / "exercises"), "--threads", "2", *more]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)


def look(place):
    """All marks, after seeing that the record is sound."""
    base = sqlite3.connect(place.folder / "record.sqlite")
    try:
        assert base.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert not base.execute("SELECT 1 FROM marked GROUP BY student, exercise HAVING count(*) > 1").fetchall()
    finally:
        base.close()
    return points(place)


def a_random_moment(run, place, chance, marks):
    """Wait for a moment of a run: by turns one soon after its start, and one soon after its first new mark."""
    if marks is None:
        time.sleep(chance.uniform(0.3, 5.0))
        return
    until = time.monotonic() + 120
    while run.poll() is None and len(points(place)) == marks and time.monotonic() < until:
        time.sleep(0.1)
    time.sleep(chance.uniform(0.0, 2.0))


def killed_again_and_again(place, returns, course, chance, times):
    """Marks after a number of kills at random moments of a run; how often a killed run had got further."""
    before, grew = look(place), 0
    for turn in range(times):
        run = marking(place, returns, course)
        a_random_moment(run, place, chance, len(before) if turn % 2 else None)
        run.kill()
        run.communicate()
        now = look(place)
        assert before.items() <= now.items()
        grew += len(now) > len(before)
        before = now
    return before, grew


def one_class_killed(folder, course, hand_out, seed):
    """A class whose marking is killed ten times and then let be; how often it had got further before a kill."""
    numbers = [str(k) for k in range(1, 21)]
    place, returns = hand_out(folder / "desk", numbers), folder / "returns"
    answer_all(place, returns, numbers, {"q2": ALONE})
    kept, grew = killed_again_and_again(place, returns, course, random.Random(seed), 10)
    output, _ = (run := marking(place, returns, course)).communicate()
    assert run.returncode == 0, output
    assert f"{len(numbers) - len(kept)} marked, 0 could not be marked, {len(kept)} unchanged" in output
    assert look(place) == dict.fromkeys(numbers, FULL)
    assert len(list(place.sheets.glob("*.html"))) == len(numbers)
    return grew


def test_killed_at_20_random_moments_nothing_is_lost_or_doubled(tmp_path, course, hand_out):
    """Ten times each in two classes side by side: most of it is waiting, and neither may disturb the other."""
    with ThreadPoolExecutor(2) as pool:
        grew = list(pool.map(lambda seed: one_class_killed(tmp_path / str(seed), course, hand_out, seed), (5, 6)))
    assert min(grew) >= 1  # killed runs had really got somewhere


def test_ctrl_c_keeps_what_is_marked_and_ends_its_kernels(tmp_path, course, hand_out):
    place = hand_out(tmp_path / "desk", ["1", "2"])
    answer_all(place, tmp_path / "returns", ["1", "2"], {"q1": "while True:\n    pass"})
    run = marking(place, tmp_path / "returns", course)
    time.sleep(6)
    run.send_signal(signal.SIGINT)
    began = time.monotonic()
    output, _ = run.communicate(timeout=60)
    assert run.returncode == 130 and "goes on from here" in output and "Traceback" not in output
    assert time.monotonic() - began < 15  # an endless loop has 20 s by itself
    look(place)


def test_a_cluster_that_loses_a_worker_loses_no_mark(tmp_path, hand_out, arguments, run_mark):
    distributed = pytest.importorskip("dask.distributed")
    numbers = [str(k) for k in range(1, 31)]
    place = hand_out(tmp_path / "desk", numbers)
    answer_all(place, tmp_path / "returns", numbers, {"q2": ALONE})
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0",
                                  silence_logs=50) as cluster:
        first = next(iter(cluster.workers.values())).process.process
        victim = psutil.Process(first.pid)
        timer = threading.Timer(4.0, victim.kill)
        timer.start()
        code, output = run_mark(arguments(place.folder, tmp_path / "returns", cluster=cluster.scheduler_address))
        running = timer.is_alive()
        timer.join()
    assert not running, "the run was over before the worker was killed"
    assert code == 0 and "30 marked" in output
    assert look(place) == dict.fromkeys(numbers, FULL)


def test_a_cluster_that_is_not_there_is_named(tmp_path, hand_out, arguments, run_mark, monkeypatch):
    from suspedu.coursework.desk import workers

    monkeypatch.setattr(workers, "PATIENCE", 1)
    place = hand_out(tmp_path / "desk", ["1"])
    answer_all(place, tmp_path / "returns", ["1"], {})
    with pytest.raises(InputError, match="no Dask scheduler answers at 'tcp://127"):
        run_mark(arguments(place.folder, tmp_path / "returns", cluster="tcp://127.0.0.1:1"))


def test_solutions_in_sight_of_kernels_are_refused():
    with pytest.raises(InputError, match="which students' kernels can read"):
        sandbox.refuse_exposed(sandbox.PACKAGE / "solutions")


@pytest.mark.parametrize("choice, words", [("sandbox", "did you mean 'sandboxed'"), ("none", "is not known")])
def test_a_mode_that_is_none_is_refused(choice, words):
    with pytest.raises(InputError, match=words):
        sandbox.chosen_mode(choice)


def test_sandboxed_is_refused_where_it_does_not_start(monkeypatch):
    monkeypatch.setattr(sandbox, "probe_fault", lambda: "bubblewrap (bwrap) is not installed")
    with pytest.raises(InputError, match="is not installed"):
        sandbox.chosen_mode("sandboxed")
    assert sandbox.chosen_mode("auto").name == "limited"
    assert "is not installed" in sandbox.chosen_mode("auto").words
