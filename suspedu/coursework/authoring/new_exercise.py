"""A new exercise to start from: a solution with one question of each kind, filled with an example that passes."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path

from suspedu.coursework.exercise import hygiene
from suspedu.files import write_whole
from suspedu.units import InputError

# Letters of a title as file names of every system take them; accents that are left are dropped.
PLAIN = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "å": "aa", "ø": "oe", "æ": "ae", "œ": "oe", "ł": "l", "đ": "d",
                       "ð": "d", "þ": "th", "ı": "i"})
FIRST_OWN = 20  # numbers below it are the course's
RATE = "rate = load / ({} / 1000)  # N/m"
FORCE = 'def load_at(x):\n    """Load [N] at a stroke x [mm]."""\n    return {}'
TITLE = """# Exercise {number}: {title}

One sentence: what is practised here. What to do, points and levels are written below it when this is derived."""
GIVEN = """## 1. A value

Say what is given. The values stand in the cell below; what they are drawn from stands in its metadata (`drawn`)."""
NUMBERS = """load = 240.0  # N, on the spring
shortened = 52.0  # mm, by that load
stroke = 31.0  # mm, used in question 2"""
DRAWN = {"load": [150.0, 400.0, 5.0], "shortened": [30.0, 80.0, 0.5], "stroke": [20.0, 45.0, 0.5]}
CHOICE = """## 3. A choice

Two equal springs stand side by side under the same load. What becomes of the shortening?

- **a** It doubles.
- **b** It halves.
- **c** It stays."""
WORDS = "## 4. In words\n\nAsk for a reason. What you write below is the model answer; the rubric is in the metadata."
MODEL = ("Each of the two springs carries half of the load, and a straight spring shortens in proportion to its load. "
         "So both shorten by half.")


def _answer(question: str, blank: str, *slips: tuple[str, str]) -> dict:
    return {"role": "answer", "question": question, "blank": blank,
            "slips": [{"answer": answer, "hint": hint} for answer, hint in slips]}


def _verdict(question: str, title: str, points: int, **more) -> dict:
    return {"role": "verdict", "question": question, "title": title, "points": points, "level": "basic"} | more


CELLS = (
    ("title", "markdown", TITLE, {"role": "front", "minutes": 20}),
    ("setup", "code", "import math", None),
    ("a-value-given", "markdown", GIVEN, None),
    ("a-value-numbers", "code", NUMBERS, {"role": "numbers", "names": list(DRAWN), "drawn": DRAWN,
                                     "where": "load / shortened >= 2.5 and load / shortened <= 9"}),
    ("a-value-text", "markdown", "What is the rate of the spring, in N/m?", None),
    ("a-value-answer", "code", RATE.format("shortened"), _answer(
        "a-value", "rate = ...  # N/m\n", ("rate = load / shortened", "Newton per metre are asked for."),
        ("rate = shortened / 1000 / load", "Which way round is a rate?"))),
    ("a-value-verdict", "code", 'print(f"{rate / 1000:.3f} N/mm")', _verdict("a-value", "A value", 2)),
    ("a-function-text", "markdown",
     "## 2. A function\n\nWrite a function that takes a stroke in mm and returns the load in N.", None),
    ("a-function-answer", "code", FORCE.format("load / shortened * x"), _answer(
        "a-function", FORCE.format("..."),
        (FORCE.format("load"), "Does your function use the stroke that it is given?"),
        (FORCE.format("load * x"), "By how much does each millimetre raise the load?"))),
    ("a-function-verdict", "code", 'print(f"{load_at(stroke):.2f} N")', _verdict("a-function", "A function", 2)),
    ("a-choice-text", "markdown", CHOICE, None),
    ("a-choice-answer", "code", 'choice = "b"', _answer(
        "a-choice", 'choice = ...  # "a", "b" or "c"\n',
        ('choice = "a"', "How much of the load does each of them carry?"),
        ('choice = "c"', "How much of the load does each of them carry?"))),
    ("a-choice-verdict", "code", 'print(f"{choice:s}".strip().lower())',
     _verdict("a-choice", "A choice", 1, choice=True)),
    ("in-words-text", "markdown", WORDS, None),
    ("in-words-answer", "markdown", MODEL, _verdict("in-words", "In words", 2) | {
        "role": "explain", "rubric": ["1 point: the load is shared", "1 point: in proportion"]}),
    ("check", "markdown", "## Check yourself\n\nSave the notebook first (Ctrl+S), then run the next cell.", None),
    ("tool", "code", 'from suspedu.show import selfcheck\n\nselfcheck.selfmark("{number}")', {"role": "tool"}),
)


def new_exercise(folder: Path, number: str, title: str) -> Path:
    """Write the solution of a new exercise into a folder's `solutions`; where it is.

    Parameters: folder of one's own course; number, two digits; title.
    Raises: InputError for a number that is taken, or that is one of the course's own.
    """
    if not (re.fullmatch(r"\d\d", number) and int(number) >= FIRST_OWN):
        raise InputError(f"the number is {number!r}; allowed: {FIRST_OWN} to 99 (the course's own are below)")
    if not (name := plain_name(title)):
        raise InputError(f"the title is {title!r}; give it a few words in Latin letters, such as \"Springs side by "
                         "side\"")
    if taken := sorted((folder / "solutions").glob(f"{number}_*.ipynb")):
        raise InputError(f"'{taken[0]}' has that number already; take another one, or go on with that file")
    path = folder / "solutions" / f"{number}_{name}.ipynb"
    cells = [_cell(identity, kind, source.format(number=number, title=title.strip())
                   if identity in ("title", "tool") else source, facts) for identity, kind, source, facts in CELLS]
    book = {"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5}
    return write_whole(path, hygiene.written(hygiene.tidy(book)), keep=True)


def plain_name(title: str) -> str:
    """A title as the name of a file, in small letters a to z and digits; nothing where it has none of them.

    >>> plain_name("Öl und Maß"), plain_name("Où est l'été?"), plain_name("?!")
    ('oel_und_mass', 'ou_est_l_ete', '')
    """
    letters = unicodedata.normalize("NFC", title).casefold().translate(PLAIN)
    bare = "".join(sign for sign in unicodedata.normalize("NFKD", letters) if not unicodedata.combining(sign))
    return "_".join(re.findall(r"[a-z0-9]+", bare))[:60].rstrip("_")


def _cell(identity: str, kind: str, source: str, facts: dict | None) -> dict:
    cell = {"cell_type": kind, "id": identity, "metadata": {"suspedu": facts} if facts else {}, "source": source}
    return hygiene.cleared(cell)
