"""How much memory a large class takes: 200 students x 2 exercises through collecting, recording, sheets, class book.

The kernels are left out (a crew that finds all answers right stands in for them): they are four at a time whatever
the size of the class.  What is measured is all that could grow with it.

    python tests/benchmarks/large_class.py

Must hold: peak below 1 GB.
"""

from __future__ import annotations

import json
import resource
import sys
import tempfile
import time
from pathlib import Path

from suspedu.coursework.book import classbook, sheet_page
from suspedu.coursework.book.class_figures import figures
from suspedu.coursework.book.marks_table import Wording, mark_rows
from suspedu.coursework.desk import desk, handout, returns
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.marking_round import Round
from suspedu.coursework.desk.owners import Owners
from suspedu.coursework.exercise import places, verdicts, versions
from suspedu.coursework.exercise.batch import Result
from suspedu.files import csv_text

STUDENTS, EXERCISES = 200, 2
LARGEST = 1024.0  # MB


def copies(root: Path) -> dict:
    """The first exercise under several names."""
    source = places.notebook_of(places.solutions_folder(), "01")
    exercise = json.loads(places.notebook_of(places.exercises_folder(), "01").read_text(encoding="utf-8"))
    for folder in ("solutions", "exercises"):
        (root / folder).mkdir()
    for number in range(1, EXERCISES + 1):
        name = f"{number:02d}_copy.ipynb"
        (root / "solutions" / name).write_bytes(source.read_bytes())
        exercise["metadata"]["suspedu"]["exercise"] = name.removesuffix(".ipynb")
        (root / "exercises" / name).write_text(json.dumps(exercise), encoding="utf-8")
    return desk.materials([], root / "solutions", root / "exercises")


def all_right(tasks, total):
    """A crew that finds every answer right."""
    for task in tasks:
        rows = [verdicts.Row(q.id, q.title, q.possible, q.possible, verdicts.RIGHT, printed="1 N" * 20)
                for q in task.merged.questions()]
        yield Result(task.name, tuple(rows), (), "none", versions.versions())


def main() -> int:
    """Run a large class through the desk and print the peak of memory; 1 where it is too much."""
    with tempfile.TemporaryDirectory() as folder:
        root, began = Path(folder), time.perf_counter()
        found = copies(root)
        place = desk.Desk(root / "desk")
        handout.hand_out(place, [Student(str(7001 + k)) for k in range(STUDENTS)], found)
        with place.record() as record:
            taken, _ = returns.collect(place.handed_out, Owners(record.students(), list(found), place.secret()))
            work = Round(record, place, found, taken)
            work.run(all_right)
            sheet_page.write_sheets(place.sheets, record)
            summary = figures(record)
            pages = len(classbook.as_page(summary)) + len(csv_text(*mark_rows(summary, Wording())))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    took = time.perf_counter() - began
    print(f"{work.marked} of {STUDENTS * EXERCISES} marked in {took:.0f} s, {pages >> 10} kB of pages")
    print(f"peak memory {peak:.0f} MB (must be below {LARGEST:.0f} MB)")
    return int(peak > LARGEST or work.marked != STUDENTS * EXERCISES)


if __name__ == "__main__":
    sys.exit(main())
