"""Small enough to read: modules of 250 lines at most, functions of 20 lines of code."""

import ast
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[2] / "suspedu"
MODULE_LIMIT, FUNCTION_LIMIT = 250, 20
LONGER_MODULES: dict[str, str] = {}  # path in the package: reason
LONGER_FUNCTIONS: dict[str, str] = {}  # path:function: reason

FILES = {path.relative_to(PACKAGE).as_posix(): path.read_text(encoding="utf-8")
         for pattern in ("*.py", "*.js", "*.css") for path in sorted(PACKAGE.rglob(pattern))}


def code_lines(function: ast.FunctionDef, source: list[str]) -> int:
    """Lines of a function's body that hold code: no docstring, no empty line, no comment."""
    body = function.body[1:] if ast.get_docstring(function) is not None else function.body
    if not body:
        return 0
    lines = source[body[0].lineno - 1: function.end_lineno]
    return sum(1 for line in lines if line.strip() and not line.strip().startswith("#"))


def long_functions(text: str) -> dict[str, int]:
    counts = {node.name: code_lines(node, text.splitlines()) for node in ast.walk(ast.parse(text))
              if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)}
    return {name: count for name, count in counts.items() if count > FUNCTION_LIMIT}


def test_modules_are_short():
    assert not {place: count for place, text in FILES.items()
                if (count := len(text.splitlines())) > MODULE_LIMIT and place not in LONGER_MODULES}


def test_functions_are_short():
    """What is named here has more lines of code than FUNCTION_LIMIT."""
    found = {f"{place}:{name}": count for place, text in FILES.items() if place.endswith(".py")
             for name, count in long_functions(text).items()}
    assert found.keys() <= LONGER_FUNCTIONS.keys(), found


def test_exceptions_are_still_needed():
    assert all(len(FILES[place].splitlines()) > MODULE_LIMIT and reason for place, reason in LONGER_MODULES.items())
    for entry, reason in LONGER_FUNCTIONS.items():
        place, _, name = entry.partition(":")
        assert reason and name in long_functions(FILES[place]), f"{entry} no longer needs its exception"


def test_count_sees_code_only():
    lines = ["def f():", '    """Doc."""', "", "    # why"] + ["    x = 1"] * 21
    assert long_functions("\n".join(lines)) == {"f": 21}
    assert long_functions("\n".join(lines[:-1])) == {}
