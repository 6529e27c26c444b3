"""The class at a glance: as text, as a page with pictures and as CSV."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

from suspedu.coursework.book import by_hand, pictures
from suspedu.coursework.book.alike import alike
from suspedu.coursework.book.behind import behind
from suspedu.coursework.book.class_figures import ClassFigures, QuestionFigures, figures
from suspedu.coursework.book.marks_table import RETURNS, Wording, mark_rows, return_rows
from suspedu.coursework.book.page import how_many, page, plain
from suspedu.coursework.desk.record_book import Marked, RecordBook
from suspedu.files import write_csv, write_whole
from suspedu.sources import cite

METHOD = ("Share right: mean points over the points there are. Discrimination: correlation with the points of all "
          "other questions (r), and share right in the upper less that in the lower 27 % of the class (D); nothing is "
          "said of fewer than 8 returns. Words that wait to be read count no points yet.")
SIGNS = ("Points by number of the exercise. A dash: not returned, nought in the total. An asterisk: the file could not "
         "be marked.")
WEIGHTS = "Weights are set: in the total the points of an exercise count as many times as its head says."
SOURCES = ("crocker-algina", "kelley-1939")


def write_book(folder: Path, record: RecordBook, wording: Wording | None = None) -> ClassFigures:
    """Write the class book and its tables into a folder; the figures that they show.

    Parameters: folder; record; wording, how the tables are written.
    """
    found, wording = figures(record), wording or Wording()
    for name, heads, rows in (("marks", *mark_rows(found, wording)), ("returns", RETURNS, return_rows(record, wording)),
                              ("questions", QUESTIONS, question_rows(found.questions))):
        write_csv(folder / f"{name}.csv", heads, by_hand.printable_rows(rows), wording.separator)
    write_whole(folder / "classbook.html", as_page(found, record.aside(), list(record.marked())))
    return found


QUESTIONS = ("exercise", "question", "title", "returns", "share right", "r", "D", "waiting", "commonest wrong roads")


def question_rows(questions: Sequence[QuestionFigures]) -> list[list[str]]:
    """One row of text per question."""
    return [[q.exercise, q.question, q.title, str(q.item.count), _percent(q.item.share), _two(q.item.correlation),
             _two(q.item.difference), str(q.waiting or ""), _roads(q)] for q in questions]


def _percent(share: float) -> str:
    return "-" if math.isnan(share) else f"{100 * share:.0f} %"


def _two(value: float) -> str:
    return "-" if math.isnan(value) else f"{value:.2f}"


def _roads(question: QuestionFigures) -> str:
    return "; ".join(f"{count} x {plain(words, 160).rstrip('.')}" for count, words in question.roads)


def exercise_rows(found: ClassFigures) -> list[list[str]]:
    """One row of text per exercise: returned, not returned, unreadable, mean, median."""
    rows = []
    for exercise in found.exercises:
        shares = sorted(found.shares(exercise))
        mean = sum(shares) / len(shares) if shares else float("nan")
        median = (shares[(len(shares) - 1) // 2] + shares[len(shares) // 2]) / 2 if shares else float("nan")
        bad = sum(name == exercise for _, name in found.unreadable)
        rows.append([exercise, str(len(shares)), str(len(found.missing(exercise))), str(bad), _percent(mean),
                     _percent(median)])
    return rows


EXERCISES = ["exercise", "returned", "not returned", "not markable", "mean", "median"]


def as_text(found: ClassFigures) -> str:
    """The summary as plain text."""
    lines = [f"Class of {how_many(len(found.students), 'student')}", ""]
    lines += [_columns([EXERCISES, *exercise_rows(found)]), ""]
    lines.append(_columns([list(QUESTIONS[:8]), *(row[:8] for row in question_rows(found.questions))]))
    roads = [f"  {q.exercise} {q.question}: {_roads(q)}" for q in found.questions if q.roads]
    lines += ["", "Commonest wrong roads:", *roads] if roads else []
    missing = {exercise: found.missing(exercise) for exercise in found.exercises}
    absent = [f"Not returned {exercise}: {', '.join(students)}" for exercise, students in missing.items() if students]
    lines += ["", *absent] if absent else []
    return "\n".join(lines)


def _columns(rows: list[list[str]]) -> str:
    wide = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    return "\n".join("  ".join(cell.ljust(w) for cell, w in zip(row, wide, strict=True)).rstrip() for row in rows)


def as_page(found: ClassFigures, aside: Sequence[str] = (), marked: Sequence[Marked] = ()) -> str:
    """The class book as one self-contained page with pictures; each student's line leads to what stands behind it.

    Parameters: found, the figures; aside, sentences about files that count for nobody; marked, all that was marked.
    """
    reasons = behind(marked)
    return page("classbook.html", title="Class book", students=how_many(len(found.students), "student"),
                overview=(EXERCISES, exercise_rows(found), (1, 2, 3, 4, 5)),
                exercises=[_exercise(found, exercise) for exercise in found.exercises],
                signs=f"{SIGNS} {WEIGHTS}" if found.weights else SIGNS,
                marks=mark_table(found), aside=aside, twins=list(map(str, alike(marked))), method=METHOD,
                behind=[(s.number, s.name, reasons.get(s.number, [])) for s in found.students],
                sources=[cite(key) for key in SOURCES])


def _exercise(found: ClassFigures, exercise: str) -> dict:
    """What the page shows of one exercise."""
    asked = [q for q in found.questions if q.exercise == exercise]
    names = [f"{q.question} {q.title}" for q in asked]
    shares = [0.0 if math.isnan(q.item.share) else q.item.share for q in asked]
    texts = [_percent(q.item.share) for q in asked]
    rows = [[name, *row[3:8]] for name, row in zip(names, question_rows(asked), strict=True)]
    points = found.shares(exercise)
    return {"name": exercise, "returned": len(points), "questions": asked,
            "distribution": pictures.distribution(f"{exercise}: returns by share of the points", points),
            "shares": pictures.bar_chart(f"{exercise}: share right by question", names, shares, texts),
            "figures": (["question", *QUESTIONS[3:8]], rows, (1, 2, 3, 4, 5)),
            "missing": ", ".join(found.missing(exercise)) or "nobody"}


def mark_table(found: ClassFigures) -> tuple[list[str], list[list[str]], tuple[int, ...]]:
    """Heads, one row per student, and which columns hold points; names only where the class list has some."""
    def cell(student: str, exercise: str) -> str:
        points = f"{found.marks[student, exercise][0]:g}" if (student, exercise) in found.marks else "-"
        return f"{points} *" if (student, exercise) in found.unreadable else points
    named = any(s.name for s in found.students)
    heads = ["student", *["name"] * named, *_heads(found), f"total (of {found.total:g})"]
    rows = [[s.number, *[s.name] * named, *(cell(s.number, e) for e in found.exercises), f"{found.earned(s.number):g}"]
            for s in found.students]
    return heads, rows, tuple(range(1 + named, len(heads)))


def _heads(found: ClassFigures) -> list[str]:
    """A head for each exercise: its number, its points, how many times they count where that was set."""
    counts = {name: f", counts {weight:g} times" for name, weight in found.weights.items()}
    return [f"{name.partition('_')[0]} (of {of}{counts.get(name, '')})" for name, of in found.possible.items()]
