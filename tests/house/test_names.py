"""One word, one thing: no public name stands for two things in the library, and every room has a light face."""

import ast
import importlib
from collections import defaultdict

import pytest

FACES = ("damper", "ride", "machine", "school", "recordings")
BY_AGREEMENT = {  # names that several modules define because somebody asks each of them for it: why
    "add_arguments": "what a command's module gives the door",
    "main": "where a process begins: the door, nbval's engine, a kernel",
    "run": "what a command's module gives the door",
}


def defined(text: str) -> set[str]:
    """Public functions and classes that a module defines."""
    kinds = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef
    return {node.name for node in ast.parse(text).body if isinstance(node, kinds) and not node.name.startswith("_")}


def owners(texts: dict[str, str]) -> dict[str, list[str]]:
    """Names with more than one owner, and these owners."""
    found = defaultdict(list)
    for place, text in texts.items():
        for name in defined(text):
            found[name].append(place)
    return {name: places for name, places in found.items() if len(places) > 1}


def test_no_name_has_two_owners(text_files):
    library = {path: text for path, text in text_files.items() if path.startswith("suspedu/") and path.endswith(".py")}
    twice = owners(library)
    assert not {name: places for name, places in twice.items() if name not in BY_AGREEMENT}
    assert twice.keys() >= BY_AGREEMENT.keys(), "an exception is no longer needed"


def test_a_second_owner_is_found():
    texts = {"a": "def rate(): pass\n", "b": "class rate: pass\n", "c": "def _rate(): pass\ndef other(): pass\n"}
    assert owners(texts) == {"rate": ["a", "b"]}


@pytest.mark.parametrize("room", FACES)
def test_room_has_a_face(room):
    """What a lesson or a neighbour may import stands in the room's `__init__`, which loads lightly."""
    face = importlib.import_module(f"suspedu.{room}")
    assert len(face.__all__) == len(set(face.__all__)) > 3
    assert [name for name in face.__all__ if not hasattr(face, name)] == []
