"""The options that the instructor's commands share."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path


def add_desk_arguments(parser: ArgumentParser) -> None:
    """The options that all commands of the desk share."""
    parser.add_argument("--desk", type=Path, default=Path("suspedu-desk"), metavar="FOLDER",
                        help="the instructor's folder: secret, record, hand-outs (default: suspedu-desk)")


def add_course_arguments(parser: ArgumentParser) -> None:
    """The options that say where the exercises and their solutions are."""
    parser.add_argument("--solutions", type=Path, metavar="FOLDER", help="solutions, if not those of this repository")
    parser.add_argument("--exercises", type=Path, metavar="FOLDER", help="exercises, if not those of this course")
