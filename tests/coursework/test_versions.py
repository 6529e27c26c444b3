"""What marks a class anew: an edit of what an answer can reach, and nothing else."""

import ast
import json
import re
import shutil
from pathlib import Path

import pytest

from suspedu.coursework.exercise.versions import PHYSICS, physics_hash, versions

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "suspedu"
SOLUTIONS = sorted((ROOT / "solutions").glob("[0-9][0-9]_*.ipynb"))


def rooms_imported(source: str) -> set[str]:
    """Rooms of the library that a source imports, wherever in it the import stands."""
    names = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return {name.split(".")[1] for name in names if name.startswith("suspedu.")}


def sources_of(solution: Path) -> list[str]:
    """Sources of the cells of a solution that are run when answers are marked."""
    cells = json.loads(solution.read_text(encoding="utf-8"))["cells"]
    return ["".join(cell["source"]) for cell in cells
            if cell["cell_type"] == "code" and cell["metadata"].get("suspedu", {}).get("role") != "tool"]


def reached(rooms: set[str]) -> set[str]:
    """The rooms and all that they import, and what those import, to the end."""
    known: set[str] = set()
    while todo := rooms - known:
        known |= todo
        files = [path for room in todo for path in [*(PACKAGE / room).rglob("*.py"), PACKAGE / f"{room}.py"]]
        rooms = {other for path in files if path.is_file() for other in rooms_imported(path.read_text("utf-8"))}
    return known


def test_every_solution_reaches_only_what_is_hashed():
    imported = {room for path in SOLUTIONS for source in sources_of(path) for room in rooms_imported(source)}
    assert imported and reached(imported) <= set(PHYSICS)


def test_what_is_hashed_stands_below_the_marking_and_imports_only_what_is_hashed():
    """All rooms below `coursework` in the floor plan of DEVELOPERS.md."""
    plan = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition("## Floor plan")[2].partition("\n#")[0]
    floors = {name: int(floor) for floor, names in re.findall(r"^\| (\d+) \| ([^|]+) \|", plan, re.MULTILINE)
              for name in re.findall(r"`(\w+)`", names)}
    below = {room for room, floor in floors.items() if floor < floors["coursework"]}
    assert below == {*PHYSICS} - {"__init__"}
    assert reached(set(PHYSICS) - {"__init__"}) <= set(PHYSICS)


def test_an_import_that_leads_out_would_be_noticed():
    assert rooms_imported("def f():\n    from suspedu.show import selfcheck\nimport math, suspedu.parts.oil") == {
        "show", "parts"}
    assert not reached({"coursework"}) <= set(PHYSICS)


@pytest.fixture
def copy(tmp_path):
    return Path(shutil.copytree(PACKAGE, tmp_path / "suspedu", ignore=shutil.ignore_patterns("__pycache__", "course")))


def add_comment(path: Path) -> None:
    path.write_text(path.read_text(encoding="utf-8") + "# a comment\n", encoding="utf-8")


def test_the_hash_of_a_copy_is_that_of_the_record(copy):
    assert physics_hash(copy) == versions()["physics"] and len(versions()["physics"]) == 12


@pytest.mark.parametrize("place", ["commands/ready.py", "cli.py", "show/panel.py", "show/panel.js",
                                   "coursework/book/page.py", "coursework/exercise/verdicts.py"])
def test_a_comment_there_marks_nobody_anew(copy, place):
    before = physics_hash(copy)
    add_comment(copy / place)
    assert physics_hash(copy) == before


@pytest.mark.parametrize("place", ["parts/oil.py", "damper/forces.py", "ride/simulate.py", "machine/statics.py",
                                   "numerics.py", "units.py", "files.py"])
def test_an_edit_there_marks_anew(copy, place):
    before = physics_hash(copy)
    add_comment(copy / place)
    assert physics_hash(copy) != before


def test_data_count_and_so_do_names(copy):
    seen = {physics_hash(copy)}
    machine = next((copy / "data").rglob("*.toml"))
    add_comment(machine)
    seen.add(physics_hash(copy))
    machine.rename(machine.with_name("zz_renamed.toml"))
    seen.add(physics_hash(copy))
    (copy / "parts" / "new.py").write_text("")
    assert len(seen | {physics_hash(copy)}) == 4
