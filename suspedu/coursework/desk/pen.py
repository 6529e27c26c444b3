"""The examiner's pen: points set by a person, deadlines, weights, who left; all of it told in the trail."""

from __future__ import annotations

import time

from suspedu.coursework.desk import marked_rows
from suspedu.coursework.desk.lateness import Due, moment
from suspedu.coursework.desk.marked import NOT_MARKED, NOTHING_IN, Marked, Scored
from suspedu.coursework.desk.record_book import RecordBook, now
from suspedu.units import InputError, nearest


def set_points(record: RecordBook, student: str, exercise: str, question: str, points: float, reason: str,
               who: str, day: str = "") -> None:
    """Set the points of a question, whatever the marking said; they hold for the answer that was read.

    Parameters: record; student, exercise, question; points; reason, shown to the student; who says so; day, on which
    it was decided, such as "2026-11-20" (today, where none is given).
    Raises: InputError for a question that there is not, points that there are not, no reason, or a day that is none.
    Where nothing was handed in, an oral or a paper, the other questions have no points.
    """
    at, handed_in = typed_day(day) if day else now(), next(record.marked(student, exercise), None)
    scored = _question_of(handed_in or _nothing_in(record, student, exercise), question)
    if not 0 <= points <= scored.possible:
        raise InputError(f"points are {points:g}; allowed for '{question}': 0 to {scored.possible}")
    if not reason.strip() or not who.strip():
        raise InputError("points are set with a reason and a name (--reason, --name); the student reads both")
    before = "none" if scored.earned is None else f"{scored.earned:g}"
    is_oral = not handed_in or handed_in.origin == NOTHING_IN
    on = (f" on {day.strip()}" if day else "") + (f" ({NOTHING_IN})" if is_oral else "")
    with record.whole() as base:
        if not handed_in:
            marked_rows.put(base, _nothing_in(record, student, exercise))
        base.execute("INSERT OR REPLACE INTO pen VALUES(?,?,?,?,?,?,?,?)",
                     (student, exercise, question, points, reason.strip(), who.strip(), scored.answer, at))
        record.tell(base, f"student {student}, {exercise}, {question}: {before} -> {points:g} of {scored.possible} "
                          f"set by {who.strip()}{on}: {reason.strip()}")


def _question_of(marked: Marked, question: str) -> Scored:
    found = {q.question: q for q in marked.questions}
    if question not in found:
        raise InputError(f"the record has no answer of student '{marked.student}' to '{marked.exercise}', question "
                         f"'{question}'{nearest(question, found)}; known there: {', '.join(found) or 'nothing'}")
    return found[question]


def typed_day(day: str) -> str:
    """A day as the record writes it.

    Raises: InputError for what is none.
    """
    try:
        return time.strftime("%Y-%m-%d", time.strptime(day.strip(), "%Y-%m-%d"))
    except ValueError:
        raise InputError(f"the day is '{day[:40]}'; type it as 2026-12-01") from None


def _nothing_in(record: RecordBook, student: str, exercise: str) -> Marked:
    """The row of a student of the class who handed in nothing: all questions without points; none for a stranger."""
    here = student in {each.number for each in record.students()}
    questions = tuple(Scored(key, title, 0.0, possible, NOT_MARKED)
                      for key, title, possible, _ in record.asked().get(exercise, []) if here)
    return Marked(student, exercise, "", "", NOTHING_IN, 0.0, now(), questions=questions)


def set_due(record: RecordBook, exercise: str, when: str, off_a_day: float | None = None, student: str = "") -> Due:
    """Set the deadline of an exercise, for the class or for one student.

    Parameters: record; exercise; when, "2026-12-01" (to its end) or "2026-12-01 18:00", local time; off_a_day, share of
    the points lost for each day begun [-], 1 where late is nothing (without it a student has that of the class, and the
    class 1); student, or "" for all.
    """
    _require_known(record, student, exercise)
    if off_a_day is None:
        of_all = record.dues().get((exercise, "")) if student else None
        off_a_day = of_all.off_a_day if of_all else 1.0
    if not 0.0 <= off_a_day <= 1.0:
        raise InputError(f"late is {100 * off_a_day:g} % a day; allowed: 0 to 100")
    due = Due(moment(when), off_a_day)
    whom = f"student {student}" if student else "all"
    with record.whole() as base:
        base.execute("INSERT OR REPLACE INTO due VALUES(?,?,?,?)", (exercise, student, due.at, due.off_a_day))
        record.tell(base, f"{exercise} is due for {whom} on {when}, {100 * off_a_day:g} % off for each day late")
    return due


def set_weight(record: RecordBook, exercise: str, weight: float) -> None:
    """Set how much the points of an exercise count in the total; 1 where nothing was set."""
    _require_known(record, "", exercise)
    if not 0.0 <= weight <= 100.0:
        raise InputError(f"the weight is {weight:g}; allowed: 0 to 100")
    with record.whole() as base:
        base.execute("INSERT OR REPLACE INTO weight VALUES(?,?)", (exercise, weight))
        record.tell(base, f"{exercise} counts {weight:g} time{'s' * (weight != 1)}")


def take_leave(record: RecordBook, student: str, back: bool = False) -> None:
    """A student leaves the class, or comes back: who left gets no copies and stands in no table; their marks stay."""
    gone = record.left()
    if student in gone and not back:
        raise InputError(f"student {student} has left the class already ('suspedu pen back {student}' takes them in "
                         "again)")
    numbers = gone if back else [s.number for s in record.students()]
    if student not in numbers:
        raise InputError(f"{'nobody of that number left' if back else 'the class has no student'}: '{student}'"
                         f"{nearest(student, numbers)}")
    with record.whole() as base:
        base.execute("UPDATE student SET gone=? WHERE number=?", ("" if back else now(), student))
        record.tell(base, f"student {student} {'came back to' if back else 'left'} the class")


def _require_known(record: RecordBook, student: str, exercise: str) -> None:
    numbers, exercises = [s.number for s in record.students()], list(record.asked())
    for what, name, known in (("student", student, numbers), ("exercise", exercise, exercises)):
        if name and name not in known:
            raise InputError(f"the record has no {what} '{name}'{nearest(name, known)}")
