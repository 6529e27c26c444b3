"""Sources: each key that is named exists, and each that exists is named."""

import ast
import re
from pathlib import Path

import pytest

from suspedu.sources import SOURCES

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "suspedu"
NO_KEY = ("common practice", "derivation", "exact geometry", "from memory")  # said outright instead of a key


def named_sources() -> list:
    """Every key that stands behind "Source:" in a docstring of the library or in a table of its data."""
    found = []
    for path in sorted([*PACKAGE.rglob("*.py"), *PACKAGE.rglob("*.toml")]):
        for hit in re.finditer(r"^[\s#\"]*Sources?: (.+)$", path.read_text(encoding="utf-8"), re.MULTILINE):
            first, *more = (part.strip().rstrip(".\"") for part in hit[1].split(";"))
            further = [part for part in more if re.match(r"[a-z0-9-]+(,|$)", part)]  # the rest is a remark
            found += [(path.relative_to(ROOT).as_posix(), part) for part in (first, *further)]
    return found


@pytest.mark.parametrize(("place", "said"), named_sources())
def test_named_source_exists(place, said):
    key = re.split(r"[,: ]", said)[0]
    assert said.startswith(NO_KEY) or key in SOURCES, f"{place}: '{key}' is not in suspedu/sources.py"


def test_every_source_is_used(text_files):
    places = ("suspedu/", "tests/", "lessons/", "solutions/")
    used = "\n".join(text for path, text in text_files.items()
                     if path != "suspedu/sources.py" and path.startswith(places))
    idle = [key for key in SOURCES if not re.search(rf"(?<![\w-]){re.escape(key)}(?![\w-])", used)]
    assert not idle, f"in the bibliography, cited nowhere: {idle}"


def test_keys_are_in_order_and_references_whole():
    tree = ast.parse((PACKAGE / "sources.py").read_text(encoding="utf-8"))
    table = next(node.value for node in tree.body if isinstance(node, ast.Assign) and node.targets[0].id == "SOURCES")
    keys = [key.value for key in table.keys]
    assert keys == sorted(set(keys))
    assert all(len(text) > 20 and text.endswith(".") for text in SOURCES.values())
