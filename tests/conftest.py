"""How the whole suite runs: one worker more than cores, the slowest files first, so that none is left at the end."""

import os

SLOWEST_FIRST = ("tests/coursework/returns", "tests/notebooks/test_exercise_runs", "tests/notebooks/test_recorded_runs",
                 "tests/notebooks/test_sound_rows", "tests/browser", "tests/door", "tests/coursework", "tests/show",
                 "tests/school", "tests/machine", "tests/ride", "tests/damper")


def pytest_xdist_auto_num_workers(config):
    """One more than the cores at hand: whoever waits for a kernel or a limit leaves its core to another."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return cores + 1


def pytest_collection_modifyitems(items):
    """Order by room; within a room tests stay as they were found. Workers take whole files, in this order."""
    items.sort(key=lambda item: next((place for place, start in enumerate(SLOWEST_FIRST)
                                      if item.nodeid.startswith(start)), len(SLOWEST_FIRST)))
