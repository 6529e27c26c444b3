"""`suspedu democlass`: a class of invented students and their answers, to try the desk out."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from suspedu.coursework.desk.demo_class import STUDENTS, write_list, write_returns


def add_arguments(parser: ArgumentParser) -> None:
    """Arguments of the command."""
    parser.add_argument("what", choices=("list", "returns"), help="the class list, or its answers to the hand-outs")
    parser.add_argument("folder", type=Path, metavar="FOLDER", help="where class.csv, desk and returns are")
    parser.add_argument("--students", type=int, default=len(STUDENTS), metavar="N", help="only the first N")
    parser.add_argument("--solutions", type=Path, metavar="FOLDER", help="solutions, if not those of this repository")


def run(args: Namespace) -> int:
    """Write the class list, or the returns of the class."""
    if args.what == "list":
        print(f"{args.students} students in '{write_list(args.folder, args.students)}'; the desk beside it has a "
              "secret that everybody may know: never use it for a class of yours")
    else:
        print(f"{write_returns(args.folder, args.solutions)} returns written to '{args.folder / 'returns'}'")
    return 0
