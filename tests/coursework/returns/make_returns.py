"""Makes returns of all kinds, hostile, broken and harmless, for a class with one student per kind.

Nothing is stored: each kind is written from the student's own hand-out when it is needed.
By hand: python make_returns.py HANDED_OUT RETURNS
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

EXERCISE = "90_demo"
RATE = "rate = 79.3e9 * (wire / 1000) ** 4 / (8 * 0.033**3 * turns)"
ALONE = f"def spring_force(stroke):\n    {RATE}\n    return rate * stroke"  # needs no earlier answer
RIGHT = {"q1": RATE, "q2": ALONE, "q3": "choice = 'b'", "q4": "Preload moves the force, the rate stays."}
FULL = {"q1": 2, "q2": 3, "q3": 1}


@dataclass(frozen=True)
class Scene:
    """Where a kind is made: the student's hand-out, the folder of their returns, and places that are none of theirs."""

    copy: bytes
    folder: Path
    student: str
    places: dict[str, str] = field(default_factory=dict)

    def book(self) -> dict:
        return json.loads(self.copy)

    def write(self, book, name: str = f"{EXERCISE}.ipynb") -> Path:
        path = self.folder / name
        path.write_text(book if isinstance(book, str) else json.dumps(book), encoding="utf-8")
        return path

    def answered(self, answers: dict[str, str] | None = None) -> dict:
        """The hand-out with all answers right, but for some."""
        return answered(self.book(), RIGHT | (answers or {}))


def answered(book: dict, answers: dict[str, str]) -> dict:
    for cell in book["cells"]:
        question = cell["id"].removesuffix("-answer")
        if question in answers and cell["id"] != question:
            cell["source"] = answers[question]
    return book


def cell_of(book: dict, identity: str) -> dict:
    return next(cell for cell in book["cells"] if cell["id"] == identity)


@dataclass(frozen=True)
class Kind:
    """One kind of return: how it is made, and what has to come of it.

    `points` by question; `fault`, words of the sentence where the file cannot be marked; `aside`, words of the sentence
    where it belongs to nobody; `note`, words of a note; `hint`, words of the hint of the attacked question; `source`,
    code that is the answer to it; `mild`, code that leaves nothing behind; `among`, the kind whose return it shares.
    """

    name: str
    make: Callable[[Scene], None] | None
    points: dict[str, int] | None = None
    fault: str = ""
    aside: str = ""
    note: str = ""
    hint: str = ""
    attacked: str = "q1"
    source: str = ""
    mild: bool = False
    among: str = ""

    def answer(self, places: dict[str, str]) -> str:
        """The hostile source, with the places that it is after."""
        filled = self.source
        for place, path in (places | {"right": RIGHT[self.attacked]}).items():
            filled = filled.replace(f"<{place}>", path)
        return filled


def code(name: str, source: str, hint: str = "", attacked: str = "q1", **points: int) -> Kind:
    """A kind whose answer to one question is hostile code; by default that question is lost and no other."""
    return Kind(name, None, FULL | {attacked: 0} | points, hint=hint, attacked=attacked, source=source)


def mild(name: str, source: str, hint: str = "") -> Kind:
    """A kind of code that fails at once: it may stand in any question, beside others of its kind.

    Where it gets through, `<right>` at its end is the right answer to its question.
    """
    return replace(code(name, source, hint), mild=True)


def packed(kinds: list[Kind]) -> list[Kind]:
    """The same kinds, mild ones a question each of as few returns as they need."""
    some = [kind for kind in kinds if kind.mild]
    found = {kind.name: kind for kind in kinds}
    for first in range(0, len(some), len(FULL)):
        sharing = dict(zip(FULL, some[first:first + len(FULL)], strict=False))
        points = FULL | dict.fromkeys(sharing, 0)
        found |= {kind.name: replace(kind, attacked=question, points=points, among=some[first].name)
                  for question, kind in sharing.items()}
    return list(found.values())


def write_one(scene: Scene, *kinds: Kind) -> None:
    """A return in which some questions are answered by hostile code and the others right."""
    scene.write(scene.answered({kind.attacked: kind.answer(scene.places) for kind in kinds}))


def write_all(kinds: list[Kind], handed_out: Path, returns: Path, places: dict[str, str],
              taken: dict[str, str]) -> None:
    """Write every kind into the folder of its student, given by the kind's name."""
    for student in dict.fromkeys(taken[kind.name] for kind in kinds):
        sharing = [kind for kind in kinds if taken[kind.name] == student]
        folder = returns / student
        folder.mkdir(parents=True)
        scene = Scene((handed_out / student / f"{EXERCISE}.ipynb").read_bytes(), folder, student, places)
        if sharing[0].source:
            write_one(scene, *sharing)
        else:
            sharing[0].make(scene)


def students(kinds: list[Kind]) -> dict[str, str]:
    """A student for each return, by the name of each kind in it."""
    own = {kind.among or kind.name: f"k{100 + number}" for number, kind in enumerate(kinds)}
    return {kind.name: own[kind.among or kind.name] for kind in kinds}


def set_age(path: Path, seconds: float) -> None:
    """Make a file look saved some seconds ago."""
    when = path.stat().st_mtime - seconds
    os.utime(path, (when, when))


if __name__ == "__main__":
    import sys

    import kinds_code
    import kinds_files

    every = [kind for group in kinds_code.GROUPS.values() for kind in group] + kinds_files.KINDS
    write_all(every, Path(sys.argv[1]), Path(sys.argv[2]), {}, students(every))
