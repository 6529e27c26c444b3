"""A learner's self-check and the instructor's desk come to the same verdicts, whatever an answer does to its kernel."""

import json
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import make_returns
import pytest
from make_returns import ALONE, RATE

from suspedu.coursework.desk import workers
from suspedu.coursework.exercise import marking, places, selfmark
from suspedu.coursework.running.limits import Limits

pytestmark = pytest.mark.timeout(600)
# A kernel of the demo needs some 90 MB.
TIGHT = Limits(cell_seconds=1.2, notebook_seconds=30.0, silent_seconds=1.5, resident=400 << 20)
BUILT = "def spring_force(stroke):\n    return rate * stroke"  # builds on the answer to q1
KILL = "import os\nos._exit(1)"
BALLAST = "ballast = bytearray(250 << 20)\n"  # twice of it is too much for one kernel, once is not
LURK = ("import os, threading, time\ndef lurk():\n    while 'here' not in globals():\n        time.sleep(0.05)\n"
        "    os._exit(1)\nthreading.Thread(target=lurk).start()")  # waits for the next answer and ends the kernel in it
DIED, LOOPED, FULL = "it ended the Python process", "it ran out of time or printed without end", "400 MB of memory"
LEFT_OUT = "it needs your answer to q1, which was left out"
R, E, N = "right", "error", "not answered yet"
# name of a return: answers other than the right ones; verdict and words of the hint for q1, q2, q3
RETURNS = {
    "all right": ({"q2": BUILT}, (R, ""), (R, ""), (R, "")),
    "all blank": (None, (N, ""), (N, ""), (N, "")),
    "first kills": ({"q1": KILL}, (E, DIED), (R, ""), (R, "")),
    "first kills, second builds on it": ({"q1": KILL, "q2": BUILT}, (E, DIED), (E, LEFT_OUT), (R, "")),
    "second kills": ({"q2": KILL}, (R, ""), (E, DIED), (R, "")),
    "second kills at its verdict": ({"q2": "def spring_force(s):\n    import os; os._exit(1)"},
                                    (R, ""), (E, DIED), (R, "")),
    "last kills": ({"q2": BUILT, "q3": f"choice = 'b'\n{KILL}"}, (R, ""), (R, ""), (E, DIED)),
    "two killers and a right one": ({"q1": KILL, "q2": KILL}, (E, DIED), (E, DIED), (R, "")),
    "three killers": ({"q1": KILL, "q2": KILL, "q3": KILL}, (E, DIED), (E, DIED), (E, DIED)),
    "exit() after a right answer": ({"q1": f"{RATE}\nexit()"}, (E, DIED), (R, ""), (R, "")),
    "exit() in the middle": ({"q2": f"{BUILT}\nexit()"}, (R, ""), (E, DIED), (R, "")),
    "exit() at the end": ({"q2": BUILT, "q3": "choice = 'b'\nexit()"}, (R, ""), (R, ""), (E, DIED)),
    "endless loop": ({"q1": "while True:\n    pass"}, (E, LOOPED), (R, ""), (R, "")),
    "endless loop after a right answer": ({"q1": f"{RATE}\nwhile True:\n    pass", "q2": BUILT},
                                          (E, LOOPED), (R, ""), (R, "")),
    "endless loop, then a killer": ({"q1": f"{RATE}\nwhile True:\n    pass", "q2": BUILT, "q3": KILL},
                                    (E, LOOPED), (R, ""), (E, DIED)),
    "sleeps for ever": ({"q1": "import time\ntime.sleep(999)"}, (E, LOOPED), (R, ""), (R, "")),
    "memory": ({"q1": "hog = []\nwhile True:\n    hog.append(bytes(range(256)) * 10**5)"}, (E, FULL), (R, ""), (R, "")),
    "out of time, then memory in the next": (
        {"q1": f"{BALLAST}while True:\n    pass", "q2": f"{BALLAST}import time\ntime.sleep(0.6)\n{ALONE}"},
        (E, LOOPED), (R, ""), (R, "")),
    "right, and deadly for the next": (
        {"q1": f"{RATE}\n{LURK}", "q2": f"here = True\nimport time\ntime.sleep(0.6)\n{ALONE}"},
                                       (R, ""), (R, ""), (R, "")),
}  # fmt: skip
NUMBERS = {name: str(number) for number, name in enumerate(RETURNS, 1)}


# Each way in which a kernel can end, and in which a later answer can hang on that, once through the learner's door too;
# rows of the rest differ from one of these in the question alone.
BY_ONESELF = ("all right", "all blank", "first kills, second builds on it", "second kills at its verdict",
              "two killers and a right one", "exit() after a right answer", "endless loop, then a killer",
              "out of time, then memory in the next", "right, and deadly for the next")
ON_A_CLUSTER = ("two killers and a right one", "out of time, then memory in the next")


@pytest.fixture(scope="module")
def at_the_desk(tmp_path_factory, hand_out, arguments, run_mark):
    """Gives the rows by name of the return, as a desk of its own finds them."""
    def rows(names, **how):
        root = tmp_path_factory.mktemp("doors")
        place = hand_out(root / "desk", [NUMBERS[name] for name in names])
        for name in names:
            number = NUMBERS[name]
            folder = root / "returns" / number
            folder.mkdir(parents=True)
            scene = make_returns.Scene((place.handed_out / number / "90_demo.ipynb").read_bytes(), folder, number)
            answers = RETURNS[name][0]
            scene.write(scene.book() if answers is None else scene.answered(answers))
        code, output = run_mark(arguments(place.folder, root / "returns", **how), TIGHT)
        assert code == 0, output
        with place.record() as record:
            marked = {m.student: m for m in record.marked()}
        return {name: [(q.verdict, q.hint) for q in marked[NUMBERS[name]].questions[:3]] for name in names}
    return rows


@pytest.fixture(scope="module")
def on_threads(at_the_desk):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(workers, "BATCH", 10)  # starts of engines cost more than half of it otherwise
        return at_the_desk(RETURNS, threads=2)


def is_as_expected(rows, name):
    return all(verdict == wanted and (hint == words if not words else words in hint)
               for (verdict, hint), (wanted, words) in zip(rows, RETURNS[name][1:], strict=True))


@pytest.fixture(scope="module")
def own_files(course, tmp_path_factory):
    """The saved notebooks by name of the return, with the practice numbers in them."""
    files = {}
    for name in BY_ONESELF:
        answers = RETURNS[name][0]
        book = json.loads((course / "exercises" / "90_demo.ipynb").read_text(encoding="utf-8"))
        files[name] = tmp_path_factory.mktemp("alone") / "90_demo.ipynb"
        filled = book if answers is None else make_returns.answered(book, make_returns.RIGHT | answers)
        files[name].write_text(json.dumps(filled), encoding="utf-8")
    return files


@pytest.fixture(scope="module")
def by_themselves(course, own_files):
    """The rows by name of the return, as self-checks find them; a few share the start of an engine."""
    def some(names):
        tasks = [replace(selfmark.task_of(own_files[name])[0], name=name) for name in names]
        found = marking.mark(tasks, limits=TIGHT)
        return {name: [(row.verdict, row.hint) for row in found[name].rows[:3]] for name in names}
    with pytest.MonkeyPatch.context() as patch, ThreadPoolExecutor(2) as pool:
        patch.setattr(places, "course_folder", lambda: course)
        halves = pool.map(some, (BY_ONESELF[::2], BY_ONESELF[1::2]))
        return {name: rows for half in halves for name, rows in half.items()}


def test_a_self_check_is_no_other_than_those_that_share_an_engine(own_files, by_themselves, in_course):
    name = "second kills at its verdict"
    rows = selfmark.check_file(own_files[name], limits=TIGHT).rows
    assert [(row.verdict, row.hint) for row in rows[:3]] == by_themselves[name]


@pytest.mark.parametrize("name", RETURNS)
def test_the_desk_finds_what_each_question_earned(name, on_threads):
    assert is_as_expected(on_threads[name], name), on_threads[name]


@pytest.mark.parametrize("name", BY_ONESELF)
def test_both_doors_lead_to_the_same_rows(name, on_threads, by_themselves):
    assert on_threads[name] == by_themselves[name]


def test_a_cluster_comes_to_the_same_rows(at_the_desk, on_threads):
    distributed = pytest.importorskip("dask.distributed")
    with distributed.LocalCluster(n_workers=1, threads_per_worker=2, processes=True, dashboard_address=":0",
                                  silence_logs=50) as cluster:
        rows = at_the_desk(ON_A_CLUSTER, cluster=cluster.scheduler_address, mode="limited")
    assert rows == {name: on_threads[name] for name in ON_A_CLUSTER}
