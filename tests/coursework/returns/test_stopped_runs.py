"""A run of marking that is killed or stopped at any moment: nothing is lost, nothing doubled, no kernel left."""

import contextlib
import os
import random
import signal
import time

import psutil
import pytest
from desk_runs import Run, answer_all, look, points
from make_returns import ALONE, FULL

pytestmark = pytest.mark.timeout(900)
KILLS = 12  # six places each of what comes before the first new mark of a run, and of what comes after


def marking(place, returns, course, *more):
    """A run of marking, begun in a process that has loaded the command already; its pid, end and words."""
    words = [str(returns), "--desk", str(place.folder), "--solutions", str(course / "solutions"), "--exercises",
             str(course / "exercises"), "--threads", "2", *more]
    return Run(place.folder.parent / "said.txt", ["mark", *words])


def a_moment(run, place, marks, share):
    """Wait for a moment of a run: soon after its start, or soon after its first new mark; a share of the time there."""
    if marks is None:
        time.sleep(0.1 + 2.0 * share)
        return
    until = time.monotonic() + 120
    while run.is_alive() and len(points(place)) == marks and time.monotonic() < until:
        time.sleep(0.1)
    time.sleep(1.2 * share)


def killed_again_and_again(place, returns, course, chance):
    """Marks after kills at moments spread over a run, by chance within their part; how often it had got further."""
    before, grew = look(place), 0
    for turn in range(KILLS):
        run = marking(place, returns, course)
        share = (turn // 2 + chance.random()) / (KILLS / 2)
        a_moment(run, place, len(before) if turn % 2 else None, share)
        run.kill()
        now = look(place)
        assert before.items() <= now.items()
        grew += len(now) > len(before)
        before = now
    return before, grew


def test_killed_at_12_moments_nothing_is_lost_or_doubled(tmp_path, course, hand_out):
    numbers = [str(k) for k in range(1, 13)]
    place, returns = hand_out(tmp_path / "desk", numbers, anew=True), tmp_path / "returns"
    answer_all(place, returns, numbers, {"q2": ALONE})
    kept, grew = killed_again_and_again(place, returns, course, random.Random(5))
    code, output = marking(place, returns, course).ended()
    assert code == 0, output
    assert f"{len(numbers) - len(kept)} marked, 0 could not be marked, {len(kept)} unchanged" in output
    assert look(place) == dict.fromkeys(numbers, FULL)
    assert len(list(place.sheets.glob("*.html"))) == len(numbers)
    assert grew >= 1  # killed runs had really got somewhere


def wait_for_students_kernels(run):
    """Wait until answers are being run; what is right was worked out before, in kernels of another kind."""
    until = time.monotonic() + 200
    while time.monotonic() < until:
        with contextlib.suppress(psutil.NoSuchProcess):
            below = psutil.Process(run.pid).children(recursive=True)
            if any("kernel_start" in " ".join(child.cmdline()) for child in below):
                return
        time.sleep(0.2)
    pytest.fail("no answer was run")


def test_ctrl_c_keeps_what_is_marked_and_ends_its_kernels(tmp_path, course, hand_out):
    place = hand_out(tmp_path / "desk", ["1", "2"])
    answer_all(place, tmp_path / "returns", ["1", "2"], {"q1": "while True:\n    pass"})
    run = marking(place, tmp_path / "returns", course)
    wait_for_students_kernels(run)
    os.kill(run.pid, signal.SIGINT)
    began = time.monotonic()
    code, output = run.ended(60)
    assert code == 130 and "goes on from here" in output and "Traceback" not in output
    assert time.monotonic() - began < 15  # an endless loop has 20 s by itself
    look(place)
