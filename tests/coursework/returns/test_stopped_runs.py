"""A run of marking that is killed or stopped at any moment: nothing is lost, nothing doubled, no kernel left."""

import contextlib
import os
import random
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor

import psutil
import pytest
from desk_runs import answer_all, look, points
from make_returns import ALONE, FULL

pytestmark = pytest.mark.timeout(900)
RUN = "import sys; from suspedu.cli import main; sys.exit(main(['mark', *sys.argv[1:]]))"


def marking(place, returns, course, *more):
    command = [sys.executable, "-c", RUN, str(returns), "--desk", str(place.folder), "--solutions",
               str(course / "solutions"), "--exercises", str(course / "exercises"), "--threads", "2", *more]
    heeds = None if os.name == "nt" else heed_ctrl_c
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, preexec_fn=heeds)


def heed_ctrl_c():
    """As from a terminal, also where the tests themselves run in the background and ignore Ctrl-C."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def a_random_moment(run, place, chance, marks):
    """Wait for a moment of a run: by turns one soon after its start, and one soon after its first new mark."""
    if marks is None:
        time.sleep(chance.uniform(0.3, 2.5))
        return
    until = time.monotonic() + 120
    while run.poll() is None and len(points(place)) == marks and time.monotonic() < until:
        time.sleep(0.1)
    time.sleep(chance.uniform(0.0, 1.2))


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
    numbers = [str(k) for k in range(1, 13)]
    place, returns = hand_out(folder / "desk", numbers, anew=True), folder / "returns"
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
    run.send_signal(signal.SIGINT)
    began = time.monotonic()
    output, _ = run.communicate(timeout=60)
    assert run.returncode == 130 and "goes on from here" in output and "Traceback" not in output
    assert time.monotonic() - began < 15  # an endless loop has 20 s by itself
    look(place)
