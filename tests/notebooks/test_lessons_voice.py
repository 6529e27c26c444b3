"""How lessons speak: time stated as estimated, each word linked where it first stands, cautions in full once."""

import json
import re
from pathlib import Path

import pytest

from suspedu.coursework.authoring.claims import numerals, sentences
from suspedu.coursework.authoring.ledger import explanations
from suspedu.school import course_books
from suspedu.school.aids import laws
from suspedu.school.glossary import GLOSSARY, pattern

LESSONS = sorted((Path(__file__).resolve().parents[2] / "lessons").glob("*.ipynb"))
TAUGHT = [path for path in LESSONS if path.stem[:2].isdigit()]
TAKES = re.compile(r"\*\*Takes\*\* about (\d+) minutes on the core path, (\d+) more at home\. \*\*Needs\*\*")
MOST_CORE, SLACK = 45, 3.5  # minutes: a class hour; what rounding to five leaves, and a word more or less
IDIOMS = re.compile(r"in the dock|knifes? in|as she comes|cranked up|getting on for|on paper|a score of|"
                    r"put .* to bed", re.IGNORECASE)
HELD_ONCE = ("torque values", "eye protection", "used oil")  # cautions that lesson 00 gives for the whole course


def read(path: Path) -> dict:
    return json.loads(path.read_text(encoding="utf-8"))


def prose(book: dict) -> str:
    return "\n".join(course_books.text_of(cell) for cell in book["cells"] if cell["cell_type"] == "markdown")


def ids(path: Path) -> str:
    return path.stem[:2]


@pytest.mark.parametrize("path", TAUGHT, ids=ids)
def test_a_lesson_takes_as_long_as_it_says(path):
    said = TAKES.findall(prose(book := read(path)))
    assert len(said) == 1
    for stated, estimated in zip(map(int, said[0]), course_books.lesson_minutes(book), strict=True):
        assert stated % 5 == 0 and abs(stated - estimated) <= SLACK
    assert int(said[0][0]) <= MOST_CORE


@pytest.mark.parametrize("path", TAUGHT, ids=ids)
def test_each_word_is_linked_where_it_first_stands(path):
    assert [word for word in GLOSSARY if not course_books.linked(read(path), pattern(word))] == []


def test_an_unlinked_word_would_be_found():
    def book(text):
        return {"cells": [{"cell_type": "markdown", "source": text}]}

    shim = pattern("shim")
    assert not course_books.linked(book("A shim bends."), shim)
    assert not course_books.linked(book("A shim. A [shim](to_look_things_up.ipynb#Glossary)."), shim)
    assert course_books.linked(book("# Shims\n\nA [shim](to_look_things_up.ipynb#Glossary). A shim."), shim)
    assert course_books.linked(book("`shim`"), shim)


@pytest.mark.parametrize("path", TAUGHT, ids=ids)
def test_one_voice(path):
    text = prose(read(path))
    assert not IDIOMS.findall(text)
    assert "common practice" not in text.replace("† common practice", "").replace("Mark †: common practice", "")
    if ids(path) != "00":
        assert "What lesson 00 says before you touch a fork holds here too." in text
        assert [words for words in HELD_ONCE if words in text.lower()] == []


MOST_NUMBERS = 3  # in a sentence of an explanation: more are compared in a table


def crowded(text: str) -> list[str]:
    """Sentences of a text with too many numbers; a balance ("F = a + b") is read as an equation."""
    return [said for said in sentences(text) if len(numerals(said)) > MOST_NUMBERS and " = " not in said]


@pytest.mark.parametrize("path", TAUGHT, ids=ids)
def test_no_explanation_has_more_than_three_numbers_in_a_sentence(path):
    shown = ["".join(out.get("data", {}).get("text/markdown", "")) for cell in read(path)["cells"]
             if cell["cell_type"] == "code" and any(explanations(course_books.text_of(cell)))
             for out in cell["outputs"]]
    assert [said for text in shown for said in crowded(text)] == []


def test_a_crowded_sentence_would_be_found():
    assert crowded("It gives 1 N at 2 mm, and 3 N at 4 mm. It holds 5 N.") == ["It gives 1 N at 2 mm, and 3 N at 4 mm."]
    assert not crowded("It gives 1 N at 2 mm. It holds 3 N.\n\n| a | 1 | 2 | 3 | 4 |")


def test_lesson_00_gives_the_cautions_in_full():
    text = prose(read(LESSONS[0])).lower()
    assert [words for words in (*HELD_ONCE, "gas under pressure", "spring energy", "proper stand", "slowly first",
                                "clear everything", "both legs alike") if words not in text] == []


def test_the_formula_sheet_names_laws_that_stand_where_it_says():
    root = Path(__file__).resolve().parents[2]
    sheet = list(laws())
    assert len(sheet) > 60
    assert not [name for _, name, where in sheet if f"\ndef {name}(" not in (root / where).read_text(encoding="utf-8")]
