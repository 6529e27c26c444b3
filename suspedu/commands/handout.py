"""`suspedu handout`: exercises for a class, each student with their own numbers."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from suspedu.commands.desk_arguments import add_course_arguments, add_desk_arguments
from suspedu.commands.progress import Progress
from suspedu.coursework.book.page import how_many
from suspedu.coursework.desk.class_list import read_class
from suspedu.coursework.desk.desk import Desk, materials
from suspedu.coursework.desk.handout import hand_out


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
    desk = Desk(args.desk)
    progress = Progress(len(students) * len(found), "numbers drawn and tried")
    count = hand_out(desk, students, found, args.new_secret, progress.step)
    print(f"{how_many(len(students), 'student')}, {how_many(len(found), 'exercise')} in '{desk.handed_out}': "
          f"{count['new']} written, {count['renewed']} renewed, {count['same']} unchanged")
    return 0
