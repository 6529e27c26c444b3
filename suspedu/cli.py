"""The command `suspedu`: one table of subcommands, each loaded only when it is called.

A subcommand is a module of `suspedu.commands` with `add_arguments(parser)` and
`run(args) -> int`. To add one: write the module, a loader below, and a row in
`COMMANDS`.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import sys
from collections.abc import Callable

# Exit codes: a slip of the user's; stopped by Ctrl-C, or by a reader that went away, as shells count them.
USER_SLIP, INTERRUPTED, UNREAD = 2, 130, 141


def _open():
    from suspedu.commands import open

    return open


def _ready():
    from suspedu.commands import ready

    return ready


def _selfmark():
    from suspedu.commands import selfmark

    return selfmark


def _handout():
    from suspedu.commands import handout

    return handout


def _mark():
    from suspedu.commands import mark

    return mark


def _classbook():
    from suspedu.commands import classbook

    return classbook


def _pen():
    from suspedu.commands import pen

    return pen


def _democlass():
    from suspedu.commands import democlass

    return democlass


def _exercise():
    from suspedu.commands import exercise

    return exercise


def _derive():
    from suspedu.commands import derive

    return derive


def _record():
    from suspedu.commands import record

    return record


COMMANDS = {
    "open": (_open, "put the course into a folder of yours and open it"),
    "ready": (_ready, "tell whether this machine is ready for the course"),
    "selfmark": (_selfmark, "mark an exercise that you have worked on"),
    "handout": (_handout, "hand out exercises to a class, each student with their own numbers (instructor)"),
    "mark": (_mark, "mark what a class handed in, stopped and gone on with as you like (instructor)"),
    "classbook": (_classbook, "show how the class did, and take marks by hand (instructor)"),
    "pen": (_pen, "set points, deadlines and weights by hand, see every change, go back to a copy (instructor)"),
    "democlass": (_democlass, "write a class of invented students and their answers, to try the desk out (instructor)"),
    "exercise": (_exercise, "write an exercise of your own, and check it (instructor)"),
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
    Returns: 0 for success, 1 for a check that failed, 2 for a slip of the user's, 130 when interrupted, 141 when
    whoever read the output went away (`suspedu classbook | head`).
    """
    words = sys.argv[1:] if arguments is None else list(arguments)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a console without an arrow or an accent still gets its line
    try:
        return _read_to_the_end(lambda: _guarded(lambda: _run(words)))
    except BrokenPipeError:
        _let_go_of_output()
        return UNREAD


def _read_to_the_end(work: Callable[[], int]) -> int:
    """Exit code of the work; all that it printed is out, or the reader's going away has been noticed here."""
    try:
        return work()
    finally:
        sys.stdout.flush()


def _let_go_of_output() -> None:
    """Lead what is still to be written into nothing: the interpreter would complain of it at its end."""
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _run(words: list[str]) -> int:
    command = next((word for word in words if not word.startswith("-")), None)
    args = _parser(command).parse_args(words)
    return int(args.run(args) or 0)


def _guarded(work: Callable[[], int]) -> int:
    """Exit code of the work; a slip and a file that the system refuses are one sentence, an interruption one word."""
    try:
        return work()
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return INTERRUPTED
    except ValueError as fault:
        from suspedu.units import InputError  # loads numpy, which `--help` should not wait for

        if not isinstance(fault, InputError):
            raise
        return _slip(str(fault))
    except OSError as fault:
        from suspedu.files import refusal

        if not (said := refusal(fault)):
            raise
        return _slip(said)


def _slip(sentence: str) -> int:
    print(f"suspedu: {sentence}", file=sys.stderr)
    return USER_SLIP
