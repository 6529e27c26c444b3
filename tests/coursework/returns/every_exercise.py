"""Other ways to right answers, and values of practice and of neighbours, in every exercise for a class.

By hand: python tests/coursework/returns/every_exercise.py [01 04 ...] [--students 15]
Every right answer must be right in each of six other ways of working, and no value of somebody else's may be: what is
otherwise is named, and ends it with code 1. It takes some minutes for all exercises.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path
from textwrap import indent

from suspedu.coursework.desk import desk, own_numbers
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.handout import hand_out
from suspedu.coursework.exercise import expected, fairness, soundness
from suspedu.coursework.exercise.left_open import set_in
from suspedu.coursework.exercise.many_runs import run_sources
from suspedu.coursework.exercise.sheet import Sheet
from suspedu.coursework.exercise.task import made_plain

AS_VALUES = {  # what the names that an answer sets become: numbers of other kinds
    "an array of one value": "import numpy\n{name} = numpy.array([{name}])",
    "a fraction": "import fractions\n{name} = fractions.Fraction({name})",
    "a number of sympy's": "import sympy\n{name} = sympy.Float({name}, 17)",
    "a number of mpmath's": "import mpmath\n{name} = mpmath.mpf({name})",
}
AS_WORKED = {"rounded to 5 digits in between": (soundness.ROUNDED.replace("DIGITS", "5"), "answer"),
             "in numpy": (soundness.NUMPY, "numbers", "answer")}
NUMBERS = "if isinstance({name}, (int, float)) and not isinstance({name}, bool):\n"


def otherwise(sheet: Sheet, source: str) -> Sheet:
    """The sheet with the numbers that its answers set as numbers of another kind."""
    changed = {}
    for cell in sheet.with_role("answer"):
        names = set_in(cell.facts.get("blank", ""))
        changed[cell.id] = "\n".join([cell.source, *((NUMBERS + indent(source, "    ")).format(name=n) for n in names)])
    return sheet.with_sources(changed)


def as_run(sheet: Sheet) -> Sheet:
    """The sheet with its answers as marking runs them."""
    return sheet.with_sources({cell.id: cell.source + made_plain(cell.facts.get("blank", ""))
                               for cell in sheet.with_role("answer")})


def ways(sheet: Sheet) -> dict[str, Sheet]:
    """One student's right answers, in each other way."""
    found = {name: otherwise(sheet, source) for name, source in AS_VALUES.items()}
    return found | {name: soundness.again(sheet, *how) for name, how in AS_WORKED.items()}


def examined(material: desk.Material, students: list[str], folder: Path) -> tuple[int, int, list[str]]:
    """How many answers and how many values of others were tried in one exercise, and what was wrong."""
    place = desk.Desk(folder)
    hand_out(place, [Student(number) for number in students], {material.name: material})
    with place.record() as record:
        lots = own_numbers.lots(record, {material.name: material})
        taken = [lots[student, material.name] for student in students]
        prints = own_numbers.known_prints(record, material, taken)
    practice = expected.of_rows(material.solution, [0])[0]
    answers, said = tried_ways(material, dict(zip(students, taken, strict=True)), prints)
    values, others = tried_values(material, students, prints, practice)
    return answers, values, said + others


def tried_ways(material, taken, prints) -> tuple[int, list[str]]:
    """Right answers in every other way: how many, and which are not right."""
    sheets = {f"{s}|{way}": as_run(sheet) for s, lot in taken.items()
              for way, sheet in ways(material.own_solution(lot)).items()}
    without = expected.designed(material.solution)
    found = run_sources({key: expected.joined(sheet, without=without) for key, sheet in sheets.items()})
    right, said, count = dict(zip(taken, prints, strict=True)), [], 0
    for key, outcome in found.items():
        shown, (student, way) = expected.marked_prints(outcome), key.split("|")
        for question in sorted(right[student].keys() - without):
            count += 1
            if not right[student][question].holds(shown.get(question, "")):
                said.append(f"{material.name} {question}, student {student}, {way}: {shown.get(question)!r}, but right "
                            f"is {right[student][question].print!r} {outcome.error or ''}")
    return count, said


def tried_values(material, students, prints, practice) -> tuple[int, list[str]]:
    """Results of practice and of neighbours, typed in: how many, and which are right."""
    said, count = [], 0
    for question in [cell.question for cell in fairness.valued(material.solution)]:
        results = {"practice": practice, **dict(zip(students, prints, strict=True))}
        for student, own in zip(students, prints, strict=True):
            for other in results.keys() - {student}:
                count += 1
                if own[question].holds(results[other][question].print):
                    said.append(f"{material.name} {question}: the result of {other} is right for {student}")
    return count, said


def main() -> int:
    """Try them all, say what was found."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("exercises", nargs="*", help="numbers of exercises (default: all)")
    parser.add_argument("--students", type=int, default=15)
    asked = parser.parse_args()
    students, wrong, most = [str(3001 + k) for k in range(asked.students)], [], [0, 0]
    for name, material in desk.materials(asked.exercises).items():
        with tempfile.TemporaryDirectory() as folder:
            answers, values, said = examined(material, students, Path(folder) / "desk")
        wrong, most = wrong + said, [most[0] + answers, most[1] + values]
        print(f"{name}: {answers} right answers in other ways, {values} values of others; {len(said)} come out wrong",
              *said, sep="\n  ", flush=True)
    print(f"{most[0]} right answers, {most[1]} values of others: {len(wrong)} come out wrong")
    return 1 if wrong or not all(most) else 0


if __name__ == "__main__":
    sys.exit(main())
