"""`suspedu classbook`: how the class did, and marks by hand."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from suspedu.commands.desk_arguments import add_desk_arguments
from suspedu.coursework.book import by_hand
from suspedu.coursework.book.classbook import as_text, write_book
from suspedu.coursework.book.marks_table import Wording
from suspedu.coursework.book.page import how_many
from suspedu.coursework.book.sheet_page import write_sheets
from suspedu.coursework.desk.desk import Desk


def add_arguments(parser: ArgumentParser) -> None:
    """Arguments of the command."""
    add_desk_arguments(parser)
    parser.add_argument("--words", type=Path, metavar="FILE.csv", help="write the answers in words, to mark by hand")
    parser.add_argument("--hidden", action="store_true", help="with --words: signs in place of the students' numbers")
    parser.add_argument("--read", type=Path, metavar="FILE.csv", help="take points and remarks from that file")
    parser.add_argument("--separator", choices=(",", ";", "tab"), default=",",
                        help="what stands between the cells of the tables (default: a comma)")
    parser.add_argument("--decimal-comma", action="store_true", help="write 7,5 in the tables where it is 7.5")
    parser.add_argument("--with-solutions", action="store_true",
                        help="show the expected values on the return sheets (without it, they show none)")


def run(args: Namespace) -> int:
    """Take marks by hand if asked, then write return sheets, class book and marks, and print the summary."""
    desk = Desk(args.desk)
    wording = Wording("\t" if args.separator == "tab" else args.separator, args.decimal_comma)
    with desk.record() as record:
        if args.read:
            desk.back_up()
            print(f"Marks by hand taken for {how_many(len(by_hand.take(args.read, record)), 'student')}")
        pages = write_sheets(desk.sheets, record, args.with_solutions)
        if args.words:
            count = by_hand.write_words(args.words, record, args.hidden, wording)
            print(f"{how_many(count, 'answer')} in words written to '{args.words}'")
        found = write_book(desk.folder, record, wording)
    print(as_text(found))
    print(f"\nWritten to '{desk.folder}': classbook.html; marks.csv, a line for each student; returns.csv and "
          f"questions.csv; {how_many(pages, 'return sheet')} new or changed, "
          f"{'with' if args.with_solutions else 'without'} expected values")
    return 0
