"""Handing out: one folder per student, each exercise with that student's own numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from pathlib import Path

from suspedu.coursework.desk import own_numbers
from suspedu.coursework.desk.as_written import AsWritten
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.desk import Desk, Lot, Material
from suspedu.coursework.desk.seal import seal_of
from suspedu.coursework.exercise import hygiene
from suspedu.coursework.exercise.carried import to_carry
from suspedu.coursework.exercise.hidden_choice import in_own_order
from suspedu.coursework.exercise.loading import notebook
from suspedu.coursework.exercise.sealed import seal_choice, unseal
from suspedu.coursework.exercise.sheet import Cell
from suspedu.files import write_whole

LEFT = "left"  # a copy that somebody has worked in


def hand_out(desk: Desk, students: list[Student], found: dict[str, Material], anew: bool = False,
             told: Callable[[int], object] = lambda count: None,
             left: Callable[[str], object] = lambda copy: None) -> Counter:
    """Write every student's copies; what is there already and right stays untouched, and so does what holds work.

    Parameters: desk; students; found, the exercises by name; anew, whether a lost secret is made anew; told, called
    with how many more copies have their numbers; left, called with each copy that stays though it is another now,
    because somebody has worked in it.
    Returns: how many files are new, renewed (the exercise changed), the same and left.
    """
    secret, count = desk.secret(anew), Counter()
    with desk.record(must_exist=False) as record:
        record.add_students(students)
        here = {student.number for student in record.students()}
        told(len(found) * sum(student.number not in here for student in students))
        students = [student for student in students if student.number in here]  # but those who left the class
        for material in found.values():
            record.set_asked(material.name, asked(material))
            record.set_wording(material.name, wording(material))
        own_numbers.give(desk, record, found, [student.number for student in students], told)
        given = own_numbers.lots(record, found)
    written = AsWritten(desk.handed_out)
    for name, material in found.items():
        for number, copy in _copies(material, [student.number for student in students], given, secret):
            state = _write(desk.handed_out / number / f"{name}.ipynb", copy, written, material)
            count[state] += 1
            if state == LEFT:
                left(f"{number}/{name}.ipynb")
    written.keep()
    return count


def _copies(material: Material, numbers: list[str], given: Mapping[tuple[str, str], Lot],
            secret: bytes) -> Iterator[tuple[str, bytes]]:
    """The copies of an exercise, each with whose it is, sealed."""
    book, carries = notebook(material.path), to_carry(material.path)
    for number in numbers:
        own = {"student": number, "seal": seal_of(secret, number, material.name)} | carries
        yield number, own_copy(book, material, given[number, material.name], own)


def asked(material: Material) -> list[tuple[str, str, int, bool]]:
    """Questions of an exercise as the record keeps them: id, title, points, by hand."""
    return [(q.id, q.title, q.possible, q.verdict is None) for q in material.pristine.questions()]


def wording(material: Material) -> list[tuple[str, str, str, str]]:
    """Questions in words: id, what is asked, the model answer, and what must be said for how many points."""
    cells, models = material.pristine.cells, {c.question: c for c in material.solution.with_role("explain")}
    asked_at = {cell.question: place for place, cell in enumerate(cells) if cell.role == "explain"}
    texts = {q: next((c.source for c in reversed(cells[:k]) if c.kind == "markdown"), "") for q, k in asked_at.items()}
    return [(q, texts[q], models[q].source, _rubric(models[q])) for q in asked_at]


def _rubric(model: Cell) -> str:
    """What must be said, a line for each point or two."""
    told = model.facts.get("rubric", "")
    return "\n".join(told) if isinstance(told, list) else str(told)


def own_copy(book: dict, material: Material, lot: Lot, facts: dict) -> bytes:
    """Bytes of a student's copy: the exercise with what is their own, and in its metadata whose it is, sealed.

    Parameters: book, the exercise's notebook; material; lot, what is the student's own; facts for the metadata.
    """
    own, hidden = {cell.id: cell.source for cell in material.own_sheet(lot).cells}, own_letters(material, lot)
    cells = [cell | {"source": own.get(cell["id"], "".join(cell["source"])), "metadata": _facts(cell, hidden)}
             for cell in book["cells"]]
    copy = hygiene.tidy(book | {"cells": cells}, exercise=material.name)
    copy["metadata"]["suspedu"] |= facts | ({"draw": lot.row} if lot.numbers else {})
    return hygiene.written(copy)


def _facts(cell: dict, hidden: dict[str, str]) -> dict:
    facts = cell["metadata"].get("suspedu", {})
    sealed = {"sealed": hidden[facts["question"]]} if facts.get("question") in hidden and "sealed" in facts else {}
    return cell["metadata"] | ({"suspedu": facts | sealed} if sealed else {})


def own_letters(material: Material, lot: Lot) -> dict[str, str]:
    """Practice prints of the choices whose options a copy has in another order, for the self-check, by question."""
    practice = {c.question: c.facts["sealed"] for c in material.pristine.with_role("verdict") if lot.orders}
    return {question: _own_letter(practice[question], f"{material.name} {question} own", tuple(order.items()))
            for question, order in lot.orders.items()}


@cache
def _own_letter(practice: str, salt: str, order: tuple[tuple[str, str], ...]) -> str:
    """Sealed letter of a choice in another order; hashing is slow, and there are few orders."""
    return seal_choice(in_own_order(unseal(practice), dict(order), salt))


def _write(path: Path, data: bytes, written: AsWritten, material: Material) -> str:
    """Write a file unless it is there already as it should be, or somebody has worked in it; its state."""
    before = path.read_bytes() if path.exists() else None
    if before not in (None, data) and written.holds_work(path, before, material.pristine):
        return LEFT
    if before != data:
        write_whole(path, data)
    written.note(path, data)
    return "new" if before is None else "same" if before == data else "renewed"
