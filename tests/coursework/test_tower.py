"""The coursework room is a tower: imports inside it go down only, and authoring and desk do not see each other."""

import ast
from pathlib import Path

import pytest

TOWER = Path(__file__).resolve().parents[2] / "suspedu" / "coursework"
FLOORS = {"running": 0, "exercise": 1, "authoring": 2, "desk": 2, "book": 3}
MODULES = {path.relative_to(TOWER).as_posix(): path.read_text(encoding="utf-8") for path in sorted(TOWER.rglob("*.py"))}


def floors_imported(source: str) -> set[str]:
    """Floors of the tower that a source imports, wherever in it the import stands, and those it starts by name."""
    names = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and " " not in node.value:
            names.add(node.value)  # modules that are started with -m, or given to pytest as plugins
    inside = (name.removeprefix("suspedu.coursework.") for name in names if name.startswith("suspedu.coursework."))
    return {name.partition(".")[0] for name in inside}


def climbs(floor: str, source: str) -> list[str]:
    return sorted(other for other in floors_imported(source) - {floor} if FLOORS[other] >= FLOORS[floor])


@pytest.mark.parametrize("place", [place for place in MODULES if place != "__init__.py"])
def test_imports_go_down_the_tower(place):
    floor = place.partition("/")[0]
    assert floor in FLOORS, f"{place}: give it a floor of the tower"
    assert not climbs(floor, MODULES[place])


def test_a_climb_would_be_noticed():
    assert climbs("running", "from suspedu.coursework.exercise import sheet") == ["exercise"]
    assert climbs("desk", "def later():\n    from suspedu.coursework.authoring.derive import derived") == ["authoring"]
    assert climbs("exercise", "run('suspedu.coursework.book.page')") == ["book"]
    assert not climbs("book", "import suspedu.coursework.desk.record_book\nfrom suspedu.units import InputError")
