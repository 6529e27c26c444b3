"""The return sheet: one self-contained page per student with answers, verdicts, hints, points and remarks."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from suspedu.coursework.book.page import page
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.record_book import Marked, RecordBook, Scored
from suspedu.coursework.exercise.printed_design import is_design
from suspedu.coursework.exercise.verdicts import BY_HAND, RIGHT, SET
from suspedu.files import write_whole

LONGEST_ANSWER, LONGEST_PRINT = 1500, 300


def write_sheets(folder: Path, record: RecordBook, with_solutions: bool = False) -> int:
    """Write the return sheets that are new or changed; how many those are."""
    folder.mkdir(parents=True, exist_ok=True)
    count, rubrics = 0, {key: rubric for key, (_, _, rubric) in record.wording().items()}
    for student in record.students():
        marks = list(record.marked(student.number))
        path, text = folder / f"{student.number}.html", return_sheet(student, marks, with_solutions, rubrics)
        if marks and not (path.exists() and path.read_bytes() == text.encode()):
            write_whole(path, text)
            count += 1
    return count


def return_sheet(student: Student, marks: list[Marked], with_solutions: bool = False,
                 rubrics: Mapping[tuple[str, str], str] | None = None) -> str:
    """The page of one student.

    Parameters: student; marks, all of theirs; with_solutions, whether the expected values are shown too; rubrics, what
    had to be said in words, by exercise and question: shown once the words are marked.
    """
    who = f"{student.number} {student.name}".strip()
    return page("return_sheet.html", title=f"Return sheet {student.number}", who=who,
                earned=sum(m.earned for m in marks), possible=sum(m.possible for m in marks), marks=marks,
                summary=[[m.exercise, f"{m.earned:g}", m.possible] for m in marks], kind=kind,
                longest_answer=LONGEST_ANSWER, longest_print=LONGEST_PRINT, with_solutions=with_solutions,
                is_design=is_design, rubrics=rubrics or {})


def kind(scored: Scored) -> str:
    """How a verdict is coloured: "right", "wrong", or not at all where a person has the word."""
    return {RIGHT: "right", BY_HAND: "", SET: ""}.get(scored.verdict, "wrong")
