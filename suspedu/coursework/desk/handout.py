"""Handing out: one folder per student, each exercise with that student's own numbers."""

from __future__ import annotations

import contextlib
from collections import Counter
from pathlib import Path

from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.desk import Desk, Material
from suspedu.coursework.desk.seal import seal_of
from suspedu.coursework.exercise import hygiene
from suspedu.coursework.exercise.loading import notebook
from suspedu.coursework.exercise.sheet import Sheet
from suspedu.files import write_whole


def hand_out(desk: Desk, students: list[Student], found: dict[str, Material]) -> Counter:
    """Write every student's copies; what is there already and right stays untouched.

    Returns: how many files are new, renewed (the exercise changed) and the same.
    """
    secret, count = desk.secret(), Counter()
    with desk.record(must_exist=False) as record:
        record.add_students(students)
        here = {student.number for student in record.students()}
        students = [student for student in students if student.number in here]  # but those who left the class
        for material in found.values():
            record.add_handout([(s.number, material.name, material.row_for(secret, s.number)) for s in students])
            record.set_asked(material.name, asked(material))
            record.set_wording(material.name, wording(material))
        rows = record.handouts()
    for material in found.values():
        book = notebook(material.path)
        for student in students:
            number = student.number
            copy = own_copy(book, material, number, rows[number, material.name], seal_of(secret, number, material.name))
            count[_write(desk.handed_out / number / f"{material.name}.ipynb", copy)] += 1
    return count


def asked(material: Material) -> list[tuple[str, str, int, bool]]:
    """Questions of an exercise as the record keeps them: id, title, points, by hand."""
    return [(q.id, q.title, q.possible, q.verdict is None) for q in material.pristine.questions()]


def wording(material: Material) -> list[tuple[str, str, str, str]]:
    """Questions in words: id, what is asked, the model answer, and what must be said for how many points."""
    cells, models = material.pristine.cells, {c.question: c for c in material.solution.with_role("explain")}
    asked_at = {cell.question: place for place, cell in enumerate(cells) if cell.role == "explain"}
    texts = {q: next((c.source for c in reversed(cells[:k]) if c.kind == "markdown"), "") for q, k in asked_at.items()}
    return [(q, texts[q], models[q].source, str(models[q].facts.get("rubric", ""))) for q in asked_at]


def own_copy(book: dict, material: Material, student: str, row: int, sealed: str) -> bytes:
    """Bytes of a student's copy: the exercise with their numbers, and in its metadata whose it is, sealed."""
    sources = {cell.id: cell.source for cell in _numbered(material.with_row(row))}
    cells = [cell | {"source": sources.get(cell["id"], "".join(cell["source"]))} for cell in book["cells"]]
    copy = hygiene.tidy(book | {"cells": cells}, exercise=material.name)
    copy["metadata"]["suspedu"] |= {"student": student, "seal": sealed}
    return hygiene.written(copy)


def _numbered(sheet: Sheet):
    return sheet.with_role("numbers")


def _write(path: Path, data: bytes) -> str:
    """Write a file unless it is there already as it should be; its state."""
    with contextlib.suppress(FileNotFoundError):
        if path.read_bytes() == data:
            return "same"
    state = "renewed" if path.exists() else "new"
    write_whole(path, data)
    return state
