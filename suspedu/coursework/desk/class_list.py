"""The class list: a CSV as a spreadsheet writes it, read whatever its encoding and its separator."""

from __future__ import annotations

import codecs
import csv
import io
import re
from dataclasses import dataclass, field
from pathlib import Path

from suspedu.units import InputError

NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,31}")
RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?|.*\.", re.IGNORECASE)  # names of Windows' own
HEADINGS = {"number": ("number", "student number", "student", "id", "student id", "no", "matriculation number"),
            "name": ("name", "full name", "student name"),
            "address": ("address", "email", "e-mail", "mail", "email address", "e-mail address"),
            "platform": ("platform number", "platform id", "platform")}
MOST_STUDENTS, MOST_BYTES = 5000, 2 << 20


@dataclass(frozen=True)
class Student:
    """One student of the class; `number` is what everything else refers to.

    `platform` is the number that a learning platform writes on the files, `other` what else the list has, by heading.
    """

    number: str
    name: str = ""
    address: str = ""
    platform: str = ""
    other: dict[str, str] = field(default_factory=dict, hash=False)


def read_class(path: Path | str) -> list[Student]:
    """The students of a class list, in its order.

    Parameters: path of a CSV with the student number first or under a heading, optionally name and address.
    Raises: InputError naming each row that cannot be used and why.
    """
    path = Path(path)
    rows = read_table(path)
    columns, others = _columns(rows, path.name)
    faults, students = [], []
    for number, row in rows[0 if others is None else 1:]:
        student = _student(row, columns, others or {})
        fault = _fault(student, students)
        faults += [f"row {number}: {fault}"] if fault else []
        students.append(student)
    if faults:
        more = f" (and {len(faults) - 8} more)" if len(faults) > 8 else ""
        raise InputError(f"class list '{path.name}': " + "; ".join(faults[:8]) + more)
    if not 1 <= len(students) <= MOST_STUDENTS:
        raise InputError(f"class list '{path.name}' names {len(students)} students; allowed: 1 to {MOST_STUDENTS}")
    return students


def _student(row: list[str], columns: dict[str, int], others: dict[str, int]) -> Student:
    """A student from a row, of which short ones leave the rest empty."""
    told, other = ({key: row[k].strip() if k < len(row) else "" for key, k in each.items()}
                   for each in (columns, others))
    return Student(**told, other=other)


def _fault(student: Student, before: list[Student]) -> str:
    number = student.number
    if not number:
        return "the student number is missing"
    if not NUMBER.fullmatch(number) or RESERVED.fullmatch(number):
        return f"student number {number[:40]!r} must be 1 to 32 letters, digits, '.', '_' or '-' (is it the number?)"
    if number.casefold() in {other.number.casefold() for other in before}:
        return f"student number {number!r} is there twice"
    names = {name.casefold() for other in before for name in (other.number, other.platform)}
    if student.platform and student.platform.casefold() in names:
        return f"the platform's number {student.platform!r} is there twice, or is another's student number"
    return ""


def _columns(rows: list[tuple[int, list[str]]], name: str) -> tuple[dict[str, int], dict[str, int] | None]:
    """Which column holds what, and the other columns by heading; None where the list has no headings."""
    if not rows:
        raise InputError(f"class list '{name}' is empty")
    head = [cell.strip().casefold() for cell in rows[0][1]]
    found = {key: next((head.index(word) for word in words if word in head), None) for key, words in HEADINGS.items()}
    if found["number"] is not None:
        ours = {key: k for key, k in found.items() if k is not None}
        return ours, {cell.strip(): k for k, cell in enumerate(rows[0][1]) if cell.strip() and k not in ours.values()}
    if any(k is not None for k in found.values()):
        raise InputError(f"class list '{name}' has the headings {', '.join(map(repr, head[:6]))}, but none is 'number'")
    return {"number": 0, "name": 1, "address": 2}, None


def read_table(path: Path) -> list[tuple[int, list[str]]]:
    """Rows of a CSV with their numbers as a spreadsheet counts them; empty rows are left out.

    Raises: InputError where it cannot be read, is too large or is no text.
    """
    try:
        data = path.read_bytes() if path.stat().st_size <= MOST_BYTES else None
    except OSError as fault:
        raise InputError(f"'{path}' cannot be read: {fault.strerror or fault}") from None
    if data is None:
        raise InputError(f"'{path.name}' is larger than {MOST_BYTES >> 20} MB; is it the right file?")
    text, separator = _separated(decoded(data, path.name))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        return [(number, row) for number, row in enumerate(reader, 1) if any(cell.strip() for cell in row)]
    except csv.Error as fault:
        raise InputError(f"'{path.name}', line {reader.line_num}: {fault}") from None


def decoded(data: bytes, name: str) -> str:
    """Text of the bytes that a spreadsheet wrote: UTF-8, UTF-16 with or without mark, or Windows' 1252.

    >>> decoded("Zoë".encode("cp1252"), "class.csv"), decoded("Zoë".encode("utf-16"), "class.csv")
    ('Zoë', 'Zoë')
    """
    zeros = data[:200].count(0)
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        tries = ("utf-16",)
    elif zeros:
        tries = ("utf-16-le",) if data[1:200:2].count(0) > zeros / 2 else ("utf-16-be",)
    else:
        tries = ("utf-8-sig", "cp1252")
    for encoding in tries:
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise InputError(f"'{name}' is not text in UTF-8, UTF-16 or Windows-1252; save it as 'CSV UTF-8'")


def _separated(text: str) -> tuple[str, str]:
    """The text without a spreadsheet's 'sep=' line, and its separator: the one that its first line holds most of."""
    first, _, rest = text.partition("\n")
    told = first.strip("\r\n \"").casefold()
    if told in ("sep=;", "sep=,", "sep=\t", "sep="):
        return "\n" + rest, told[4:] or "\t"  # the empty line keeps the row numbers right
    return text, max("\t;,", key=first.count)
