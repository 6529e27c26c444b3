"""An exercise as data: cells by their role, questions with their points."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from suspedu.units import InputError, nearest

ROLES = ("front", "numbers", "answer", "verdict", "explain", "tool", "solution")
LEVELS = {"basic": "a law", "standard": "two laws, and a choice of road", "hard": "a design or a diagnosis"}
ASSESSED = ("answer", "explain")  # roles of the cells that a learner fills in


@dataclass(frozen=True)
class Cell:
    """One cell: nbformat id, kind ("code", "markdown" or "raw"), source, and our own metadata as `facts`."""

    id: str
    kind: str
    source: str
    facts: dict = field(default_factory=dict)

    @property
    def role(self) -> str:
        """What the cell is for, one of ROLES, or nothing for plain text and code."""
        return self.facts.get("role", "")

    @property
    def question(self) -> str:
        """Id of the question that the cell belongs to, or nothing."""
        return self.facts.get("question", "")


@dataclass(frozen=True)
class SheetQuestion:
    """One question: points possible, its answer cells and its verdict cell (None where words are marked by hand)."""

    id: str
    title: str
    possible: int
    answers: tuple[Cell, ...]
    verdict: Cell | None


@dataclass(frozen=True)
class Sheet:
    """A notebook reduced to what marking uses; `name` is the exercise, such as "01_springs_preload_sag"."""

    name: str
    cells: tuple[Cell, ...]

    def with_role(self, *roles: str) -> tuple[Cell, ...]:
        """The cells that have one of the roles, in order."""
        return tuple(cell for cell in self.cells if cell.role in roles)

    def questions(self) -> tuple[SheetQuestion, ...]:
        """The questions in the order of their verdicts (or of their cell for words)."""
        return tuple(_question(self, cell) for cell in self.with_role("verdict", "explain"))

    def with_sources(self, sources: dict[str, str]) -> Sheet:
        """The same sheet with other sources, given by cell id."""
        cells = (replace(cell, source=sources.get(cell.id, cell.source)) for cell in self.cells)
        return Sheet(self.name, tuple(cells))


    def with_facts(self, identity: str, **facts) -> Sheet:
        """The same sheet with some facts of one cell changed."""
        cells = (replace(cell, facts=cell.facts | facts) if cell.id == identity else cell for cell in self.cells)
        return Sheet(self.name, tuple(cells))


def _question(sheet: Sheet, cell: Cell) -> SheetQuestion:
    answers = tuple(c for c in sheet.with_role("answer") if c.question == cell.question)
    by_hand = cell.role == "explain"
    title = cell.facts.get("title", cell.question)
    return SheetQuestion(cell.question, title, cell.facts.get("points", 1), (cell,) if by_hand else answers,
                    None if by_hand else cell)


def is_blank(source: str, blank: str) -> bool:
    """Whether an answer is still as it was handed out, spaces and empty lines aside.

    >>> [is_blank(source, "rate = ... # N/m\\n") for source in ("rate  = ...  # N/m", "rate = 4600 # N/m")]
    [True, False]
    """
    return source.split() == blank.split()


def check_solution(sheet: Sheet) -> None:
    """Refuse a solution whose cells do not make an exercise.

    Raises: InputError naming the notebook, the cell and what to change.
    """
    for cell in sheet.cells:
        if cell.role and cell.role not in ROLES:
            _refuse(sheet, cell, f"has the role '{cell.role}'{nearest(cell.role, ROLES)}; roles are {', '.join(ROLES)}")
        if cell.role in ("answer", "verdict", "explain"):
            _check_part(sheet, cell)
    asked = [question.id for question in sheet.questions()]
    if doubled := {q for q in asked if asked.count(q) > 1}:
        raise InputError(f"solution '{sheet.name}' asks question {', '.join(sorted(doubled))} twice; give each an id")
    if stray := {cell.question for cell in sheet.with_role("answer")} - set(asked):
        raise InputError(f"solution '{sheet.name}' has answers without a verdict: {', '.join(sorted(stray))}")


def _check_part(sheet: Sheet, cell: Cell) -> None:
    facts = cell.facts
    if not cell.question:
        _refuse(sheet, cell, "has no 'question'; give it the id of its question, such as 'wire-rate'")
    if "level" in facts and facts["level"] not in LEVELS:
        _refuse(sheet, cell, f"has the level '{facts['level']}'; levels are {', '.join(LEVELS)}")
    if "property" in facts:
        _check_design(sheet, cell)
    if cell.role == "answer" and not str(facts.get("blank", "")).strip():
        _refuse(sheet, cell, "has no 'blank'; give the text that a learner finds there, such as 'rate = ...  # N/m'")
    if cell.role == "answer" and is_blank(cell.source, facts["blank"]):
        _refuse(sheet, cell, "has the blank as its solution; write the solution into the cell")
    if cell.role != "answer" and not (isinstance(facts.get("points"), int) and 1 <= facts["points"] <= 20):
        _refuse(sheet, cell, f"gives {facts.get('points')!r} points; allowed: a whole number from 1 to 20")
    if cell.role != "answer" and not facts.get("title"):
        _refuse(sheet, cell, "has no 'title'; name the question in three words")
    if cell.role == "verdict" and not _answered_before(sheet, cell):
        _refuse(sheet, cell, f"judges question '{cell.question}', but no answer cell of that question comes before it")


def _check_design(sheet: Sheet, cell: Cell) -> None:
    from suspedu.school.designs import DESIGNS  # loads the physics, which most exercises do not need

    if (name := cell.facts["property"]) not in DESIGNS:
        _refuse(sheet, cell, f"asks for the property '{name}'{nearest(str(name), DESIGNS)}; there are: "
                             f"{', '.join(DESIGNS)}")


def _answered_before(sheet: Sheet, verdict: Cell) -> bool:
    before = sheet.cells[:sheet.cells.index(verdict)]
    return any(c.role == "answer" and c.question == verdict.question for c in before)


def _refuse(sheet: Sheet, cell: Cell, words: str) -> None:
    raise InputError(f"solution '{sheet.name}', cell '{cell.id}' {words}")
