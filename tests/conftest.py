"""How the whole suite runs: the slowest rooms first, so that no worker is left with a long one at the end."""

SLOWEST_FIRST = ("tests/coursework/returns", "tests/notebooks/test_nbval_runs", "tests/browser", "tests/door",
                 "tests/coursework", "tests/show", "tests/school", "tests/machine", "tests/ride", "tests/damper")


def pytest_collection_modifyitems(items):
    """Order by room; within a room tests stay as they were found. Workers take whole files, in this order."""
    items.sort(key=lambda item: next((place for place, start in enumerate(SLOWEST_FIRST)
                                      if item.nodeid.startswith(start)), len(SLOWEST_FIRST)))
