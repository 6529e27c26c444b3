"""The import law: imports go down only and never in a circle, parts are blind to each other, numbers never import
pictures. Which room stands on which floor is said once, in the table of DEVELOPERS.md."""

import ast
import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "suspedu"
BESIDE = {  # within the ground floor, where each module is a room
    ("sources", "units"): "the bibliography refuses an unknown key in the house's one way",
    ("changes", "units"): "a place that leads nowhere is refused in the house's one way",
    ("units", "spelling"): "a value that is refused or shown is written as a reader finds it",
    ("files", "units"): "a file that cannot be written is refused in the house's one way",
}
ONE_ROOM = {"__main__": "cli"}
BESIDE_MODULES = {("show.selfcheck", "coursework"): "the widget round the self-mark; coursework stays blind to show"}
NO_PHYSICS = {"show.view", "show.draw", "show.panel", "show.asking", "show.theme", "show.labels", "show.palette_png"}
PHYSICS = {"parts", "damper", "ride", "machine", "school", "recordings"}
PICTURES = {"matplotlib", "PIL", "IPython", "ipywidgets", "anywidget"}  # only the room show may import these
BY_STRING = {"import_module", "__import__"}


def table() -> dict[str, int]:
    """Rooms and their floors, from the rows `| floor | rooms | what |` of the floor plan."""
    plan = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition("## Floor plan")[2].partition("\n#")[0]
    rows = re.findall(r"^\| (\d+) \| ([^|]+) \|", plan, re.MULTILINE)
    return {name: int(floor) for floor, names in rows for name in re.findall(r"`(\w+)`", names)}


def modules() -> dict[str, ast.Module]:
    """Every module of the library by dotted name without the package's own ("parts.springs"), parsed."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        if "course" not in path.relative_to(PACKAGE).parts[:1]:
            dotted = ".".join(path.relative_to(PACKAGE).with_suffix("").parts).removesuffix(".__init__")
            found[dotted] = ast.parse(path.read_text(encoding="utf-8"))
    return found


FLOORS = table()
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
    return ONE_ROOM.get(head, head)


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


def circle(graph: dict[str, set[str]]) -> list[str]:
    """A way through the graph that comes back to where it began, or nothing: depth first, each place walked once."""
    walked = set()

    def walk(place, way):
        if place in way:
            return [*way[way.index(place):], place]
        if place in walked:
            return []
        walked.add(place)
        return next((found for after in sorted(graph.get(place, ())) if (found := walk(after, [*way, place]))), [])

    return next((found for place in sorted(graph) if (found := walk(place, []))), [])


def test_every_room_has_a_floor():
    """A room that is named here has none yet: give it one in DEVELOPERS.md."""
    assert {room(name) for name in MODULES if name != "__init__"} <= FLOORS.keys()


def test_imports_go_down():
    assert not {name: said for name, tree in MODULES.items()
                if name != "__init__" and (said := faults(name, own(imported(tree))))}


def test_no_import_goes_round():
    """Imports inside functions count too. A room's face is left out of the search only as the parent that it is."""
    graph = {module: own(imported(tree)) - {module} for module, tree in MODULES.items()}
    assert not circle(graph)


def test_table_stands_in_the_order_of_the_house():
    order = ["units", "data", "parts", "damper", "machine", "school", "upgrade", "show", "commands", "cli"]
    assert [FLOORS[name] for name in order] == list(range(len(order)))
    assert FLOORS["damper"] == FLOORS["ride"] and FLOORS["show"] == FLOORS["coursework"]
    assert FLOORS["recordings"] == FLOORS["upgrade"] == FLOORS["quality"]


def test_law_catches_each_kind_of_fault():
    assert faults("parts.springs", {"damper.valves"})
    assert faults("parts.springs", {"parts.oil"})
    assert faults("ride.simulate", {"damper.valves"})
    assert faults("coursework.derive", {"show.panel"})
    assert faults("show.draw", {"ride.simulate"})
    assert faults("machine.model", {"show"})
    assert faults("machine.model", {"school.session"})
    assert faults("units", {"sources"})
    assert faults("units", {"nowhere"})
    assert not faults("machine.model", {"parts.springs", "damper.valves", "ride.simulate", "units"})
    assert not faults("parts.shim_stacks.plate", {"parts.shim_stacks.shims"})


def test_a_circle_is_found():
    assert circle({"a": {"b"}, "b": {"c"}, "c": {"b", "d"}}) == ["b", "c", "b"]
    assert circle({"a": {"b", "c"}, "b": {"d"}, "c": {"d"}}) == []


def test_no_star_no_dot_no_string():
    """No star import; no relative one (the room is spelled out); none by string."""
    for module, tree in MODULES.items():
        names = imported(tree)
        assert not {name for name in names if name.endswith(".*") or name.startswith(".")}, module
        called = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
        called |= {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
        assert not (called | {name.rpartition(".")[2] for name in names}) & BY_STRING, module


def test_numbers_never_import_pictures():
    assert not [name for name, tree in MODULES.items() if room(name) != "show"
                and {module.partition(".")[0] for module in imported(tree)} & PICTURES]
