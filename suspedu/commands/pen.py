"""`suspedu pen`: what an examiner decides by hand, the trail of all changes, and the copies of the record."""

from __future__ import annotations

import shlex
from argparse import ArgumentParser, Namespace

from suspedu.commands.desk_arguments import add_desk_arguments
from suspedu.coursework.book.sheet_page import write_sheets
from suspedu.coursework.desk import backups, pen
from suspedu.coursework.desk.desk import Desk
from suspedu.coursework.desk.record_book import RecordBook
from suspedu.units import InputError, nearest


def add_arguments(parser: ArgumentParser) -> None:
    """Arguments of the command."""
    what = parser.add_subparsers(dest="what", metavar="WHAT", required=True)
    points = what.add_parser("points", help="set the points of a question, with a reason that the student reads")
    for name in ("student", "exercise", "question"):
        points.add_argument(name)
    points.add_argument("points", help="such as 1.5 or 1,5; also for an oral, where nothing was handed in")
    points.add_argument("--reason", required=True, help="why, for the student and the trail")
    points.add_argument("--name", required=True, help="who says so")
    points.add_argument("--date", default="", metavar="DAY", help="day of it, such as 2026-11-20 (default: today)")
    due = what.add_parser("due", help="set a deadline")
    due.add_argument("exercise")
    due.add_argument("when", help="2026-12-01, to its end, or '2026-12-01 18:00'")
    due.add_argument("--late", metavar="PERCENT", help="percent of the points off for each day begun (default: 100; "
                                                       "for a student, as for the class)")
    due.add_argument("--student", default="", help="for this student alone")
    _add_small_words(what)
    for each in what.choices.values():
        add_desk_arguments(each)


def _add_small_words(what) -> None:
    """The words that take no options of their own."""
    weight = what.add_parser("weight", help="let the points of an exercise count more or less in the total")
    weight.add_argument("exercise")
    weight.add_argument("weight")
    for name, words in (("leave", "a student leaves the class"), ("back", "a student who left comes back")):
        what.add_parser(name, help=words).add_argument("student")
    what.add_parser("trail", help="show every change that was made")
    what.add_parser("copies", help="show the dated copies of the record")
    what.add_parser("restore", help="go back to a copy of the record").add_argument("copy", help="as 'copies' shows it")


def run(args: Namespace) -> int:
    """Do what is asked, after a copy of the record was made, and say it."""
    desk = Desk(args.desk)
    if args.what == "copies":
        print(*(path.stem.removeprefix("record ") for path in backups.copies(desk.copies)), sep="\n")
    elif args.what == "restore":
        _restore(desk, args.copy)
    else:
        _write(desk, args)
    return 0


def _write(desk: Desk, args: Namespace) -> None:
    """Do what is asked of the record; return sheets show expected values where they did."""
    changes = args.what != "trail"
    if changes:
        desk.back_up()
    with desk.record() as record:
        DOES[args.what](record, args)
        print(*(f"{at}  {said}" for at, said in record.trail()[-1 if changes else 0:]), sep="\n")
        if changes:
            write_sheets(desk.sheets, record, with_solutions=None)
            print(f"The return sheets are renewed; class book and tables are renewed by: {_classbook(desk)}")


def _classbook(desk: Desk) -> str:
    """The command that writes the class book of a desk."""
    return f"suspedu classbook --desk {shlex.quote(str(desk.folder))}"


def _restore(desk: Desk, copy: str) -> None:
    """Go back to a copy, and say there and here which lines of the trail that takes away."""
    aside, later = backups.restore(desk.folder / "record.sqlite", desk.copies, copy)
    if later is None:
        what = "what was written later cannot be read"
    else:
        count = f"{len(later)} later line{'s' * (len(later) != 1)}"
        hours = dict.fromkeys((later[0][0], later[-1][0])) if later else ()
        what = f"it takes away {count}" + (f" ({' to '.join(hours)})" if later else "")
    with desk.record() as record, record.whole() as base:
        record.tell(base, f"the record went back to the copy of {copy}: {what}; until then it is '{aside.name}'")
    print(f"The record is that of {copy} again; what it was until now is kept in '{aside}'; {what}")
    print(*(f"- {at}  {said}" for at, said in later or []), sep="\n", end="\n" if later else "")
    print(f"Return sheets, class book and tables are renewed by: {_classbook(desk)}")


def _number(text: str, what: str) -> float:
    """A number as typed, with a decimal point or a comma.

    Raises: InputError for anything else.
    """
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise InputError(f"{what} is '{text[:20]}'; give a number, such as 1.5 or 1,5") from None


def _full_name(record: RecordBook, exercise: str) -> str:
    """The exercise of a number or name.

    Raises: InputError where the record knows none.
    """
    known = list(record.asked())
    found = [name for name in known if name == exercise or name.partition("_")[0] == exercise.zfill(2)]
    if len(found) != 1:
        raise InputError(f"the record has no exercise '{exercise}'{nearest(exercise, known)}; it has: "
                         + ", ".join(known))
    return found[0]


def _points(record: RecordBook, args: Namespace) -> None:
    pen.set_points(record, args.student, _full_name(record, args.exercise), args.question,
                   _number(args.points, "the number of points"), args.reason, args.name, args.date)


def _due(record: RecordBook, args: Namespace) -> None:
    off_a_day = _number(args.late, "--late") / 100.0 if args.late is not None else None
    pen.set_due(record, _full_name(record, args.exercise), args.when, off_a_day, args.student)


DOES = {
    "points": _points,
    "due": _due,
    "weight": lambda record, args: pen.set_weight(record, _full_name(record, args.exercise),
                                                  _number(args.weight, "the weight")),
    "leave": lambda record, args: pen.take_leave(record, args.student),
    "back": lambda record, args: pen.take_leave(record, args.student, back=True),
    "trail": lambda record, args: None,
}
