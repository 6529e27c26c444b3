"""Every panel of the registry at every corner of its controls: a panel that is declared is tested."""

import ast
import re
from pathlib import Path

import numpy as np
import pytest

from suspedu.show import panels
from suspedu.show.declared import Declared
from suspedu.show.view import Axes, Choice, Control, Curve, View, every_corner
from suspedu.units import InputError

from .claims import unheld

PANELS_FOLDER = Path(panels.__file__).parent
MANY, SPREAD = 300, 80  # above so many corners (rides) a spread of them is tried
MOST_NUMBERS = 7  # a row for each adjuster of the chart; the others have six
# no number where there is none, no typed signs, no plural for one thing
WRONG_WORDS = re.compile(r"\bnan\b|\binf\b|[-−]0 |[-−]0\.0+ |None|(?<![\w.])-\d|\b[cm]?m[23]\b|/s2\b|N s/m|\^2|degC|"
                         r"(?<![\w.,])1 (?:wrong )?(?!ms\b)[a-z]+s\b|\b(?:seal|clearance) make\b")


def corners(panel, most=SPREAD) -> list[dict]:
    """All corners of a panel, or a spread of them, the start among them."""
    found = list(every_corner(panel.controls))
    if len(found) <= MANY and most == SPREAD:
        return found
    return [found[k] for k in np.unique(np.linspace(0, len(found) - 1, most).astype(int))]


def faults(panel: Declared) -> list[str]:
    """What is wrong with a panel at its corners, in words."""
    found, names = [], set()
    for values in corners(panel):
        view = panel.view(**values)
        names.add(tuple(item.name for item in view.items))
        found += [f"{values}: {word}" for word in _text_faults(view)] + unheld(panel, values, view)
        found += [f"{values}: {item.name} is not finite" for item in view.items if not _finite(item)
                  and not panel.may_have_gaps(item.name)]
        found += [f"{values}: {name} leaves its axes" for name in panel.inside if not _inside(panel, view, name)]
    return found if len(names) == 1 else ["items differ from corner to corner", *found]


def _text_faults(view) -> list[str]:
    refused = "cannot be judged" in view.sentence  # a question that this ground does not ask has no numbers
    right = refused or 3 <= len(view.numbers) <= MOST_NUMBERS
    return WRONG_WORDS.findall(view.text) + ([] if right else [f"{len(view.numbers)} key numbers"])


def _finite(item) -> bool:
    return bool(np.isfinite(item.x).all() and np.isfinite(item.y).all())


def _inside(panel, view, name) -> bool:
    """Whether what can be seen of an item lies within its axes, to one unit below: a line has a width."""
    shown = next(item for item in view.items if item.name == name)
    axes = (view.axes or panel.axes)[shown.axes]
    low, high = sorted(axes.ylim)
    seen = shown.y[(shown.x >= axes.xlim[0]) & (shown.x <= axes.xlim[1])]
    return bool(low - 1 <= np.nanmin(seen) and np.nanmax(seen) <= high)


@pytest.mark.parametrize("panel", panels.PANELS.values(), ids=panels.PANELS)
def test_every_corner_keeps_its_items_stays_finite_and_says_numbers(panel):
    assert faults(panel) == []


@pytest.mark.parametrize("panel", panels.PANELS.values(), ids=panels.PANELS)
def test_where_a_control_stands_at_one_its_thing_is_said_in_the_singular(panel):
    views = [panel.shown(**{control.name: 1}) for control in panel.controls if not isinstance(control, Choice)
             and control.low <= 1 <= control.high and (1 - control.low) / control.step % 1 < 1e-9]
    assert [fault for view in views for fault in _text_faults(view)] == []


@pytest.mark.parametrize(("spoilt", "word"), [
    ("1 clicks out", "1 clicks"), ("and 1 wrong ones are let pass", "1 wrong ones"), ("1 shims", "1 shims"),
    ("Here seal make 99 %", "seal make"), ("1 click out, 11 clicks, 1.1 clicks, 0.1 ms, in 1 ms", None)])
def test_a_plural_for_one_thing_would_be_found(spoilt, word):
    assert WRONG_WORDS.findall(spoilt) == ([word] if word else [])


@pytest.mark.parametrize("panel", panels.PANELS.values(), ids=panels.PANELS)
def test_the_panel_draws_its_extreme_corners_and_follows_a_control(panel):
    live, seen = panel(), set()
    for values in corners(panel, 3):
        live.move(**values)
        assert live.problem == "" and live.fault is None and live.picture.startswith(b"\x89PNG")
        assert live.text == panel.view(**values).text
        seen.add(live.picture)
    assert len(seen) > 1


@pytest.mark.parametrize("panel", panels.PANELS.values(), ids=panels.PANELS)
def test_a_panel_is_called_by_its_id_and_every_choice_has_words(panel):
    assert getattr(panels, panel.id.replace("-", "_")) is panel
    choices = [control for control in panel.controls if isinstance(control, Choice)]
    for choice in choices:
        assert choice.start in choice.options and all(words.strip() for words in choice.options.values())
        assert len(set(choice.options.values())) == len(choice.options)
    with pytest.raises(InputError, match="there is no control"):
        panel(colour="red")


def test_no_module_of_the_panels_is_hidden_by_a_panel_of_its_name():
    folders = {path.name for path in PANELS_FOLDER.iterdir() if path.is_dir() or path.suffix == ".py"}
    hidden = {panel.id.replace("-", "_") for panel in panels.PANELS.values()}
    assert not {name.removesuffix(".py") for name in folders} & hidden


# a panel is added in one file and one line


TRIAL = '''
import numpy as np

from suspedu.school import set_machine
from suspedu.show.declared import Declared
from suspedu.show.panels.setting import PRELOAD
from suspedu.show.panels.words import millimetres
from suspedu.show.view import Axes, Curve, View

def view_trial(preload):
    machine = set_machine(preload=preload)
    x = np.array([0.0, 1.0])
    held = millimetres(machine.legs[0].spring.preload, 1)
    return View((Curve("line", x, np.full(2, preload)),), (("a", held), ("b", "1 N"), ("c", "2 N")), f"{held} held.")

TRIAL = Declared(id="trial", title="Trial", controls=(PRELOAD,), view=view_trial, inside=("line",),
                 axes=(Axes("x", "y", (0, 1), (0, 20)),))
'''


@pytest.fixture
def trial(tmp_path):
    """The registry as its file would be with one more line, and a module beside it."""
    module, book = {"__name__": "trial_panel"}, {"__name__": "trial_registry"}
    exec(compile(TRIAL, tmp_path / "trial.py", "exec"), module)
    head, line, rest = (PANELS_FOLDER / "__init__.py").read_text(encoding="utf-8").partition("\nPANELS = ")
    book |= {"given": module["TRIAL"]}
    exec(compile(f"{head}\ntrial = given{line}{rest}", "registry", "exec"), book)
    return book["PANELS"]


def test_a_new_panel_appears_draws_and_is_tested_by_its_line_alone(trial):
    assert set(trial) == {*panels.PANELS, "trial"}
    assert faults(trial["trial"]) == []
    live = trial["trial"](preload=6)
    assert "6.0 mm held." in live.text and live.still().startswith(b"\x89PNG")
    live.move(preload=20)
    assert live.problem == "" and "20.0 mm held." in live.text


def line(*y, name="line") -> Curve:
    return Curve(name, np.array([0.0, 1.0]), np.array(y))


@pytest.mark.parametrize(("spoilt", "words"), [
    (lambda a: View((line(a, np.nan),), (("a", "1"),) * 3, "s"), "not finite"),
    (lambda a: View((line(a, 9.0),), (("a", "1"),) * 3, "s"), "leaves its axes"),
    (lambda a: View((line(0.0, a, name=f"line {a}"), line(a, a)), (("a", "1"),) * 3, "s"), "items differ"),
    (lambda a: View((line(a, a),), (("a", "nan mm"),) * 3, "s"), "nan"),
    (lambda a: View((line(a, a),), (), "s"), "0 key numbers"),
])
def test_a_faulty_panel_would_be_found(spoilt, words):
    panel = Declared(id="x", title="X", controls=(Control("a", "A", "", 0, 1, 1, 0),), view=spoilt, inside=("line",),
                     axes=(Axes("x", "y", (0, 1), (0, 1)),))
    assert any(words in fault for fault in faults(panel))


# panels turn results into pictures and words: they compute no physics


MODULES = sorted(PANELS_FOLDER.rglob("*.py"))
COMPUTING = {"interp", "gradient", "trapezoid", "polyfit", "brentq", "solve", "solve_ivp", "geomspace",
             "logspace", "fft", "histogram"}
CONVERTING = {1e3, 1e-3, 1e5, 1e-5, 1e6, 1e-6, 1e9, 273.15, 9.80665, 101325.0, 3.6}
ASKED = re.compile(r"suspedu\.(show|school|quality|recordings|upgrade|spelling|units|machine)\b|"
                   r"suspedu\.ride\.(outcomes|shares|simulate)$|suspedu\.parts\.(oil|shim_stacks)$|suspedu\.damper$")


def physics_in(text: str) -> list[str]:
    """Traces of physics in a module of the panels: what computes, what converts, whom it asks."""
    tree = ast.parse(text)
    called = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)} & COMPUTING
    sides = [side for node in ast.walk(tree) if isinstance(node, ast.BinOp) for side in (node.left, node.right)]
    numbers = {side.value for side in sides if isinstance(side, ast.Constant)} & CONVERTING
    asked = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.module
             and node.module.startswith("suspedu") and not ASKED.match(node.module)}
    return sorted(map(str, called | numbers | asked))


@pytest.mark.parametrize("path", MODULES, ids=[path.relative_to(PANELS_FOLDER).as_posix() for path in MODULES])
def test_panels_compute_no_physics(path):
    assert physics_in(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("line", ["y = np.interp(1, x, y)", "mm = stroke * 1e3", "kelvin = degrees + 273.15",
                                  "from suspedu.damper.valves import flow",
                                  "from suspedu.ride.linear import responses"])
def test_physics_in_a_panel_would_be_found(line):
    assert physics_in(line)
