"""A demo class for trying the desk out: 30 students by number and their invented returns, the same each time.

    python -m suspedu.coursework.demo_class list FOLDER       writes FOLDER/class.csv
    suspedu handout FOLDER/class.csv 01 02 --desk FOLDER/desk
    python -m suspedu.coursework.demo_class returns FOLDER    answers the hand-outs into FOLDER/returns
    suspedu mark FOLDER/returns 01 02 --desk FOLDER/desk
    suspedu classbook --desk FOLDER/desk
"""

from __future__ import annotations

import argparse
import json
import random
import sys
import zipfile
from pathlib import Path

from suspedu.coursework import derive, places
from suspedu.coursework.sheet import Question, Sheet
from suspedu.units import InputError

SEED = 20
STUDENTS = [str(2001 + k) for k in range(30)]
WORDS = ("Preload moves the force curve up; its slope, the rate, stays as it is.",
         "More preload makes the spring harder.",
         "The wheel sinks less because the spring is squeezed before the rider sits down.",
         "I think it depends on the speed, but I am not sure why.")
ERROR, LOOP = "rate = undefined_name * 2", "while True:\n    pass"
ABSENT, BROKEN, LOOPING, ZIPPED, TWICE = "2007", "2012", "2018", "2023", "2026"


def write_list(folder: Path) -> Path:
    """Write the class list; where it is."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / "class.csv"
    path.write_text("student number;name\n" + "".join(f"{n};\n" for n in STUDENTS), encoding="utf-8-sig")
    return path


def write_returns(folder: Path, solutions: Path | None = None) -> int:
    """Answer the hand-outs in FOLDER/desk as a class does, into FOLDER/returns; how many files there are.

    Raises: InputError where nothing was handed out there.
    """
    copies = sorted((folder / "desk" / "handed_out").glob("*/*.ipynb"))
    if not copies:
        raise InputError(f"nothing was handed out in '{folder / 'desk'}'; run 'suspedu handout' first")
    solutions = solutions or places.solutions_folder()
    sheets = {name: derive.solution(places.find(solutions, name)) for name in {copy.stem for copy in copies}}
    present = [copy for copy in copies if copy.parent.name != ABSENT]
    for copy in present:
        _write_return(copy, sheets[copy.stem], folder / "returns" / copy.parent.name)
    return len(present)


def _write_return(copy: Path, solution: Sheet, place: Path) -> None:
    """One student's return of one exercise, some of them with the accidents that happen in every class."""
    student = place.name
    chance = random.Random(f"{SEED} {student} {solution.name}")
    book = json.loads(copy.read_text(encoding="utf-8"))
    able = 0.35 + 0.6 * random.Random(f"{SEED} {student}").random()
    text = json.dumps(answered(book, solution, chance, able, student == LOOPING), indent=1)
    place.mkdir(parents=True, exist_ok=True)
    if student == ZIPPED:
        with zipfile.ZipFile(place / f"{copy.stem}.zip", "w") as box:
            box.writestr(copy.name, text)
        return
    if student == TWICE:
        (place / f"{copy.stem} (1).ipynb").write_text(copy.read_text(encoding="utf-8"), encoding="utf-8")
    (place / copy.name).write_text(text[: len(text) // 2] if student == BROKEN else text, encoding="utf-8")


def answered(book: dict, solution: Sheet, chance: random.Random, able: float, loops: bool = False) -> dict:
    """A hand-out with a student's answers in it.

    Parameters: book, the hand-out's JSON; chance; able, probability of a right answer; loops, whether the first hangs.
    """
    sources = {}
    for question in solution.questions():
        sources |= _answer(question, chance, able)
    first = next(q for q in solution.questions() if q.verdict is not None)
    if loops:
        sources[first.answers[0].id] = LOOP
    for cell in book["cells"]:
        cell["source"] = sources.get(cell["id"], cell["source"])
    return book


def _answer(question: Question, chance: random.Random, able: float) -> dict[str, str]:
    """Sources by cell id: right, a typical slip, an error, or left blank."""
    if question.verdict is None:
        return {question.answers[0].id: chance.choice(WORDS)} if chance.random() < 0.8 else {}
    right = {cell.id: cell.source for cell in question.answers}
    if chance.random() < able:
        return right
    slips = [(cell.id, slip["answer"]) for cell in question.answers for slip in cell.facts.get("slips", [])]
    luck = chance.random()
    if luck < 0.15:
        return {}
    if luck < 0.25 or not slips:
        return right | {question.answers[0].id: ERROR}
    cell, wrong = slips[min(int(chance.expovariate(1.2)), len(slips) - 1)]
    return right | {cell: wrong}


def main(arguments: list[str] | None = None) -> int:
    """Write the class list, or the returns of the class."""
    parser = argparse.ArgumentParser(prog="python -m suspedu.coursework.demo_class", description=__doc__.split("\n")[0])
    parser.add_argument("what", choices=("list", "returns"))
    parser.add_argument("folder", type=Path)
    parser.add_argument("--solutions", type=Path)
    given = parser.parse_args(arguments)
    try:
        made = write_list(given.folder) if given.what == "list" else write_returns(given.folder, given.solutions)
    except InputError as fault:
        print(fault, file=sys.stderr)
        return 2
    print(f"written: {made}" if given.what == "list" else f"{made} returns written to '{given.folder / 'returns'}'")
    return 0


if __name__ == "__main__":
    sys.exit(main())
