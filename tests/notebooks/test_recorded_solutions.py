"""nbval over the solutions: each prints what it recorded."""

import functools

from suspedu.coursework.authoring import record


@functools.cache
def differing(folder):
    """Sentences on all solutions, run by one engine."""
    return record.differences(sorted(folder.glob("*.ipynb")))


def test_recorded_text_of_a_solution_is_what_runs_now(pair):
    assert [said for said in differing(pair.parent) if said.startswith(pair.name)] == []
