"""A table of answers in words is not written over while it holds points or remarks that were not read in."""

from __future__ import annotations

import hashlib
import math
import shlex
from pathlib import Path

from suspedu.coursework.book.page import plain
from suspedu.coursework.desk.class_list import read_table
from suspedu.coursework.desk.record_book import RecordBook
from suspedu.files import as_meant
from suspedu.units import InputError

LONGEST_CELL = 4000  # characters
MOST_SHOWN = 5  # rows that a sentence names


def require_read(path: Path, record: RecordBook, needed: set[str], signs: dict[str, str]) -> None:
    """Refuse to write over a file that is no table of answers in words, or that somebody has filled in since.

    Parameters: path; record; needed, the columns that such a table has; signs, students by what stands for them.
    Raises: InputError with one sentence that says what to do first.
    """
    if not path.exists():
        return
    rows = _rows(path, needed)
    read = _read_in(record)
    new = [number for number, cells in rows
           if (cells.get("points") or cells.get("remark")) and not _is_read(cells, read, signs)]
    if new:
        more = f" and {len(new) - MOST_SHOWN} more" if len(new) > MOST_SHOWN else ""
        raise InputError(f"'{path}' holds points or remarks that were not read in yet (row "
                         f"{', '.join(map(str, new[:MOST_SHOWN]))}{more}); read them first with 'suspedu classbook "
                         f"--read {shlex.quote(str(path))}', or write the answers under another name")


def _rows(path: Path, needed: set[str]) -> list[tuple[int, dict[str, str]]]:
    """Rows of a table of answers in words, with their numbers."""
    try:
        rows = read_table(path)
    except InputError:
        rows = []
    head = [cell.strip().casefold() for cell in rows[0][1]] if rows else []
    if not needed <= set(head):
        raise InputError(f"'{path}' is there already and is no table of answers in words; write them under another "
                         "name")
    return [(number, dict(zip(head, (cell.strip() for cell in row), strict=False))) for number, row in rows[1:]]


def _read_in(record: RecordBook) -> dict[tuple, tuple[float, str]]:
    """Points and remarks that were read by hand, by student, exercise, question and version of the answer."""
    rows = record.rows("SELECT student, exercise, question, answer, earned, remark FROM by_hand")
    return {(*key, version(answer)): read for *key, answer, earned, remark in rows for read in [(earned, remark)]}


def _is_read(cells: dict[str, str], read: dict[tuple, tuple[float, str]], signs: dict[str, str]) -> bool:
    """Whether a row says what the record has of each of its students; text of the record as a table shows it."""
    key = [as_meant(cells.get(name, "")) for name in ("exercise", "question")]
    kept = [read.get((signs.get(student, student), *key, cells.get("version", "")))
            for student in as_meant(cells.get("student", "")).split()]
    return bool(kept) and all(each and _is_same(cells, *each) for each in kept)


def _is_same(cells: dict[str, str], earned: float, remark: str) -> bool:
    """Whether points and remark of a row are those that were read; a table shows six digits."""
    try:
        points = float(cells["points"].replace(",", "."))
    except ValueError:
        return False
    return (math.isclose(points, earned, rel_tol=1e-5)
            and as_meant(cells.get("remark", "")) in (remark, plain(remark, LONGEST_CELL).strip()))


def version(answer: str) -> str:
    """Short hash of an answer, so that points for one are not given to another handed in later."""
    return "v" + hashlib.sha256(answer.encode()).hexdigest()[:8]
