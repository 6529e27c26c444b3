"""`suspedu mark`: a folder of returned notebooks becomes marks in the record, and a return sheet for each student."""

from __future__ import annotations

import os
from argparse import ArgumentParser, Namespace
from pathlib import Path

from suspedu.commands.desk_arguments import add_course_arguments, add_desk_arguments
from suspedu.commands.progress import Progress
from suspedu.coursework.book.page import how_many
from suspedu.coursework.book.sheet_page import write_sheets
from suspedu.coursework.desk import returns, workers
from suspedu.coursework.desk.desk import Desk, materials
from suspedu.coursework.desk.marking_round import Round
from suspedu.coursework.desk.owners import Owners
from suspedu.coursework.desk.record_book import RecordBook
from suspedu.coursework.exercise import places
from suspedu.coursework.running import sandbox
from suspedu.coursework.running.limits import Limits
from suspedu.coursework.running.scratch import sweep_stale_rooms
from suspedu.units import InputError

MOST_LINES = 30  # sentences about files left aside that are printed


def add_arguments(parser: ArgumentParser) -> None:
    """Arguments of the command."""
    parser.add_argument("returns", type=Path, help="folder, ZIP or notebook that was handed in")
    parser.add_argument("exercise", nargs="*", help="numbers of exercises, such as 01 02 (default: all)")
    add_desk_arguments(parser)
    add_course_arguments(parser)
    parser.add_argument("--mode", choices=sandbox.CHOICES, default="auto", help="how kernels are held (default: auto)")
    parser.add_argument("--cluster", metavar="ADDRESS", help="mark on a running Dask cluster, such as tcp://host:8786")
    parser.add_argument("--threads", type=int, default=0, metavar="N", help="batches at once (default: 2 per core)")
    parser.add_argument("--unsealed", action="store_true",
                        help="count files without this class's seal too, by the student's number in their path")
    parser.add_argument("--as-root", action="store_true", help=f"mark as root all the same: {sandbox.ROOT_RISK}")
    parser.add_argument("--with-solutions", action="store_true", help="show the expected values on the return sheets")


def run(args: Namespace, limits: Limits | None = None) -> int:
    """Mark what is new or changed, say what was found, and write the return sheets.

    Returns: 0, or 130 where it was stopped with Ctrl-C.
    """
    desk, limits = Desk(args.desk), limits or Limits()
    sweep_stale_rooms()
    if _says_mode(args):
        sandbox.refuse_exposed(desk.folder, args.returns, args.solutions or places.solutions_folder())
    desk.back_up()
    with desk.record() as record:
        work, choices, aside = _collected(args, desk, record)
        try:
            work.run(workers.crew(args.cluster, args.threads, args.mode, limits))
        except KeyboardInterrupt:
            print(f"\nStopped: {work.marked + work.refused} marks are kept; the same command goes on from here.")
            return 130
        except OSError as fault:
            raise InputError(f"this machine could not go on ({fault}); what was marked is kept, mark again") from None
        pages = write_sheets(desk.sheets, record, args.with_solutions)
    _tell(work, [*choices, *work.left, *grouped(aside)], pages, desk)
    return 0


def _says_mode(args: Namespace) -> bool:
    """Say how kernels are held where they will run; whether some are in the sandbox.

    Raises: InputError as root without a word, and where a cluster cannot mark.
    """
    if args.as_root:
        os.environ[sandbox.AS_ROOT] = "1"
    if args.cluster:
        modes = workers.cluster_modes(args.cluster, args.mode)
    else:
        sandbox.refuse_root()
        modes = {sandbox.chosen_mode(args.mode): 0}
    for mode, count in modes.items():
        print(f"Mode{f' on {count} worker(s)' if count else ''}: {mode.words}", flush=True)
    return any(mode.name == "sandboxed" for mode in modes)


def _collected(args: Namespace, desk: Desk, record: RecordBook) -> tuple[Round, list[str], list[str]]:
    """The round of all returns that count, sentences on where one of several was chosen, and on files of nobody.

    The record keeps those about files that do not count.
    """
    found = materials(args.exercise, args.solutions, args.exercises)
    owners = Owners(record.students(), list(found), desk.secret(), args.unsealed, record.left())
    taken, aside = returns.collect(args.returns, owners, {name: each.pristine for name, each in found.items()})
    work = Round(record, desk, found, taken, Progress)
    record.set_aside([*aside, *work.left])
    return work, [item.choice for item in taken if item.choice], aside


def _tell(work: Round, aside: list[str], pages: int, desk: Desk) -> None:
    older = f", {len(work.left)} left as they are" if work.left else ""
    print(f"{work.marked} marked, {work.refused} could not be marked, {work.same} unchanged since the last run{older}; "
          f"{how_many(pages, 'return sheet')} written in '{desk.sheets}'")
    changes = work.changes.sentences()
    print(*changes, sep="\n", end="\n" if changes else "")
    _list(work.faults, "more could not be marked")
    _list(aside, "more files were left aside or chosen from")


def _list(sentences: list[str], more: str) -> None:
    """Print so many sentences, and how many more there are."""
    for sentence in sentences[:MOST_LINES]:
        print(f"- {sentence}")
    if len(sentences) > MOST_LINES:
        print(f"- and {len(sentences) - MOST_LINES} {more}")


def grouped(sentences: list[str]) -> list[str]:
    """Sentences about files, those that say the same of several files only once.

    >>> grouped(["'a' is odd", "'b' is odd", "'c' is empty"])
    ["'a' is odd (and 1 more like it)", "'c' is empty"]
    """
    alike: dict[str, list[str]] = {}
    for sentence in sentences:
        alike.setdefault(sentence.partition("' ")[2] or sentence, []).append(sentence)
    return [f"{first} (and {len(more)} more like it)" if more else first for first, *more in alike.values()]
