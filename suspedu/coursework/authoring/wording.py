"""What an exercise says in the same words everywhere: its front page, a question's level, "not answered yet"."""

from __future__ import annotations

import re
from collections import Counter
from textwrap import indent

from suspedu.coursework.exercise.form_slips import NUMBER_ALONE
from suspedu.coursework.exercise.sheet import LEVELS, Cell, Sheet
from suspedu.coursework.exercise.verdicts import UNANSWERED

WORDS = "Write your answer here, in a few plain sentences."
HEADING = re.compile(r"^## \d+\. .*$", re.MULTILINE)
FRONT = """{source}

**{points} points, about {minutes} minutes**: {levels}.

1. *Run > Run All Cells* first: each check says "{unanswered}".
2. Write where it says `...`. The check below prints your answer, rounded; leave it as it is.
3. Save, and run the last cell: it marks your answers, and gives a hint where a slip is well known.

These numbers are for practice; your own come from your instructor. So write formulas and not results.{design}"""
DESIGN = """ What is designed (clicks, shims, sizes) may be
typed in as you found it: whatever does what is asked is right."""
LETTER = """try:
{source}
except TypeError as fault:
    if "ellipsis" not in str(fault):
        raise
    print("{unanswered}")"""
NUMBERS = """try:
{source}
except (TypeError, ValueError) as fault:
    if "ellipsis" in str(fault):
        print("{unanswered}")
    elif any(kind in str(fault) for kind in ("'str'", "'list'", "list.", "tuple", "sequence")):
        print("{number_alone}")
    else:
        raise"""


def reworded(solution: Sheet) -> dict[str, str]:
    """Sources of the cells that an exercise words anew, by cell id."""
    found = {cell.id: guarded(cell.source, bool(cell.facts.get("choice"))) for cell in solution.with_role("verdict")}
    found |= {cell.id: front_page(solution, cell) for cell in solution.with_role("front")}
    for place, cell in enumerate(solution.cells):
        asked = next((c for c in solution.cells[place:] if c.role in ("verdict", "explain")), None)
        if cell.kind == "markdown" and not cell.role and asked and (head := HEADING.search(cell.source)):
            found[cell.id] = cell.source.replace(head[0], f"{head[0]} ({worth(asked)})", 1)
    return found


def guarded(source: str, of_a_choice: bool = False) -> str:
    """A check that says that nothing is answered yet, or that a text is no number, in place of an error.

    >>> exec(guarded('print(f"{...:.1f} N")'))
    not answered yet
    >>> exec(guarded('print(f"{str(94) / 2:.1f} N")'))
    a number alone is wanted here, with a point for its decimals: no quotes, brackets or unit
    >>> exec(guarded('comma = 1,27; print(f"{comma:.1f} N")'))
    a number alone is wanted here, with a point for its decimals: no quotes, brackets or unit
    """
    words = {"source": indent(source, "    "), "unanswered": UNANSWERED, "number_alone": NUMBER_ALONE}
    return (LETTER if of_a_choice else NUMBERS).format(**words)


def worth(cell: Cell) -> str:
    """Level and points of a question.

    >>> worth(Cell("a", "code", "", {"level": "hard", "points": 3})), worth(Cell("a", "code", "", {"points": 1}))
    ('hard, 3 points', '1 point')
    """
    points = cell.facts["points"]
    return ", ".join(filter(None, (cell.facts.get("level", ""), f"{points} point{'s' * (points != 1)}")))


def front_page(solution: Sheet, cell: Cell) -> str:
    """The first cell: title and purpose as the solution has them, then what to do, the same in every exercise."""
    asked = solution.with_role("verdict", "explain")
    counts, points = Counter(each.facts.get("level") for each in asked), sum(each.facts["points"] for each in asked)
    levels = [f"{counts[level]} {level} ({words})" for level, words in LEVELS.items() if counts[level]]
    design = DESIGN if any(each.facts.get("property") for each in asked) else ""
    return FRONT.format(source=cell.source.rstrip(), points=points, minutes=cell.facts.get("minutes", 45),
                        levels=", ".join(levels) or f"{len(asked)} questions", unanswered=UNANSWERED, design=design)
