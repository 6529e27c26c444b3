"""The import law: imports go down only, parts are blind to each other, numbers never import pictures."""

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "suspedu"
FLOORS = {
    "units": 0, "sources": 0, "numerics": 0, "changes": 0, "data": 0,
    "parts": 1,
    "damper": 2, "ride": 2,
    "machine": 3, "dyno": 3, "upgrade": 3,
    "school": 4,
    "show": 5, "coursework": 5,
    "door": 6,
}  # fmt: skip
DOOR = {"cli", "__main__", "doctor", "laying", "opening"}  # the modules of the top floor are one room
BESIDE = {
    ("sources", "units"): "the bibliography refuses an unknown key in the house's one way",
    ("changes", "units"): "a place that leads nowhere is refused in the house's one way",
    ("data", "units"): "numbers on file carry workshop units",
    ("data", "sources"): "tables on file name their sources",
}
BESIDE_MODULES = {("show.selfcheck", "coursework"): "the widget round the self-mark; coursework stays blind to show"}
NO_PHYSICS = {"show.view", "show.draw", "show.panel", "show.asking", "show.theme", "show.labels", "show.palette_png"}
PHYSICS = {"parts", "damper", "ride", "machine", "dyno", "upgrade", "school"}
PICTURES = {"matplotlib", "PIL", "IPython", "ipywidgets", "anywidget"}  # only the room show may import these
BY_STRING = {"import_module", "__import__"}


def modules() -> dict[str, ast.Module]:
    """Every module of the library by dotted name without the package's own ("parts.springs"), parsed."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        if "course" not in path.relative_to(PACKAGE).parts[:1]:
            dotted = ".".join(path.relative_to(PACKAGE).with_suffix("").parts).removesuffix(".__init__")
            found[dotted] = ast.parse(path.read_text(encoding="utf-8"))
    return found


MODULES = modules()


def imported(tree: ast.AST) -> set[str]:
    """Dotted names that a module imports, wherever in it the import stands."""
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names |= {f"{'.' * node.level}{node.module or ''}.{alias.name}" for alias in node.names}
    return names


def own(names: set[str]) -> set[str]:
    """Those imports that lead to a module of the library, without the package's name."""
    inside = {name.removeprefix("suspedu.") for name in names if name.startswith("suspedu.")}
    return {max((m for m in MODULES if name == m or name.startswith(m + ".")), key=len, default=name)
            for name in inside}


def room(module: str) -> str:
    head = module.partition(".")[0]
    return "door" if head in DOOR else head


def faults(module: str, targets: set[str]) -> list[str]:
    """What an import table breaks, in words."""
    here, found = room(module), []
    for target in sorted(targets):
        there = room(target)
        if there not in FLOORS:
            found.append(f"{module} imports {target}: '{there}' is not in the table of floors")
        elif here == there:
            found += _between_parts(module, target) if here == "parts" else []
        elif FLOORS[there] >= FLOORS[here] and (here, there) not in BESIDE and (module, there) not in BESIDE_MODULES:
            found.append(f"{module} (floor {FLOORS[here]}) imports {target} (floor {FLOORS[there]})")
        elif module in NO_PHYSICS and there in PHYSICS:
            found.append(f"{module} draws, and must not import {target}, which computes")
    return found


def _between_parts(module: str, target: str) -> list[str]:
    """Parts are blind to each other; a part that is a package may import within itself."""
    law, other = (name.split(".")[1:2] for name in (module, target))
    return [] if law == other or not law or not other else [f"{module} imports {target}: parts are blind to each other"]


@pytest.mark.parametrize("module", [name for name in MODULES if name != "__init__"])
def test_imports_go_down(module):
    assert room(module) in FLOORS, f"{module}: give its room a floor"
    assert not faults(module, own(imported(MODULES[module])))


def test_law_catches_each_kind_of_fault():
    assert faults("parts.springs", {"damper.valves"})
    assert faults("parts.springs", {"parts.oil"})
    assert faults("ride.simulate", {"damper.valves"})
    assert faults("coursework.derive", {"show.panel"})
    assert faults("show.draw", {"ride.simulate"})
    assert faults("machine.model", {"show"})
    assert not faults("machine.model", {"parts.springs", "damper.valves", "ride.simulate", "units"})
    assert not faults("parts.shim_stacks.plate", {"parts.shim_stacks.shims"})


@pytest.mark.parametrize("module", MODULES)
def test_no_star_no_dot_no_string(module):
    names = imported(MODULES[module])
    assert not {name for name in names if name.endswith(".*")}, "star import"
    assert not {name for name in names if name.startswith(".")}, "relative import: spell the room out"
    called = {node.id for node in ast.walk(MODULES[module]) if isinstance(node, ast.Name)}
    called |= {node.attr for node in ast.walk(MODULES[module]) if isinstance(node, ast.Attribute)}
    assert not (called | {name.rpartition(".")[2] for name in names}) & BY_STRING, "import by string"


@pytest.mark.parametrize("module", [name for name in MODULES if room(name) != "show"])
def test_numbers_never_import_pictures(module):
    assert not {name.partition(".")[0] for name in imported(MODULES[module])} & PICTURES
