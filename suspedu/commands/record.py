"""`suspedu record`: the outputs of lessons and solutions, which the tests compare."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from suspedu.coursework.authoring import ledger
from suspedu.coursework.authoring.record import record
from suspedu.coursework.exercise import places


def add_arguments(parser: ArgumentParser) -> None:
    """Arguments of the command."""
    parser.add_argument("--ledger", action="store_true",
                        help="record nothing; print which computed line stands behind which sentence of the lessons")
    parser.add_argument("files", metavar="FILE", nargs="*", type=Path,
                        help="notebooks; every lesson and solution when left out")


def run(args: Namespace) -> int:
    """Record, and say how many notebooks changed; or print the ledger, 1 where a sentence lacks its line."""
    if args.ledger:
        found = list(ledger.entries(ledger.lessons_in(places.lessons_folder())))
        print(ledger.ledger_page(found), end="")
        return int(any(one.fault for one in found))
    folders = () if args.files else (places.lessons_folder(), places.solutions_folder())
    files = args.files or [path for folder in folders for path in sorted(folder.glob("*.ipynb"))]
    print(f"{record(files)} of {len(files)} notebooks changed")
    return 0
