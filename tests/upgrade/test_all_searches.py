"""Several searches at once: the same as one after the other, told while they run, and stopped when asked."""

from suspedu.upgrade import search_all, search_frontier, technology


def test_searches_at_once_find_what_one_alone_finds_and_stop_when_asked():
    """Two short ones; the second time they are stopped as soon as one has said something."""
    told, asked = [], []
    found = search_all(("turned",), budgets={"turned": 30}, progress=lambda *row: told.append(row))
    alone = search_frontier(technology("turned"), budget=30)
    assert found["turned"].days == alone.days and not found["turned"].stopped
    assert told and {(name, total) for name, _, total in told} == {("turned", 30)}

    def stop() -> bool:
        return bool(asked)

    cut = search_all(("rod",), budgets={"rod": 700}, progress=lambda *row: asked.append(row), cancel=stop)
    assert cut["rod"].stopped and 20 <= len(cut["rod"].days) < 700 and cut["rod"].front("dive")
