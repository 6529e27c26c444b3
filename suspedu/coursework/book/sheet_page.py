"""The return sheet: one self-contained page per student with answers, verdicts, hints, points and remarks."""

from __future__ import annotations

from pathlib import Path

from suspedu.coursework.book.page import page, shown, table
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.record_book import Marked, RecordBook, Scored
from suspedu.coursework.exercise.verdicts import BY_HAND, RIGHT
from suspedu.files import write_whole

LONGEST_ANSWER, LONGEST_PRINT = 1500, 300


def write_sheets(folder: Path, record: RecordBook, with_solutions: bool = False) -> int:
    """Write the return sheets that are new or changed; how many those are."""
    folder.mkdir(parents=True, exist_ok=True)
    count = 0
    for student in record.students():
        marks = list(record.marked(student.number))
        path, text = folder / f"{student.number}.html", return_sheet(student, marks, with_solutions)
        if marks and not (path.exists() and path.read_bytes() == text.encode()):
            write_whole(path, text)
            count += 1
    return count


def return_sheet(student: Student, marks: list[Marked], with_solutions: bool = False) -> str:
    """The page of one student.

    Parameters: student; marks, all of theirs; with_solutions, whether the expected values are shown too.
    """
    earned, possible = sum(m.earned for m in marks), sum(m.possible for m in marks)
    who = f"{student.number} {student.name}".strip()
    parts = [f"<h1>Return sheet: {shown(who, 120)}</h1>", f"<p>{earned:g} of {possible} points so far.</p>"]
    if len(marks) > 1:
        rows = [[m.exercise, f"{m.earned:g}", m.possible] for m in marks]
        parts.append(table(["exercise", "points", "of"], rows, (1, 2)))
    parts += [_exercise(marked, with_solutions) for marked in marks]
    return page(f"Return sheet {student.number}", "\n".join(parts))


def _exercise(marked: Marked, with_solutions: bool) -> str:
    head = [f"<h2>Exercise {shown(marked.exercise)}: {marked.earned:g} of {marked.possible} points</h2>",
            f"<p class=small>Marked {shown(marked.at)}; file {shown(marked.origin, 160)} "
            f"({'fingerprint ' + marked.digest[:12] if marked.digest else 'unreadable'}).</p>"]
    if marked.fault:
        return "\n".join([*head, f"<p class=wrong>This file could not be marked: {shown(marked.fault, 400)}.</p>"])
    notes = "".join(f"<li>{shown(note, 300)}</li>" for note in marked.notes)
    head += [f"<ul class=small>{notes}</ul>"] if notes else []
    return "\n".join([*head, *(_question(q, with_solutions) for q in marked.questions)])


def _question(scored: Scored, with_solutions: bool) -> str:
    points = f"{scored.earned:g} of" if scored.earned is not None else "not yet marked, up to"
    kind = "right" if scored.verdict == RIGHT else "" if scored.verdict == BY_HAND else "wrong"
    lines = [f"<h3>{shown(scored.question)} {shown(scored.title, 120)}</h3>",
             f"<p class=\"{kind}\"><strong>{shown(scored.verdict)}</strong>, {points} {scored.possible} points</p>"]
    if scored.answer:
        lines.append(f"<pre>{shown(scored.answer, LONGEST_ANSWER)}</pre>")
    if scored.printed:
        lines.append(f"<p>With your numbers this gives:</p><pre>{shown(scored.printed, LONGEST_PRINT)}</pre>")
    if scored.hint:
        lines.append(f"<p>{shown(scored.hint[:1].upper() + scored.hint[1:], 600)}</p>")
    if with_solutions and scored.expected:
        lines.append(f"<p>Expected:</p><pre>{shown(scored.expected, LONGEST_PRINT)}</pre>")
    return "\n".join(lines)
