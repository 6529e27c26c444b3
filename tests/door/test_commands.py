"""Only the commands read arguments and print: the rooms below them return data."""

import ast
from pathlib import Path

import pytest

from suspedu import cli

PACKAGE = Path(cli.__file__).parent
PROCESSES = ("coursework/exercise/judge.py", "coursework/running/holds.py")  # they print for who started them
BELOW = {path.relative_to(PACKAGE).as_posix(): ast.parse(path.read_text(encoding="utf-8"))
         for path in sorted((PACKAGE / "coursework").rglob("*.py"))}


def doors(tree: ast.AST) -> list[str]:
    """Where a module does what only the door may: print, or read arguments."""
    called = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    named = [node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "") for node in called]
    imported = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    imported |= {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    return [name for name in named if name in ("print", "input", "add_argument")] + sorted(imported & {"argparse"})


@pytest.mark.parametrize("place", [place for place in BELOW if place not in PROCESSES])
def test_rooms_below_return_data(place):
    assert not doors(BELOW[place])


def test_a_door_below_would_be_noticed():
    assert doors(ast.parse("from argparse import Namespace\nprint(1)\nparser.add_argument('x')")) == [
        "print", "add_argument", "argparse"]


@pytest.mark.parametrize("name", cli.COMMANDS)
def test_each_command_is_a_module_of_its_own(name):
    module = cli.COMMANDS[name][0]()
    assert module.__name__ == f"suspedu.commands.{name}" and module.__doc__.startswith(f"`suspedu {name}`: ")
    assert callable(module.add_arguments) and callable(module.run)
