"""`suspedu derive`: the exercises from their solutions, and with --check whether they are sound and up to date."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from suspedu.coursework.authoring import check, derive

WORDS = {True: "as derived", False: "differs from its solution", None: "cannot be derived"}


def add_arguments(parser: ArgumentParser) -> None:
    """Arguments of the command."""
    parser.add_argument("numbers", metavar="NN", nargs="*", help="numbers of the exercises; all when left out")
    parser.add_argument("--check", action="store_true",
                        help="write nothing, tell what is out of date and which rows of numbers are not sound "
                             "(about 5 s an exercise)")


def run(args: Namespace) -> int:
    """Derive, or only check; 1 where a check finds something."""
    paths = derive.solution_files(args.numbers)
    return _check(paths) if args.check else _write(paths)


def _write(paths: list[Path]) -> int:
    """Derive each exercise and say what became of it."""
    for path in paths:
        print(f"{path.stem}: {'written' if derive.derive(path) else 'as derived'}", flush=True)
    return 0


def _check(paths: list[Path]) -> int:
    """Say of each exercise whether it is as derived, and what is unsound about its numbers."""
    bad = 0
    for found in check.check_all(paths):
        print(f"{found.name}: {WORDS[found.as_derived]}", flush=True)
        for fault in found.faults:
            print(f"- {fault}", flush=True)
        bad += not found.as_derived or bool(found.faults)
    return 1 if bad else 0
