"""Charged seconds: what a kernel computes or sleeps counts, what it waits for a processor does not."""

import os
import subprocess
import sys
import time

import psutil
import pytest

from suspedu.coursework.running import meter
from suspedu.coursework.running.meter import BACKSTOP, Meter, Patience
from suspedu.coursework.running.processes import family

LOOP = "while True: pass"
CHILDREN = "import subprocess, sys\nfor k in range(2): subprocess.Popen([sys.executable, '-c', 'while True: pass'])\n"


@pytest.fixture
def run():
    """Starts Python on some source; all of it is ended afterwards."""
    started = []

    def start(source, **how):
        started.append(subprocess.Popen([sys.executable, "-c", source], **how))
        return started[-1]
    yield start
    for process in started:
        for member in family(psutil.Process(process.pid)) if process.poll() is None else []:
            member.kill()
        process.wait()


def charged_and_waited(process, seconds):
    """Charged seconds over a while by the clock, and that while."""
    counted, began = Meter(process.pid), time.monotonic()
    counted.look()
    while time.monotonic() - began < seconds:
        time.sleep(0.15)
        counted.look()
    return counted.look(), time.monotonic() - began


def test_sleep_is_charged_by_the_clock(run):
    process = run("import time\ntime.sleep(60)")
    time.sleep(1.0)  # the start of Python computes
    charged, waited = charged_and_waited(process, 1.5)
    assert 0.7 * waited < charged <= waited + 0.01  # at most one of ten looks may find it awake


def test_a_loop_is_charged_its_processor_time(run):
    process = run(LOOP)
    before = sum(psutil.Process(process.pid).cpu_times()[:2])
    charged, _ = charged_and_waited(process, 2.0)
    assert charged == pytest.approx(sum(psutil.Process(process.pid).cpu_times()[:2]) - before, abs=0.25)


def test_children_are_charged_to_their_parent(run):
    process = run(CHILDREN + "import time\ntime.sleep(60)")
    time.sleep(0.8)
    charged, waited = charged_and_waited(process, 2.0)
    assert charged > 0
    assert len(family(psutil.Process(process.pid))) == 3 and charged <= 2.1 * waited


@pytest.mark.skipif(not hasattr(os, "sched_setaffinity"), reason="puts several loops on one core, as Linux can")
def test_waiting_for_a_processor_is_not_charged(run):
    """Four loops on one core: each is charged about a quarter of the time, not all of it."""
    core = {min(os.sched_getaffinity(0))}
    loops = [run(LOOP, preexec_fn=lambda: os.sched_setaffinity(0, core)) for _ in range(4)]
    charged, waited = charged_and_waited(loops[0], 3.0)
    assert charged < 0.5 * waited


def test_patience_ends_by_charge_or_by_the_clock(run, monkeypatch):
    sleeper = Meter(run("import time\ntime.sleep(60)").pid)
    patience, began = Patience(sleeper, 0.6), time.monotonic()
    while not patience.is_over():
        time.sleep(0.05)
    assert 0.6 <= time.monotonic() - began < 0.6 * BACKSTOP / 2
    monkeypatch.setattr(Meter, "look", lambda self, processes=None: 0.0)  # a kernel that never gets a processor
    patience, began = Patience(sleeper, 0.3), time.monotonic()
    while not patience.is_over():
        time.sleep(0.05)
    assert time.monotonic() - began >= 0.3 * BACKSTOP


def test_a_process_that_is_gone_is_charged_by_the_clock(run):
    process = run("pass")
    process.wait()
    counted = Meter(process.pid)
    counted.look()
    time.sleep(2 * meter.LOOK)
    assert counted.look() > 0
    assert Patience(counted, 0.0).is_over()
