"""The return sheet: one self-contained page per student with answers, verdicts, hints, points and remarks."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from suspedu.coursework.book.page import page
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.marked import NOTHING_IN
from suspedu.coursework.desk.record_book import Marked, RecordBook, Scored
from suspedu.coursework.exercise.printed_design import is_design
from suspedu.coursework.exercise.verdicts import BY_HAND, RIGHT, SET
from suspedu.files import write_whole

LONGEST_ANSWER, LONGEST_PRINT = 1500, 300
SHOWN = b'id="expected"'  # in a sheet that shows expected values; what a student wrote has no such quotes


def write_sheets(folder: Path, record: RecordBook, with_solutions: bool | None = False) -> int:
    """Write the return sheets that are new or changed; how many those are.

    Parameters: folder; record; with_solutions, whether expected values are shown: None for as each sheet has them now.
    """
    folder.mkdir(parents=True, exist_ok=True)
    count, rubrics = 0, {key: rubric for key, (_, _, rubric) in record.wording().items()}
    for student in record.students():
        marks, path = list(record.marked(student.number)), folder / f"{student.number}.html"
        old = path.read_bytes() if path.exists() else b""
        shown = SHOWN in old if with_solutions is None else with_solutions
        text = return_sheet(student, marks, shown, rubrics, record.weights())
        if marks and old != text.encode():
            write_whole(path, text)
            count += 1
    return count


def return_sheet(student: Student, marks: list[Marked], with_solutions: bool = False,
                 rubrics: Mapping[tuple[str, str], str] | None = None,
                 weights: Mapping[str, float] | None = None) -> str:
    """The page of one student.

    Parameters: student; marks, all of theirs; with_solutions, whether the expected values are shown too; rubrics, what
    had to be said in words, by exercise and question: shown once the words are marked; weights, how much the points of
    an exercise count in the total, of those that were given one.
    """
    who = f"{student.number} {student.name}".strip()
    counts = [(weights or {}).get(m.exercise, 1.0) for m in marks]
    weighted = any(count != 1.0 for count in counts)
    summary = [[m.exercise, f"{m.earned:g}", m.possible, *[f"{count:g} ×"] * weighted]
               for m, count in zip(marks, counts, strict=True)]
    sums = (sum(count * each for count, each in zip(counts, points, strict=True))
            for points in ([m.earned for m in marks], [m.possible for m in marks]))
    return page("return_sheet.html", title=f"Return sheet {student.number}", who=who, marks=marks, weighted=weighted,
                **dict(zip(("earned", "possible"), sums, strict=True)), summary=summary, kind=kind, was_read=was_read,
                longest_answer=LONGEST_ANSWER, longest_print=LONGEST_PRINT, with_solutions=with_solutions,
                is_design=is_design, nothing_in=NOTHING_IN, rubrics=rubrics or {})


def was_read(scored: Scored) -> bool:
    """Whether a person has read an answer and given it points."""
    return scored.verdict in (BY_HAND, SET) and scored.earned is not None


def kind(scored: Scored) -> str:
    """How a verdict is coloured: "right", "wrong", or not at all where a person has the word."""
    return {RIGHT: "right", BY_HAND: "", SET: ""}.get(scored.verdict, "wrong")
