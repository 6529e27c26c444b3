"""Points that a person gave for an answer hold for one that says the same; where they fall away, that is told."""

from __future__ import annotations

import ast
import sqlite3
import warnings

from suspedu.coursework.desk.marked import Marked, Scored
from suspedu.coursework.exercise.magic_lines import without_magics
from suspedu.coursework.exercise.names import UNREADABLE
from suspedu.coursework.exercise.verdicts import BY_HAND


def carry(base: sqlite3.Connection, marked: Marked) -> list[str]:
    """Give what a person decided to answers that say the same, before a mark is written and inside its transaction.

    Parameters: base; marked, what takes the place of an earlier mark.
    Returns: a sentence for each question whose points were set by the pen and do not hold any more.
    """
    now = {q.question: q for q in marked.questions}
    for table in ("pen", "by_hand"):
        for question, answer in _decided(base, table, marked):
            if question in now and says_the_same(answer, now[question]):
                base.execute(f"UPDATE {table} SET answer=? WHERE student=? AND exercise=? AND question=?",
                             (now[question].answer, marked.student, marked.exercise, question))
    return _fallen(base, marked, now)


def _decided(base: sqlite3.Connection, table: str, marked: Marked) -> list[tuple[str, str]]:
    return base.execute(f"SELECT question, answer FROM {table} WHERE student=? AND exercise=?",
                        (marked.student, marked.exercise)).fetchall()


def _fallen(base: sqlite3.Connection, marked: Marked, now: dict[str, Scored]) -> list[str]:
    """Points by the pen that held for the answers of the file that is marked now, and hold for the new ones no more."""
    rows = base.execute(
        "SELECT question, p.earned, possible, who, reason, answer FROM pen p JOIN question q USING (student, exercise, "
        "question, answer) JOIN marked m USING (student, exercise) WHERE student=? AND exercise=? AND m.digest!='' "
        "ORDER BY place", (marked.student, marked.exercise)).fetchall()
    return [f"student {marked.student}, {marked.exercise}, {question}: the {earned:g} of {possible} points that {who} "
            f"set ({reason}) are taken away, for the answer is another now (set them again if they shall hold)"
            for question, earned, possible, who, reason, answer in rows
            if question not in now or answer != now[question].answer]


def says_the_same(answer: str, scored: Scored) -> bool:
    """Whether an answer differs from a question's by blanks, blank lines and, where it is code, by remarks alone.

    >>> rate = Scored("rate", "Rate", 1.0, 2, "wrong", answer="rate = 2  # N/m")
    >>> says_the_same("# my own\\nrate=2", rate), says_the_same("rate = 3", rate)
    (True, False)
    """
    if scored.verdict == BY_HAND:
        return bool(answer.split()) and answer.split() == scored.answer.split()
    return bool(meant := _code(answer)) and meant == _code(scored.answer)


def _code(source: str) -> str:
    """What a source does, remarks and blank lines left out; nothing where it does nothing."""
    try:
        with warnings.catch_warnings(action="ignore"):
            tree = ast.parse(without_magics(source))
            return ast.dump(tree) if tree.body else ""
    except UNREADABLE:
        return "\n".join(line.rstrip() for line in source.splitlines() if line.strip())
