"""The examiner's pen: points set by a person, deadlines, weights, who left; all of it told in the trail."""

from __future__ import annotations

from suspedu.coursework.desk.lateness import Due, moment
from suspedu.coursework.desk.record_book import RecordBook, now
from suspedu.units import InputError, nearest


def set_points(record: RecordBook, student: str, exercise: str, question: str, points: float, reason: str,
               who: str) -> None:
    """Set the points of a question, whatever the marking said; they hold for the answer that was read.

    Parameters: record; student, exercise, question; points; reason, shown to the student; who says so.
    Raises: InputError for a question that was not handed in, points that there are not, or no reason.
    """
    found = {q.question: q for m in record.marked(student) if m.exercise == exercise for q in m.questions}
    if question not in found:
        raise InputError(f"the record has no answer of student '{student}' to '{exercise}', question '{question}'"
                         f"{nearest(question, found)}; known there: {', '.join(found) or 'nothing'}")
    scored = found[question]
    if not 0 <= points <= scored.possible:
        raise InputError(f"points are {points:g}; allowed for '{question}': 0 to {scored.possible}")
    if not reason.strip() or not who.strip():
        raise InputError("points are set with a reason and a name (--reason, --name); the student reads both")
    before = "none" if scored.earned is None else f"{scored.earned:g}"
    with record.whole() as base:
        base.execute("INSERT OR REPLACE INTO pen VALUES(?,?,?,?,?,?,?,?)",
                     (student, exercise, question, points, reason.strip(), who.strip(), scored.answer, now()))
        record.tell(base, f"student {student}, {exercise}, {question}: {before} -> {points:g} of {scored.possible} "
                          f"set by {who.strip()}: {reason.strip()}")


def set_due(record: RecordBook, exercise: str, when: str, off_a_day: float = 1.0, student: str = "") -> Due:
    """Set the deadline of an exercise, for the class or for one student.

    Parameters: record; exercise; when, "2026-12-01" (to its end) or "2026-12-01 18:00", local time; off_a_day, share of
    the points lost for each day begun [-], 1 where late is nothing; student, or "" for all.
    """
    _require_known(record, student, exercise)
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
        record.tell(base, f"{exercise} counts {weight:g} times")


def take_leave(record: RecordBook, student: str, back: bool = False) -> None:
    """A student leaves the class, or comes back: who left gets no copies and stands in no table; their marks stay."""
    numbers = record.left() if back else [s.number for s in record.students()]
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
