"""One way to write quantities for a reader: raised figures and dots in units, a true minus sign before a number."""

import json
import re
from pathlib import Path

import pytest

from suspedu.show import panels
from suspedu.show.view import Choice
from suspedu.spelling import minus, readable, readable_unit, typed
from suspedu.units import KIND_OF, parse, to_si

ROOT = Path(__file__).resolve().parents[2]
NOTEBOOKS = sorted(path for room in ("lessons", "solutions", "exercises") for path in (ROOT / room).glob("*.ipynb"))
OLD_UNIT = re.compile(r"(?<!\w)(?:m/s2|m2/s|[cm]?m[23]|kg/m3|N/mm2|N\*?s/m|N s/m|Pa s|degC|percent)(?![\w(])|"
                      r"(?<=m)(?:\^|\*\*)[23]|/s(?:\^|\*\*)2|\d degrees?\b")
OLD_MINUS = re.compile(r"(?<![\w.)\]{^_²³°%−$-])-(?=\.?\d)")
FORMULA = re.compile(r"\$[^$]*\$")


def old_spellings(text: str, numbers: bool = True) -> list[str]:
    """What of a text a reader should find otherwise; of code, its units alone."""
    return OLD_UNIT.findall(text) + (OLD_MINUS.findall(FORMULA.sub("", text)) if numbers else [])


def shown(notebook: dict):
    """Every text of a notebook that a reader sees, and whether its numbers are told rather than computed with."""
    for cell in notebook["cells"]:
        yield "".join(cell["source"]), cell["cell_type"] == "markdown"
        for output in cell.get("outputs", []):
            yield from ((text, True) for text in told(output))


def told(output: dict) -> list[str]:
    kept = [*([output["text"]] if "text" in output else []),
            *(value for kind, value in output.get("data", {}).items() if kind.startswith("text/"))]
    return ["".join(text) for text in kept]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_notebook_writes_units_one_way(path):
    found = [spelling for text, numbers in shown(json.loads(path.read_text(encoding="utf-8")))
             for spelling in old_spellings(text, numbers)]
    assert found == []


@pytest.mark.parametrize("panel", panels.PANELS.values(), ids=panels.PANELS)
def test_sliders_and_axes_write_units_one_way(panel):
    axes = [text for each in panel.axes for text in (each.xlabel, each.ylabel, each.title)]
    rows = [text for each in panel.controls for text in (each.label, each.direction, each.group)]
    options = [words for each in panel.controls if isinstance(each, Choice) for words in each.options.values()]
    units = [each.unit for each in panel.controls if not isinstance(each, Choice)]
    assert [spelling for text in (*axes, *rows, *options, *units) for spelling in old_spellings(text)] == []


@pytest.mark.parametrize("text", ["9 m/s2", "opens 3 mm2", "5 cm3 more", "333 N s/m", "7 m/s^2", "2 cm**3", "20 degC",
                                  "9 percent", "45 degrees", "changes by -4 %", "(-3 mm)", "at -0.5 m/s"])
def test_an_old_spelling_would_be_found(text):
    assert old_spellings(text)


@pytest.mark.parametrize("text", ["9 m/s²", "−4 %", "clicks 3-4", "2026-11-26", "5W-30", "$e^{-2}$", "rod's",
                                  "low-speed"])
def test_what_is_well_written_passes(text):
    assert old_spellings(text) == [] and minus(text) == text


@pytest.mark.parametrize("unit", KIND_OF)
def test_what_is_shown_can_be_typed(unit):
    """A value as a reader finds it is read back as the same value."""
    if unit in ("", "%"):
        return
    assert parse(readable("-12.5", unit), unit, "it") == pytest.approx(to_si(-12.5, unit), rel=1e-12)
    assert typed(readable_unit(unit)) != "" and not old_spellings(readable_unit(unit))
