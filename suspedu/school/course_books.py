"""What the lessons of the course say about themselves: how long they take, where a word is used, what they rest on.

A lesson is read as its notebook's table (`json.load`); sections under "At home" and "For the curious" are no part of
the core path.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

from suspedu.files import course_folder

WORDS_A_MINUTE = 120  # read by somebody whose first language it is not (guess of the course)
PANEL, PREDICTION, TASK, SHOWN_CODE = 5.0, 1.0, 6.0, 1.0  # minutes each (guess of the course)
OFF_THE_CORE = ("## At home", "## For the curious")
READ_TO = "## Common slips"  # from here on a lesson is for looking things up, but for its key points


def lessons() -> dict[str, dict]:
    """The numbered lessons of this course as it is installed, by their number: not a reader's changed copies.

    >>> list(lessons())[:3]
    ['00', '01', '02']
    """
    paths = sorted((course_folder() / "lessons").glob("[0-9][0-9]_*.ipynb"))
    return {path.name[:2]: json.loads(path.read_text(encoding="utf-8")) for path in paths}


def text_of(cell: dict) -> str:
    """Source of a cell as one text."""
    return "".join(cell["source"])


def sections(book: dict) -> Iterator[tuple[str, list[dict]]]:
    """Heading and cells of each section of a lesson, the title's first.

    >>> book = {"cells": [{"cell_type": "markdown", "source": "# A"}, {"cell_type": "markdown", "source": "## B"}]}
    >>> [(head, len(cells)) for head, cells in sections(book)]
    [('# A', 1), ('## B', 1)]
    """
    head, found = "", []
    for cell in book["cells"]:
        text = text_of(cell)
        if cell["cell_type"] == "markdown" and text.startswith("#"):
            if found:
                yield head, found
            head, found = text.splitlines()[0], []
        found.append(cell)
    yield head, found


def section_minutes(cells: list[dict]) -> float:
    """Time that a section is estimated to take [min]: words read, panels turned, predictions made, tasks worked.

    >>> section_minutes([{"cell_type": "markdown", "source": "word " * 240}])
    2.0
    """
    code = [cell for cell in cells if cell["cell_type"] == "code"]
    texts = [text_of(cell) for cell in cells if cell["cell_type"] == "markdown"]
    texts += ["".join(out.get("data", {}).get("text/markdown", "")) for cell in code for out in cell["outputs"]]
    words = sum(len(re.findall(r"[^\W\d_]{2,}", text)) for text in texts)
    kinds = [(r"\bpanels\.\w+\(|setup_session\(|_form\(", PANEL), (r"asking\.predict", PREDICTION), (r"tasks\.", TASK)]
    worked = sum(minutes for cell in code for kind, minutes in kinds if re.search(kind, text_of(cell)))
    shown = sum(SHOWN_CODE for cell in code if not cell["metadata"].get("jupyter", {}).get("source_hidden"))
    return words / WORDS_A_MINUTE + worked + shown


def lesson_minutes(book: dict) -> tuple[float, float]:
    """Time of a lesson [min]: on its core path, and of what stands under "At home" and "For the curious".

    >>> book = {"cells": [{"cell_type": "markdown", "source": "# A " + "word " * 120},
    ...                   {"cell_type": "markdown", "source": "## At home: b " + "word " * 238}]}
    >>> [round(minutes, 1) for minutes in lesson_minutes(book)]
    [1.0, 2.0]
    """
    core = home = 0.0
    for head, cells in sections(book):
        if head.startswith(OFF_THE_CORE):
            home += section_minutes(cells)
        else:
            core += section_minutes(cells)
    return core, home


LINK = "[{}](to_look_things_up.ipynb#Glossary)"
# headings, code, formulas, links, tables
NO_PROSE = re.compile(r"^#.*$|`[^`]*`|\$[^$]*\$|\[[^\]]*\]\([^)]*\)|\|.*\|", re.MULTILINE)


def first_use(book: dict, word: re.Pattern) -> tuple[dict, re.Match] | None:
    """Where a word first stands in the prose of a lesson: the cell and the place; None where it never does.

    >>> book = {"cells": [{"cell_type": "markdown", "source": "# Sag\\n\\n`sag` and sag"}]}
    >>> first_use(book, re.compile("sag"))[1].start()
    17
    """
    for cell in book["cells"]:
        if cell["cell_type"] == "markdown":
            bare = NO_PROSE.sub(lambda hit: " " * len(hit[0]), text_of(cell))
            if hit := word.search(bare):
                return cell, hit
    return None


def linked(book: dict, word: re.Pattern) -> bool:
    """Whether a word is linked to the glossary before its prose uses it again, or never used at all."""
    found = first_use(book, word)
    link = re.compile(r"\[(" + word.pattern + r")\]\(to_look_")
    for cell in book["cells"]:
        if cell["cell_type"] == "markdown":
            hit = link.search(text_of(cell))
            if hit:
                return found is None or found[0] is not cell or hit.start() < found[1].start()
            if found is not None and cell is found[0]:
                return False
    return True
