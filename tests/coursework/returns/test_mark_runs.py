"""Marking as a run: every row of numbers, other methods, the limited mode, what is marked again."""

import json
import os
import tempfile
from pathlib import Path

import kinds_escape
import make_returns
import pytest
from desk_runs import answer_all, points
from make_returns import ALONE, FULL, RATE

from suspedu.coursework.desk import desk
from suspedu.coursework.desk.marking_round import Round
from suspedu.coursework.exercise import expected, marking
from suspedu.coursework.running import cage, calls, holds, sandbox, trial, walls
from suspedu.units import InputError

pytestmark = pytest.mark.timeout(900)
OTHER = ("import numpy as np\narea = np.float64(wire * 1e-3) ** 2\nk = 79.3e9 / (turns * (2 * 0.0165) ** 3)\n"
         "rate = float(f'{k * area:.5g}') * area / 8")


@pytest.fixture
def every_row(tmp_path, course, hand_out):
    """A class of which each row of numbers has a student, and the rows."""
    found = desk.materials([], course / "solutions", course / "exercises")["90_demo"]
    place = desk.Desk(tmp_path / "desk")
    rows = {}
    for number in range(1, 2000):
        rows.setdefault(found.row_for(place.secret(), str(number)), str(number))
    assert sorted(rows) == list(range(1, found.rows))
    hand_out(place.folder, rows.values(), anew=True)
    return place, rows, found


def test_other_methods_are_right_and_the_practice_result_wrong_for_every_row(every_row, tmp_path, arguments, run_mark):
    place, rows, found = every_row
    practice = expected.of_rows(found.solution, [0])[0]
    typed = {"q2": f"def spring_force(stroke):\n    return {practice['q2'].print.split()[0]}"}
    answer_all(place, tmp_path / "returns", rows.values(), {"q1": OTHER} | typed)
    code, output = run_mark(arguments(place.folder, tmp_path / "returns"))
    assert code == 0 and f"{len(rows)} marked" in output
    assert set(map(str, points(place).values())) == {str({"q1": 2.0, "q2": 0.0, "q3": 1.0})}


def test_limited_mode_marks_too_and_says_what_it_is_not(tmp_path, course, hand_out, arguments, run_mark):
    """Where Linux has walls for files, ways out that fail in the sandbox fail here too, but for those to be named."""
    numbers = ["1", "2", "3", "4"]
    place = hand_out(tmp_path / "desk", numbers)
    spots = {"solution": course / "solutions" / "90_demo.ipynb", "secret": place.folder / "course_secret",
             "record": place.folder / "record.sqlite", "other": place.handed_out / "1" / "90_demo.ipynb",
             "tmp": tempfile.gettempdir()}
    assert all(spot.exists() for spot in map(Path, spots.values()))
    escape = kinds_escape.CALLS + kinds_escape.FILES + kinds_escape.SAID
    for name, spot in spots.items():
        escape = escape.replace(f"<{name}>", str(spot))
    hostile = {"2": {"q1": "import os\nos._exit(1)"}, "3": {"q1": "import os\nos.kill(os.getppid(), 9)"},
               "4": {"q1": escape}}
    answer_all(place, tmp_path / "returns", numbers, lambda number: hostile.get(number, {}))
    _, output = run_mark(arguments(place.folder, tmp_path / "returns", mode="limited"))
    assert "do not contain a determined attacker" in output and "bubblewrap" in output
    assert points(place) == {"1": FULL, **dict.fromkeys("234", FULL | {"q1": 0})}
    with place.record() as record:
        marked = {m.student: m for m in record.marked()}
    assert {m.evidence["mode"] for m in marked.values()} == {"limited"}
    assert {m.evidence["held"] for m in marked.values()} == {sandbox.chosen_mode("limited").words}
    if walls.walls_version() >= 4 and holds.CALLS in trial.trial(caged=False).holds:
        assert f"0 of {kinds_escape.ATTEMPTS} got through" in marked["4"].questions[0].hint


def test_nonsense_in_the_engines_log_stops_nobody(tmp_path, hand_out, arguments, run_mark, monkeypatch):
    """In limited mode without walls for files an answer can write where the engine writes: what is no line of the
    engine's is passed over."""
    monkeypatch.setattr(cage, "open_places", lambda caged: walls.Places())
    place = hand_out(tmp_path / "desk", ["1", "2", "3"])
    lines = [b"nonsense", b"[1]", b'{"key": 5}', b'{"kernel": 1}', b'{"key": "x", "job": "nobody"}', b"\xff",
             b"[" * 9999]
    nonsense = (f"from pathlib import Path\nlines = {lines!r}\n"
                "logs = [*Path.cwd().parents[1].glob('log')]\nassert logs\nfor log in logs:\n"
                f"    with log.open('ab') as file:\n        file.write(b'\\n'.join(lines) + b'\\n')\n{RATE}")
    answer_all(place, tmp_path / "returns", ["1", "2", "3"], {"q1": nonsense})
    code, output = run_mark(arguments(place.folder, tmp_path / "returns", mode="limited"))
    assert code == 0 and "3 marked" in output
    assert points(place) == dict.fromkeys("123", FULL)


def test_what_breaks_marking_costs_no_neighbour(tmp_path, hand_out, arguments, run_mark, monkeypatch):
    """A fault of ours that one return brings out: the others are marked, and that one says so."""
    once = marking.mark

    def breaks(tasks, *rest, **more):
        if any("/".join(("2", "90_demo")) == task.name for task in tasks):
            raise ArithmeticError("a fault of ours")
        return once(tasks, *rest, **more)
    monkeypatch.setattr(marking, "mark", breaks)
    place = hand_out(tmp_path / "desk", ["1", "2", "3"])
    answer_all(place, tmp_path / "returns", ["1", "2", "3"], {"q2": ALONE})
    code, output = run_mark(arguments(place.folder, tmp_path / "returns", threads=1))
    assert code == 0 and "2 marked, 1 could not be marked" in output
    assert points(place) == {"1": FULL, "2": dict.fromkeys(FULL, 0), "3": FULL}
    with place.record() as record:
        assert {m.student: m.fault.partition(" (")[0] for m in record.marked()} == {
            "1": "", "2": "this one could not be marked", "3": ""}


@pytest.mark.parametrize("where", ["_prepared", "_scored"])
def test_what_cannot_be_prepared_or_written_costs_nobody_else(where, tmp_path, hand_out, arguments, run_mark,
                                                                 monkeypatch):
    once = getattr(Round, where)

    def breaks(self, item, *rest):
        if item.student == "1":
            raise UnicodeError("a sign that nothing can store")
        return once(self, item, *rest)
    monkeypatch.setattr(Round, where, breaks)
    place = hand_out(tmp_path / "desk", ["1", "2"])
    answer_all(place, tmp_path / "returns", ["1", "2"], {"q2": ALONE})
    assert "1 marked, 1 could not be marked" in run_mark(arguments(place.folder, tmp_path / "returns"))[1]
    assert points(place) == {"1": dict.fromkeys(FULL, 0), "2": FULL}


def test_only_what_changed_is_marked_again(tmp_path, hand_out, arguments, run_mark):
    place = hand_out(tmp_path / "desk", ["1", "2"])
    answer_all(place, tmp_path / "returns", ["1", "2"], {"q1": "rate = 1"})
    args = arguments(place.folder, tmp_path / "returns")
    assert "2 marked" in run_mark(args)[1]
    path = tmp_path / "returns" / "2" / "90_demo.ipynb"
    path.write_text(json.dumps(make_returns.answered(json.loads(path.read_text()), {"q1": RATE})))
    assert "1 marked, 0 could not be marked, 1 unchanged" in run_mark(args)[1]
    assert points(place) == {"1": FULL | {"q1": 0}, "2": FULL}


def test_solutions_in_sight_of_kernels_are_refused():
    with pytest.raises(InputError, match="which students' kernels can read"):
        sandbox.refuse_exposed(sandbox.PACKAGE / "solutions")


def test_root_is_refused_without_a_word_and_told_what_it_risks(tmp_path, hand_out, arguments, run_mark, monkeypatch):
    monkeypatch.setattr(os, "getuid", lambda: 0, raising=False)
    monkeypatch.setenv(sandbox.AS_ROOT, "")
    place = hand_out(tmp_path / "desk", ["1"])
    with pytest.raises(InputError, match=f"you are root: {sandbox.ROOT_RISK}.*--as-root"):
        run_mark(arguments(place.folder, tmp_path))
    assert f"as root: {sandbox.ROOT_RISK}" in run_mark(arguments(place.folder, tmp_path, as_root=True))[1]
    monkeypatch.setattr(os, "getuid", lambda: 1000)
    assert "as root" not in sandbox.chosen_mode("auto").words


def test_what_does_not_hold_a_kernel_is_found_by_trying_and_said(monkeypatch, tmp_path):
    """Found in this process, which nothing holds, and in kernels without places to keep to or a library to filter."""
    wire = tmp_path / "wire"
    wire.mkdir()
    assert not holds.walls_hold(holds.prepared(tmp_path), wire) and not holds.calls_hold()
    whole = trial.trial(caged=False).holds
    monkeypatch.setattr(cage, "open_places", lambda caged: walls.Places())
    lost = "from suspedu.coursework.running import calls\ncalls.LIBRARY = 'libnone.so'\n"
    monkeypatch.setattr(trial, "PROBE", lost + trial.PROBE)
    bare = trial.trial.__wrapped__(caged=False)
    assert bare.found and bare.holds == set() and not bare.fault
    monkeypatch.setattr(sandbox, "trial", lambda caged: bare)
    assert sandbox.UNWALLED in sandbox.limited_words() and sandbox.UNFILTERED in sandbox.limited_words()
    assert sandbox.OPEN_WIRES in sandbox.sandboxed_words() and sandbox.UNFILTERED in sandbox.sandboxed_words()
    assert (holds.WALLS in whole) == bool(walls.walls_version()) and (holds.CALLS in whole) == bool(calls.library())


@pytest.mark.parametrize("choice, words", [("sandbox", "did you mean 'sandboxed'"), ("none", "is not known")])
def test_a_mode_that_is_none_is_refused(choice, words):
    with pytest.raises(InputError, match=words):
        sandbox.chosen_mode(choice)


def test_marking_is_refused_where_kernels_would_use_another_copy_of_the_course(monkeypatch, tmp_path):
    """Such a kernel would die at its first import, or compute with other physics: everybody would be wrong."""
    monkeypatch.setattr(sandbox, "PACKAGE", tmp_path)
    monkeypatch.setattr(sandbox, "probe_fault", lambda: "it does not start here")
    for choice in ("limited", "auto"):
        with pytest.raises(InputError, match=f"would use the course in .*, not the one in '{tmp_path}': install"):
            sandbox.chosen_mode(choice)


def test_sandboxed_is_refused_where_it_does_not_start(monkeypatch):
    monkeypatch.setattr(sandbox, "probe_fault", lambda: "bubblewrap (bwrap) is not installed")
    with pytest.raises(InputError, match="is not installed"):
        sandbox.chosen_mode("sandboxed")
    assert sandbox.chosen_mode("auto").name == "limited"
    assert "is not installed" in sandbox.chosen_mode("auto").words
