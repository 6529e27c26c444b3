"""`suspedu exercise`: an exercise of your own, from a first example to one that a class can have."""

from __future__ import annotations

import shlex
from argparse import ArgumentParser, Namespace
from pathlib import Path

from suspedu.coursework.authoring import check, derive, new_exercise, number_table, record
from suspedu.coursework.desk.class_list import read_table
from suspedu.coursework.exercise import loading

STATE = {True: "as derived", False: "out of date: 'suspedu derive {}' writes it anew", None: "cannot be derived"}
NOT_YET = "not derived yet: 'suspedu derive {}' writes it"


def add_arguments(parser: ArgumentParser) -> None:
    """Arguments of the command."""
    steps = parser.add_subparsers(dest="step", metavar="STEP", required=True)
    new = steps.add_parser("new", help="write a solution to start from, with a question of each kind")
    new.add_argument("number", help="two digits, 20 or more")
    new.add_argument("title", help='its title, such as "Springs side by side"')
    numbers = steps.add_parser("numbers", help="take the numbers of a question from a small table")
    numbers.add_argument("number", help="of the exercise")
    numbers.add_argument("cell", help="id of the numbers cell, such as wire-rate-numbers")
    numbers.add_argument("table", type=Path, metavar="TABLE.csv",
                         help="columns name, practice, from, to, step (or values), comment; or the names, then a line "
                              "for each set of numbers, practice first")
    steps.add_parser("check", help="tell whether it is sound").add_argument("number", help="of the exercise")
    for step in (new, numbers, steps.choices["check"]):
        step.add_argument("--folder", type=Path, help="the folder of your course (default: this one)")


def run(args: Namespace) -> int:
    """Take one step; 1 where a check finds something."""
    return {"new": _new, "numbers": _numbers, "check": _check}[args.step](args)


def _new(args: Namespace) -> int:
    path = new_exercise.new_exercise(args.folder or Path.cwd(), args.number, args.title)
    record.record([path])
    print(f"'{path}' is written. Change it in JupyterLab, then: suspedu exercise check {_named(args)}")
    return 0


def _solution(args: Namespace) -> Path:
    folder = args.folder / "solutions" if args.folder else None
    return derive.solution_files([args.number], folder)[0]


def _named(args: Namespace) -> str:
    """The exercise as the next command is to be given it."""
    return args.number + (f" --folder {shlex.quote(str(args.folder))}" if args.folder else "")


def _numbers(args: Namespace) -> int:
    path = _solution(args)
    said = number_table.take_table(path, args.cell, [row for _, row in read_table(args.table)])
    print(f"'{path.name}', cell '{args.cell}': {said}. Then: suspedu exercise check {_named(args)}")
    return 0


def _check(args: Namespace) -> int:
    path = _solution(args)
    found = check.check(path)
    known = found.as_derived is not False or derive.exercise_file(path).exists()
    print(f"{found.name}: {(STATE[found.as_derived] if known else NOT_YET).format(_named(args))}")
    for fault in found.faults:
        print(f"- to mend: {fault}")
    if found.as_derived is not None:
        words = sum(cell.role == "explain" for cell in loading.solution(path).cells)
        for sentence in (*found.told, f"{words} answered in words, read by you"):
            print(f"- {sentence}")
    print("Nothing to mend." if not found.faults else f"{len(found.faults)} to mend.")
    return 1 if found.faults else 0
