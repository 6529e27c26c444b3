"""Which computed line stands behind which sentence of a lesson: a ledger, kept beside the sentences themselves.

A cell's metadata say it, out of a reader's sight: `"suspedu": {"rests_on": {"how a sentence begins": [...]}}`, with

- `cell: words`, a line that this cell has recorded (nbval compares it with every run); # stands for any number, and
  `05/cell: words` is a line of lesson 05;
- `cell: words # > cell: words #`, two such lines whose last numbers stand in this order (or <, or ==), or `> 50`;
- `given`, what the story or a task lays down: each number of it stands in the lesson's code or outputs;
- `meant`, what a word means, how one behaves, or a figure of speech: nothing with a numeral can be that.

Numbers of the sentence have to agree with those of its lines.  A sentence of an explanation rests on the values that
are computed into it; its head, which is the answer, on those of the whole; without a value, on lines as prose does.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import permutations
from pathlib import Path

from suspedu.coursework.authoring.claims import (
    COMPARING,
    NUMERAL,
    SHARES,
    as_read,
    claims,
    is_claim,
    numerals,
    sentences,
)
from suspedu.coursework.exercise.loading import notebook

GIVEN, MEANT, HOLE = "given", "meant", "…"
ORDER = re.compile(r" (<|>|==) ")
SCALES = (0, 2, -2, 3, -3, 5, -5, 6, -6)  # per cent, milli, bar, mm²: how a number is written otherwise
ABOUT = 0.2  # "half", "twice" are said of about: what lies within a fifth is nearer to them than to their neighbours
MOST_RATIOS = 8  # values of the lines that are compared with one another: of many, any ratio could be found
Lesson = Mapping[str, dict]


@dataclass(frozen=True)
class Claim:
    """A sentence that claims something, what it rests on, and what is wrong with that."""

    lesson: str
    cell: str
    sentence: str
    rests_on: tuple[str, ...]
    fault: str = ""


def numeral_value(text: str) -> float:
    """The value of a number as a lesson prints it.

    >>> numeral_value("−12 400")
    -12400.0
    """
    return float(text.replace(" ", "").replace("−", "-"))


def lessons_in(folder: Path) -> dict[str, Lesson]:
    """The numbered lessons of a folder: cells by id, by the number of the lesson."""
    return {path.name[:2]: {cell["id"]: cell for cell in notebook(path)["cells"]}
            for path in sorted(folder.glob("[0-9][0-9]_*.ipynb"))}


def lines_of(cell: dict) -> str:
    """All text that a cell has recorded, as one line."""
    outputs = [out.get("text") or out["data"].get("text/markdown") or out["data"].get("text/plain", "")
               for out in cell.get("outputs", ())]
    return as_read(" ".join("".join(text) for text in outputs))


def entries(lessons: Mapping[str, Lesson]) -> Iterator[Claim]:
    """Every claim of the lessons, with what it rests on."""
    for name, lesson in lessons.items():
        for cell in lesson.values():
            code = cell["cell_type"] == "code"
            yield from _of_code(name, cell, lessons) if code else _of_prose(name, cell, lessons)


def _of_prose(name: str, cell: dict, lessons: Mapping[str, Lesson]) -> Iterator[Claim]:
    links, used = cell["metadata"].get("suspedu", {}).get("rests_on", {}), set()
    for sentence in claims("".join(cell["source"])):
        begins = [key for key in links if sentence.startswith(key)]
        used.update(begins)
        yield _linked(name, cell, sentence, links, begins, lessons)
    yield from _unused(name, cell, links, used)


def _linked(name, cell: dict, sentence: str, links: Mapping, begins: list[str], lessons) -> Claim:
    """A claim with the one link that begins as it does."""
    on = tuple(links[begins[0]]) if begins else ()
    return Claim(name, cell["id"], sentence, on, _fault(sentence, on, name, lessons) if len(begins) == 1 else
                 f"{len(begins)} links, not one")


def _unused(name, cell: dict, links: Mapping, used: set[str]) -> Iterator[Claim]:
    """Links that no claim needs any more."""
    yield from (Claim(name, cell["id"], key, tuple(on), "no claim begins so") for key, on in links.items()
                if key not in used)


def _fault(sentence: str, on: tuple[str, ...], name: str, lessons: Mapping[str, Lesson]) -> str:
    """What is wrong with the links of a sentence, or nothing."""
    if on == (MEANT,):
        return "a numeral needs a line" if numerals(sentence) else ""
    if on == (GIVEN,):
        everything = " ".join(_all_text(cell) for cell in lessons[name].values())
        return _unlike(sentence, everything, shares=False)
    found = [_line(ref, name, lessons) for link in on for ref in ORDER.split(link)[::2] if not _is_number(ref)]
    if None in found:
        return f"no such line: {on}"
    wrong = [link for link in on if ORDER.search(link) and not _in_order(link, name, lessons)]
    lines = " ".join(part for parts in zip(*filter(None, found), strict=True) for part in parts)
    return f"not so: {wrong}" if wrong else _unlike(sentence, lines, shares=True)


def _all_text(cell: dict) -> str:
    """Code and recorded lines of a cell; of an explanation only the code that computes for it."""
    if cell["cell_type"] != "code":
        return ""
    source = "".join(cell["source"])
    kept = [ast.unparse(node) for node in ast.parse(source).body if not any(explanations(ast.unparse(node)))]
    return " ".join(kept) if any(explanations(source)) else f"{source} {lines_of(cell)}"


def _cell(ref: str, name: str, lessons: Mapping[str, Lesson]) -> tuple[dict | None, str]:
    """The cell that a reference names, and the words that must stand there."""
    place, _, words = ref.partition(": ")
    other, _, identity = place.rpartition("/")
    return lessons.get(other or name, {}).get(identity), words


def _line(ref: str, name: str, lessons: Mapping[str, Lesson]) -> tuple[str, str] | None:
    """What a reference finds in the outputs of its cell, and the cell's code, whose settings count too, or None."""
    cell, words = _cell(ref, name, lessons)
    hit = cell is not None and _pattern(words).search(lines_of(cell))
    return (hit[0], "".join(cell["source"])) if hit else None


def _pattern(words: str) -> re.Pattern:
    return re.compile(re.escape(as_read(words)).replace(r"\#", f"({NUMERAL.pattern})"))


def _is_number(ref: str) -> bool:
    return bool(NUMERAL.fullmatch(ref))


def _in_order(link: str, name: str, lessons: Mapping[str, Lesson]) -> bool:
    """Whether the last numbers of two lines stand in the order that a link says."""
    one, sign, other = ORDER.split(link)
    a, b = (numeral_value(ref) if _is_number(ref) else _last_number(ref, name, lessons) for ref in (one, other))
    return {"<": a < b, ">": a > b, "==": a == b}[sign]


def _last_number(ref: str, name: str, lessons: Mapping[str, Lesson]) -> float:
    """The number at the last # of a line."""
    cell, words = _cell(ref, name, lessons)
    hit = _pattern(words).search(lines_of(cell))
    return numeral_value(hit[hit.re.groups])


def _unlike(sentence: str, lines: str, shares: bool) -> str:
    """The numbers of a sentence that agree with none of its lines, in words."""
    there = [numeral_value(text) for text in NUMERAL.findall(lines)]
    odd = [text for text in numerals(sentence) if not any(_agrees(text, value) for value in there)]
    if shares:
        said = {word.lower() for word in COMPARING.findall(sentence)} & SHARES.keys()
        odd += sorted(word for word in said if word not in lines.lower() and not _about(word, there[:MOST_RATIOS]))
    return f"{', '.join(odd)} stands in no line of it" if odd else ""


def _agrees(text: str, value: float) -> bool:
    """Whether a printed number is a value, rounded to its digits, perhaps in another unit."""
    half = 0.5 * 10.0 ** -len(text.partition(".")[2])
    return any(abs(abs(numeral_value(text)) - abs(value) * 10.0**power) <= half * (1 + 1e-9) for power in SCALES)


def _about(word: str, values: list[float]) -> bool:
    """Whether a word such as "half" may be said of a value, of per cent or what is left of it, or of two values."""
    each = [part for value in values for part in (abs(value), abs(value) / 100, 1 - abs(value))]
    pairs = list(permutations(values, 2))
    each += [a - b for a, b in pairs] if "centimetre" in word else [a / b for a, b in pairs if b]
    return any(abs(part - SHARES[word]) <= ABOUT * SHARES[word] for part in each)


def _of_code(name: str, cell: dict, lessons: Mapping[str, Lesson]) -> Iterator[Claim]:
    """Claims of an explanation: on the values computed into them, or as prose does; its head on all of them."""
    everything = " ".join(_all_text(other) for other in lessons[name].values())
    links, used = cell["metadata"].get("suspedu", {}).get("rests_on", {}), set()
    for text in explanations("".join(cell["source"])):
        head, values = True, tuple(dict.fromkeys(re.findall(f"{HOLE}(.*?){HOLE}", text)))
        for sentence in sentences(re.sub(f"{HOLE}.*?{HOLE}", HOLE, text)):
            begins = [key for key in links if sentence.startswith(key)]
            if begins or (is_claim(sentence) and HOLE not in sentence and not head):
                used.update(begins)
                yield _linked(name, cell, sentence, links, begins, lessons)
            elif is_claim(sentence) or HOLE in sentence:
                fault = "" if values else "nothing is computed into this explanation"
                yield Claim(name, cell["id"], sentence, values,
                            fault or _unlike(sentence.replace(HOLE, " "), everything, shares=False))
            head = False
    yield from _unused(name, cell, links, used)


def explanations(source: str) -> Iterator[str]:
    """Texts of the explanations in a cell; what is computed stands as code between two signs.

    >>> list(explanations('asking.explain("01-a", f"It is {x:.1f} mm, " + more)'))
    ['It is …x… mm, …more…']
    """
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "explain":
            yield "".join(_parts(node.args[1]))


def _parts(node: ast.expr) -> Iterator[str]:
    match node:
        case ast.Constant(value=str(text)):
            yield text
        case ast.JoinedStr(values=parts):
            for part in parts:
                yield from _parts(part)
        case ast.BinOp(left=left, right=right):
            yield from (*_parts(left), *_parts(right))
        case ast.FormattedValue(value=value):
            yield HOLE + ast.unparse(value) + HOLE
        case _:
            yield HOLE + ast.unparse(node) + HOLE


def ledger_page(found: Iterable[Claim]) -> str:
    """The ledger as a page of Markdown: sentence by sentence, with what it rests on."""
    lines, lesson = ["# Which computed line stands behind which sentence"], ""
    for entry in found:
        if entry.lesson != lesson:
            lesson = entry.lesson
            lines += ["", f"## Lesson {lesson}", "", "| cell | sentence | rests on |", "|---|---|---|"]
        on = "; ".join(entry.rests_on) + (f" **{entry.fault}**" if entry.fault else "")
        lines.append("| " + " | ".join(text.replace("|", "\\|") for text in (entry.cell, entry.sentence, on)) + " |")
    return "\n".join(lines) + "\n"
