"""How the whole suite runs: one worker more than cores, and what takes longest first, so that none is left at the end.

A worker takes a file at a time. Of the files in PIECES it takes what stands in a test's brackets before a colon: one
notebook, or one group of kinds of returns, with all tests on it.
"""

import asyncio
import os

import pytest
from hypothesis import settings

# Set before anything loads numpy, for workers and kernels too: algebra on matrices as small as ours gains nothing from
# threads of its own, and where several processes share the cores such threads burn them waiting for each other.
for threads in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(threads, "1")

# Tests may run as root, where marking others' work asks for a word; the returns are our own.
os.environ.setdefault("SUSPEDU_AS_ROOT", "1")

# A test is no clock: on a busy machine each takes longer. Where CI is set, examples are the same each time, as before.
settings.register_profile("any machine", settings(), deadline=None)
settings.load_profile("any machine")

SLOWEST_FIRST = (
    "tests/coursework/returns/test_two_doors", "tests/coursework/returns/test_stopped_runs",
    "tests/coursework/returns/test_hostile_returns", "tests/notebooks/test_exercise_runs", "tests/coursework/returns",
    "tests/browser", "tests/coursework/test_deriving", "tests/notebooks/test_recorded", "tests/door/test_opening",
    "tests/show/test_panels", "tests/ride/test_simulate", "tests/damper/test_forces",
    "tests/machine/test_rides_that_hold", "tests/machine/test_direct_ride", "tests/house/test_docstrings",
    "tests/coursework", "tests/machine", "tests/ride", "tests/damper", "tests/show", "tests/school", "tests/door")
PIECES = ("tests/notebooks/test_exercise_runs", "tests/notebooks/test_recorded_runs",
          "tests/coursework/returns/test_hostile_returns", "tests/show/test_panels.py")


def pytest_xdist_auto_num_workers(config):
    """One more than the cores at hand: whoever waits for a kernel or a limit leaves its core to another."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return cores + 1


def piece(nodeid):
    """What a worker takes at once: a file, or a piece of one."""
    file, _, test = nodeid.partition("::")
    return f"{file}[{test.partition('[')[2].rstrip(']').partition(':')[0]}" if file.startswith(PIECES) else file


def pytest_xdist_make_scheduler(config, log):
    """Files to workers, as '--dist=loadfile' does, and some of them in pieces."""
    if config.getvalue("dist") != "loadfile":
        return None
    from xdist.scheduler import LoadScopeScheduling

    class InPieces(LoadScopeScheduling):
        def _split_scope(self, nodeid):
            return piece(nodeid)
    return InPieces(config, log)


def pytest_collection_modifyitems(items):
    """Order by what takes longest; within a file tests stay as they were found."""
    items.sort(key=lambda item: next((place for place, start in enumerate(SLOWEST_FIRST)
                                      if item.nodeid.startswith(start)), len(SLOWEST_FIRST)))


@pytest.fixture
def no_loop_of_others():
    """A browser that other tests keep open in this process leaves its loop behind as the running one."""
    left = asyncio._get_running_loop()
    asyncio._set_running_loop(None)
    yield
    asyncio._set_running_loop(left)
