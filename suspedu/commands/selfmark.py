"""`suspedu selfmark`: a learner's saved exercise, marked with the practice numbers."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from suspedu.coursework.exercise import selfmark


def add_arguments(parser: ArgumentParser) -> None:
    """Arguments of the command."""
    parser.add_argument("file", metavar="FILE", type=Path, help="your exercise, as you saved it; or its number")


def run(args: Namespace) -> int:
    """Mark the file and print a line for each question."""
    file = args.file if args.file.suffix else selfmark.own_file(str(args.file))
    print(selfmark.verdict_table(selfmark.check_file(file)))
    return 0
