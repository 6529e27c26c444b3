"""`suspedu pen`: what an examiner decides by hand, the trail of all changes, and the copies of the record."""

from __future__ import annotations

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
    points.add_argument("points", type=float)
    points.add_argument("--reason", required=True, help="why, for the student and the trail")
    points.add_argument("--name", required=True, help="who says so")
    due = what.add_parser("due", help="set a deadline")
    due.add_argument("exercise")
    due.add_argument("when", help="2026-12-01, to its end, or '2026-12-01 18:00'")
    due.add_argument("--late", type=float, default=100.0, metavar="PERCENT",
                     help="percent of the points off for each day begun (default: 100)")
    due.add_argument("--student", default="", help="for this student alone")
    _add_small_words(what)
    for each in what.choices.values():
        add_desk_arguments(each)


def _add_small_words(what) -> None:
    """The words that take no options of their own."""
    weight = what.add_parser("weight", help="let the points of an exercise count more or less in the total")
    weight.add_argument("exercise")
    weight.add_argument("weight", type=float)
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
        aside = backups.restore(desk.folder / "record.sqlite", desk.copies, args.copy)
        print(f"The record is that of {args.copy} again; what it was until now is kept in '{aside}'")
        print(f"Return sheets, class book and tables are renewed by: suspedu classbook --desk {desk.folder}")
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
            print("The return sheets are renewed; class book and tables are renewed by: suspedu classbook --desk "
                  f"{desk.folder}")


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
    pen.set_points(record, args.student, _full_name(record, args.exercise), args.question, args.points, args.reason,
                   args.name)


def _due(record: RecordBook, args: Namespace) -> None:
    pen.set_due(record, _full_name(record, args.exercise), args.when, args.late / 100.0, args.student)


DOES = {
    "points": _points,
    "due": _due,
    "weight": lambda record, args: pen.set_weight(record, _full_name(record, args.exercise), args.weight),
    "leave": lambda record, args: pen.take_leave(record, args.student),
    "back": lambda record, args: pen.take_leave(record, args.student, back=True),
    "trail": lambda record, args: None,
}
