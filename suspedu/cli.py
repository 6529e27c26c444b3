"""The command `suspedu`: one table of subcommands, each loaded only when it is called.

A subcommand is anything with `add_arguments(parser)` and `run(args) -> int`; a
module that has these two functions will do. To add one: write the module, a
loader below, and a row in `COMMANDS`.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

USER_SLIP, INTERRUPTED = 2, 130  # exit codes: a slip of the user's; stopped by Ctrl-C, as shells count it


@dataclass(frozen=True)
class Command:
    """A subcommand made of two functions, for rooms that know nothing of the command line."""

    add_arguments: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]


def _open():
    from suspedu import opening

    return opening


def _doctor():
    from suspedu import doctor

    return doctor


def _derive() -> Command:
    from suspedu.coursework.authoring import derive

    def add_arguments(parser):
        parser.add_argument("numbers", metavar="NN", nargs="*", help="numbers of the exercises; all when left out")
        parser.add_argument("--check", action="store_true", help="write nothing, tell what is out of date")

    def run(args):
        changed = derive.run(args.numbers, args.check)
        return 1 if args.check and changed else 0

    return Command(add_arguments, run)


def _record() -> Command:
    from suspedu.coursework.authoring import record
    from suspedu.coursework.exercise import places

    def add_arguments(parser):
        parser.add_argument("files", metavar="FILE", nargs="*", type=Path,
                            help="notebooks; every lesson and solution when left out")

    def run(args):
        folders = () if args.files else (places.lessons_folder(), places.solutions_folder())
        files = args.files or [path for folder in folders for path in sorted(folder.glob("[0-9][0-9]_*.ipynb"))]
        print(f"{record.run(files)} of {len(files)} notebooks changed")
        return 0

    return Command(add_arguments, run)


def _selfmark() -> Command:
    from suspedu.coursework.exercise import selfmark

    def add_arguments(parser):
        parser.add_argument("file", metavar="FILE", type=Path, help="your exercise, as you saved it; or its number")

    def run(args):
        file = args.file if args.file.suffix else selfmark.own_file(str(args.file))
        print(selfmark.table(selfmark.selfmark(file)))
        return 0

    return Command(add_arguments, run)


def _handout():
    from suspedu.coursework.desk import handout

    return handout


def _mark():
    from suspedu.coursework.book import mark

    return mark


def _classbook():
    from suspedu.coursework.book import classbook

    return classbook


def _democlass():
    from suspedu.coursework.desk import demo_class

    return demo_class


COMMANDS = {
    "open": (_open, "put the course into a folder of yours and open it"),
    "doctor": (_doctor, "tell whether this machine is ready for the course"),
    "selfmark": (_selfmark, "mark an exercise that you have worked on"),
    "handout": (_handout, "hand out exercises to a class, each student with their own numbers (instructor)"),
    "mark": (_mark, "mark what a class handed in, stopped and gone on with as you like (instructor)"),
    "classbook": (_classbook, "show how the class did, and take marks by hand (instructor)"),
    "democlass": (_democlass, "write a class of invented students and their answers, to try the desk out (instructor)"),
    "derive": (_derive, "write the exercises from their solutions (contributors)"),
    "record": (_record, "store the outputs that the tests compare (contributors)"),
}


def _parser(command: str | None) -> argparse.ArgumentParser:
    """The parser; only the named command is loaded, so that help on the whole is quick."""
    parser = argparse.ArgumentParser(prog="suspedu", description="A course on motorcycle fork suspension.")
    parser.add_argument("--version", action="version", version=_version())
    rows = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name, (load, words) in COMMANDS.items():
        row = rows.add_parser(name, help=words, description=words[0].upper() + words[1:] + ".")
        if name == command:
            loaded = load()
            loaded.add_arguments(row)
            row.set_defaults(run=loaded.run)
    return parser


def _version() -> str:
    from importlib.metadata import version

    return f"suspedu {version('suspedu')}"


def main(arguments: list[str] | None = None) -> int:
    """Run one command.

    Parameters: arguments, as typed after `suspedu`; those of this process when left out.
    Returns: 0 for success, 1 for a check that failed, 2 for a slip of the user's, 130 when interrupted.
    """
    words = sys.argv[1:] if arguments is None else list(arguments)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a console without an arrow or an accent still gets its line
    return _guarded(lambda: _run(words))


def _run(words: list[str]) -> int:
    command = next((word for word in words if not word.startswith("-")), None)
    args = _parser(command).parse_args(words)
    return int(args.run(args) or 0)


def _guarded(work: Callable[[], int]) -> int:
    """Exit code of the work; a slip becomes one sentence, an interruption one word."""
    try:
        return work()
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return INTERRUPTED
    except ValueError as fault:
        from suspedu.units import InputError  # loads numpy, which `--help` should not wait for

        if not isinstance(fault, InputError):
            raise
        print(f"suspedu: {fault}", file=sys.stderr)
        return USER_SLIP
