"""`suspedu derive`: the exercises from their solutions, and with --check whether they are sound and up to date."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from suspedu.coursework.authoring import check, derive
from suspedu.files import write_whole

WORDS = {True: "as derived", False: "differs from its solution", None: "cannot be derived"}


def add_arguments(parser: ArgumentParser) -> None:
    """Arguments of the command."""
    parser.add_argument("numbers", metavar="NN", nargs="*", help="numbers of the exercises; all when left out")
    parser.add_argument("--folder", type=Path, help="the folder of a course of your own (default: this one)")
    parser.add_argument("--check", action="store_true",
                        help="write nothing, tell what is out of date and which numbers are not sound")
    parser.add_argument("--draw", metavar="N", type=int, default=0, dest="first",
                        help="with --check: try 40 draws from number N on, and tell what comes of them (default: 0)")


def run(args: Namespace) -> int:
    """Check each exercise, and derive it where it is sound; 1 where the check finds something."""
    folder = args.folder / "solutions" if args.folder else None
    bad, paths = 0, derive.solution_files(args.numbers, folder)
    for path, found in zip(paths, check.check_all(paths, args.first), strict=True):
        write = found.as_derived is False and not found.faults and not args.check
        if write:
            write_whole(derive.exercise_file(path), found.data)
        print(f"{found.name}: {'written' if write else WORDS[found.as_derived]}", flush=True)
        for said in (*found.faults, *(found.told if args.check and args.first else ())):
            print(f"- {said}", flush=True)
        bad += bool(found.faults) or (args.check and not found.as_derived)
    return 1 if bad else 0
