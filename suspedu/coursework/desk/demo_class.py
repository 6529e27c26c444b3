"""A demo class for trying the desk out: 40 students by number and their invented returns, the same each time.

    suspedu democlass list FOLDER        writes FOLDER/class.csv
    suspedu handout FOLDER/class.csv 01 02 --desk FOLDER/desk
    suspedu democlass returns FOLDER     answers the hand-outs into FOLDER/returns
    suspedu mark FOLDER/returns 01 02 --desk FOLDER/desk
    suspedu classbook --desk FOLDER/desk
"""

from __future__ import annotations

import hashlib
import io
import json
import random
import zipfile
from pathlib import Path

from suspedu.coursework.desk.secret import course_secret
from suspedu.coursework.exercise import loading, places
from suspedu.coursework.exercise.options import Order, own_answer, own_orders
from suspedu.coursework.exercise.sheet import Sheet, SheetQuestion
from suspedu.files import write_csv, write_whole
from suspedu.units import InputError

SEED = 20
STUDENTS = [str(2001 + k) for k in range(40)]
WEAK_WORDS = ("It gets harder, so it is better.", "Because the oil is squeezed.",
              "I think it depends on the speed, but I am not sure why.")
ERROR, LOOP = "rate = undefined_name * 2", "while True:\n    pass"
OPEN_SECRET = hashlib.sha256(b"everybody may know it").hexdigest()  # so that the demo comes out alike everywhere
ABSENT, BROKEN, LOOPING, ZIPPED, TWICE = "2007", "2012", "2018", "2023", "2026"


def write_list(folder: Path, count: int = len(STUDENTS)) -> Path:
    """Write the class list of the first `count` students, and the open secret of their desk; where the list is.

    Raises: InputError where there are not so many, or where a class list or desk of somebody's own lies there.
    """
    if not 1 <= count <= len(STUDENTS):
        raise InputError(f"students is {count}; allowed: 1 to {len(STUDENTS)}")
    path, secret = folder / "class.csv", folder / "desk" / "course_secret"
    if path.exists() and not secret.exists():
        raise InputError(f"'{path}' is there already and is not of the demo class; name another folder")
    secret.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    write_whole(secret, OPEN_SECRET + "\n", private=True, keep=True)
    _require_demo(folder)
    write_csv(path, ("student number", "name"), [(number, "") for number in STUDENTS[:count]], separator=";")
    return path


def _require_demo(folder: Path) -> None:
    """Refuse to write into the folder of a real class."""
    if course_secret(folder / "desk" / "course_secret") != bytes.fromhex(OPEN_SECRET):
        raise InputError(f"'{folder / 'desk'}' is not the desk of the demo class; name another folder")


def write_returns(folder: Path, solutions: Path | None = None) -> int:
    """Answer the hand-outs in FOLDER/desk as a class does, into FOLDER/returns; how many files there are.

    Raises: InputError where nothing was handed out there, or it is not the demo's.
    """
    copies = sorted((folder / "desk" / "handed_out").glob("*/*.ipynb"))
    if not copies:
        raise InputError(f"nothing was handed out in '{folder / 'desk'}'; run 'suspedu handout' first")
    _require_demo(folder)
    solutions = solutions or places.solutions_folder()
    sheets = {name: loading.solution(places.notebook_of(solutions, name)) for name in {copy.stem for copy in copies}}
    present = [copy for copy in copies if copy.parent.name != ABSENT]
    for copy in present:
        _write_return(copy, sheets[copy.stem], folder / "returns" / copy.parent.name)
    return len(present)


def _write_return(copy: Path, solution: Sheet, place: Path) -> None:
    """One student's return of one exercise, some of them with the accidents that happen in every class."""
    student = place.name
    chance = random.Random(f"{SEED} {student} {solution.name}")
    book = json.loads(copy.read_text(encoding="utf-8"))
    drawn = "draw" in book["metadata"]["suspedu"]
    orders = own_orders(bytes.fromhex(OPEN_SECRET), student, solution) if drawn else {}
    able = 0.35 + 0.6 * random.Random(f"{SEED} {student}").random()
    text = json.dumps(answered(book, solution, chance, able, student == LOOPING, orders), indent=1)
    if student == ZIPPED:
        write_whole(place / f"{copy.stem}.zip", _zipped(copy.name, text))
        return
    if student == TWICE:
        write_whole(place / f"{copy.stem} (1).ipynb", copy.read_bytes())
    write_whole(place / copy.name, text[: len(text) // 2] if student == BROKEN else text)


def _zipped(name: str, text: str) -> bytes:
    """A ZIP with one file in it."""
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w") as box:
        box.writestr(name, text)
    return content.getvalue()


def answered(book: dict, solution: Sheet, chance: random.Random, able: float, loops: bool = False,
             orders: dict[str, Order] | None = None) -> dict:
    """A hand-out with a student's answers in it.

    Parameters: book, the hand-out's JSON; chance; able, probability of a right answer; loops, whether the first hangs;
    orders, in which the options of its choices stand.
    """
    sources, orders = {}, orders or {}
    for question in solution.questions():
        order = orders.get(question.id, {})
        sources |= {key: own_answer(text, order) for key, text in _answer(question, chance, able).items()}
    first = next(q for q in solution.questions() if q.verdict is not None)
    if loops:
        sources[first.answers[0].id] = LOOP
    for cell in book["cells"]:
        cell["source"] = sources.get(cell["id"], cell["source"])
    return book


def _answer(question: SheetQuestion, chance: random.Random, able: float) -> dict[str, str]:
    """Sources by cell id: right, a typical slip, an error, or left blank."""
    if question.verdict is None:
        good, given = chance.random() < able, chance.random() < 0.85
        words = question.answers[0].source.partition(". ")[0] + "." if good else chance.choice(WEAK_WORDS)
        return {question.answers[0].id: words} if given else {}
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
