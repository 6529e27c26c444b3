"""Rows of the record that hold a marked file: written whole, dated, told in the trail."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass

from suspedu.coursework.desk.marked import NOTHING_IN, Marked


@dataclass(frozen=True)
class Counted:
    """The file that a mark was given for; `digest` is empty where nothing was handed in."""

    digest: str
    saved: float  # s since 1970
    origin: str
    fault: str


def put(base: sqlite3.Connection, marked: Marked) -> None:
    """Put a marked exercise in place of an earlier one, inside a transaction."""
    key = (marked.student, marked.exercise)
    base.execute("DELETE FROM question WHERE student=? AND exercise=?", key)
    base.execute("INSERT OR REPLACE INTO marked VALUES(?,?,?,?,?,?,?,?,?,?)",
                 (*key, marked.job, marked.digest, marked.origin, marked.saved, marked.at, marked.fault,
                  json.dumps(marked.notes), json.dumps(marked.evidence)))
    base.executemany("INSERT INTO question VALUES(?,?,?,?,?,?,?,?,?,?,?,?)",
                     [(*key, q.question, k, q.title, q.earned, q.possible, q.verdict, q.hint, q.printed,
                       q.expected, q.answer) for k, q in enumerate(marked.questions)])


def before(base: sqlite3.Connection, marked: Marked) -> tuple:
    """Digest, points of the marking alone and origin of what a mark replaces; an empty digest for nothing."""
    found = base.execute("SELECT digest, (SELECT sum(earned) FROM question WHERE student=m.student AND "
                         "exercise=m.exercise), origin FROM marked m WHERE student=? AND exercise=?",
                         (marked.student, marked.exercise)).fetchone()
    return found or ("", None)


def told_change(marked: Marked, digest: str, earned: float | None, origin: str = "") -> str:
    """What a marking changed, as the trail tells it; words that wait to be read are not counted.

    Parameters: marked; digest, points and origin of what was marked before, an empty digest for no file.
    """
    now = sum(q.earned or 0.0 for q in marked.questions)
    what = f"{now:g} of {marked.possible}" if not marked.fault else "could not be marked"
    if not digest:
        instead = ", in place of points that were set without a file" if origin == NOTHING_IN else ""
        return f"student {marked.student}, {marked.exercise}: {what}{instead}"
    why = "the same file" if digest == marked.digest else "another file"
    return f"student {marked.student}, {marked.exercise}: {earned or 0.0:g} before, now {what}, {why}"
