"""One legend of marks for where a value comes from: every published check and every source carries one of them.

The legend stands in DEVELOPERS.md. A mark is written in round brackets behind the value or the source it speaks of.
"""

import ast
import io
import json
import re
import tokenize
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
LEGEND = ("printed", "printed, from memory", "computed by ...", "common practice", "guess of the course")
MARK = re.compile(r"\((?:printed(?:, from memory)?|computed by [^()]+|common practice(?:, no source)?|"
                  r"guess of the course)(?:[:;] [^()]*)?\)")
STRAY = re.compile(r"(?<!printed, )\bfrom memory\b|(?<!common practice, )\bno source\b|"
                   r"[(;]\s*(?:half )?(?:seen|memory)(?=[);]| here\b)|\bguess of (?:this|our)\b|locator not checked")
PUBLISHED = sorted((ROOT / "tests/published").glob("test_*.py"))


def said(code: str) -> str:
    """Comments and texts of a piece of Python: what it says beside what it does."""
    tokens = tokenize.generate_tokens(io.StringIO(code).readline)
    return "\n".join(token.string for token in tokens if token.type in (tokenize.COMMENT, tokenize.STRING))


def statements(text: str) -> dict[str, tuple[str, ast.stmt]]:
    """Top-level functions and assignments by name: their text, with the comment lines above, and their tree."""
    lines, end, found = text.splitlines(), 0, {}
    for node in ast.parse(text).body:
        names = [node.name] if isinstance(node, ast.FunctionDef) else [
            target.id for part in getattr(node, "targets", []) for target in ast.walk(part)
            if isinstance(target, ast.Name)]
        found |= dict.fromkeys(names, ("\n".join(lines[end:node.end_lineno]), node))
        end = node.end_lineno
    return found


def spoken_of(name: str, known: dict, visited: frozenset = frozenset()) -> str:
    """A statement's text and that of every table or helper of the same file which it uses."""
    text, node = known[name]
    used = {part.id for part in ast.walk(node) if isinstance(part, ast.Name)} & known.keys() - visited - {name}
    return text + "\n" + "".join(spoken_of(other, known, visited | used | {name}) for other in used)


def unmarked(text: str) -> list[str]:
    known = statements(text)
    return [name for name in known if name.startswith("test_") and not MARK.search(said(spoken_of(name, known)))]


@pytest.mark.parametrize("path", PUBLISHED, ids=lambda path: path.stem)
def test_each_check_says_where_its_value_comes_from(path):
    assert not unmarked(path.read_text(encoding="utf-8"))


def test_an_unmarked_check_is_found():
    marked = "RATE = 4.13  # (printed)\n\ndef test_rate():\n    assert rate() == RATE\n"
    assert not unmarked(marked)
    assert unmarked(marked.replace("(printed)", "(seen)")) == unmarked(marked.replace(" == RATE", "")) == ["test_rate"]


def test_each_source_says_whether_it_was_seen():
    for path in sorted((ROOT / "suspedu").rglob("*.py")):
        lines = re.findall(r"^[\s#]*(Source: .+)$", path.read_text(encoding="utf-8"), re.MULTILINE)
        assert not [line for line in lines if not MARK.search(line)], path


def test_each_published_file_stands_in_the_contributors_table(text_files):
    named = re.findall(r"`(test_\w+\.py)`", text_files["DEVELOPERS.md"].partition("`tests/published/` |")[2])
    assert sorted(named) == [path.name for path in PUBLISHED]


def prose(path: str, text: str) -> str:
    """What is written for a reader: the comments and texts of code, the cells of a notebook without their outputs."""
    if path.endswith(".py"):
        return said(text)
    cells = json.loads(text)["cells"] if path.endswith(".ipynb") else ()
    code = [said("".join(cell["source"])) for cell in cells if cell["cell_type"] == "code"]
    words = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown"]
    return "\n\n".join([*code, *words]) or text


def test_no_mark_outside_the_legend(text_files):
    rooms = ("suspedu/", "tests/", "lessons/", "solutions/", "DEVELOPERS.md")
    read = {path: prose(path, text) for path, text in text_files.items()
            if path.startswith(rooms) and not path.endswith(Path(__file__).name)}
    hits = {path: found for path, text in read.items() if (found := sorted(set(STRAY.findall(text))))}
    assert not hits


@pytest.mark.parametrize("stray", ["4.13 (seen)", "0.61 (memory)", "kept from memory", "a mark of our own, no source",
                                   "a guess of this course", "(printed; seen)"])
def test_a_stray_mark_is_found(stray):
    assert STRAY.search(stray)
    assert not STRAY.search("(printed, from memory) (common practice, no source) as seen from a vehicle; a first guess")


def test_legend_stands_in_the_contributors_book(text_files):
    for mark in LEGEND:
        assert f"| `({mark})` |" in text_files["DEVELOPERS.md"]
        assert MARK.fullmatch(f"({mark})")
