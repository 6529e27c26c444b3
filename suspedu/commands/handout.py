"""`suspedu handout`: exercises for a class, each student with their own numbers."""

from __future__ import annotations

import shlex
from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from pathlib import Path

from suspedu.commands.desk_arguments import add_course_arguments, add_desk_arguments
from suspedu.commands.progress import Progress
from suspedu.coursework.book.page import how_many
from suspedu.coursework.desk.class_list import Student, read_class
from suspedu.coursework.desk.desk import Desk, materials
from suspedu.coursework.desk.handout import hand_out
from suspedu.coursework.desk.record_book import RecordBook

MOST_NAMES = 30  # that a sentence names


def add_arguments(parser: ArgumentParser) -> None:
    """Arguments of the command."""
    parser.add_argument("class_list", type=Path, metavar="CLASS.csv", help="student number, optional name and address")
    parser.add_argument("exercise", nargs="*", help="numbers of exercises, such as 01 02 (default: all)")
    parser.add_argument("--new-secret", action="store_true", help="where the course secret is lost: make another one")
    add_desk_arguments(parser)
    add_course_arguments(parser)


def run(args: Namespace) -> int:
    """Hand out and say what was written."""
    students = read_class(args.class_list)
    found = materials(args.exercise, args.solutions, args.exercises)
    desk, left = Desk(args.desk), []
    progress = Progress(len(students) * len(found), "numbers drawn and tried")
    count = hand_out(desk, students, found, args.new_secret, progress.step, left.append)
    stay = f", {len(left)} left as they are" if left else ""
    print(f"{how_many(len(students), 'student')}, {how_many(len(found), 'exercise')} in '{desk.handed_out}': "
          f"{count['new']} written, {count['renewed']} renewed, {count['same']} unchanged{stay}")
    with desk.record() as record:
        for said in _named(args, students, left, record):
            print(said)
    return 0


def _named(args: Namespace, students: list[Student], copies: list[str], record: RecordBook) -> Iterator[str]:
    """Sentences on copies that hold work, and on students of whom list and record say different things."""
    listed, desk = {student.number for student in students}, shlex.quote(str(args.desk))
    gone = [number for number in record.left() if number in listed]
    others = [student.number for student in record.students() if student.number not in listed]
    if copies:
        yield f"- somebody has worked in these copies; move them away to have them written anew: {_some(copies)}"
    if gone:
        yield (f"- left the class and got no copy: {_some(gone)} (who is back: suspedu pen back NUMBER --desk {desk})")
    if others:
        yield (f"- in the class, but not in '{args.class_list.name}', and without a new copy: {_some(others)} "
               f"(who left: suspedu pen leave NUMBER --desk {desk})")


def _some(names: list[str]) -> str:
    more = f" and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else ""
    return ", ".join(names[:MOST_NAMES]) + more
