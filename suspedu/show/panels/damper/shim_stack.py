"""Panel on shim stacks: build one, see it bend, find its kink."""

from __future__ import annotations

from suspedu.school.stacks import FACE, PORT, BenchTest, bench_test
from suspedu.show.declared import Declared
from suspedu.show.panels.damper.stack_picture import stack_picture
from suspedu.show.panels.words import percent, with_unit
from suspedu.show.view import Axes, Control, Curve, Mark, View
from suspedu.units import from_si, to_si

COUNT = Control("face_shims", f"Face shims of {FACE:g} mm", "", 1, 6, 1, 3, "more = stiffer, one by one")
THICKNESS = Control("thickness", "Thickness of every shim", "mm", 0.10, 0.30, 0.05, 0.15, "thicker = far stiffer")
STEP = Control("taper_step", "Taper: each next one smaller by", "mm", 0, 2.5, 0.25, 2, "more = less help at the edge")
CLAMP = Control("clamp", "Clamp diameter", "mm", 9, 13, 0.5, 10, "wider = stiffer")
GAP = Control("gap", "Crossover shim", "mm", 0, 0.2, 0.05, 0, "its thickness; 0 = none")
STRETCHES = 0.05  # of the pressure: where stretching holds more, it is said
DROP = Control("pressure", "Pressure under the stack", "bar", 0, 20, 0.5, 8, "faster stroke = more")
STACK = (COUNT, THICKNESS, STEP, CLAMP, GAP, DROP)
LOOKS = {"face": ("face alone", "second", "face alone"), "plain": ("without gap", "third", "no crossover"),
         "stack": ("lift", "main", "this stack")}  # fmt: skip


def view_shim_stack(face_shims, thickness, taper_step, clamp, gap, pressure) -> View:
    """A stack [mm] cut open under a pressure [bar], and its lift over pressure, beside its parts."""
    test = bench_test(face_shims, thickness, taper_step, clamp, gap, to_si(pressure, "bar"))
    items = (
        *stack_picture(test.stack, test.bent, PORT),
        *(Curve(name, from_si(test.lifts[key].x, "bar"), from_si(test.lifts[key].y, "mm"), 1, role, label)
          for key, (name, role, label) in LOOKS.items()),
        Mark("now", pressure, from_si(test.lift, "mm"), with_unit(test.lift, "mm", 3), 1),
        _kink(test),
    )  # fmt: skip
    return View(items, _numbers(test, pressure, gap), _sentence(test, pressure, gap))


def _kink(test: BenchTest) -> Mark:
    """The corner of the lift curve; without one, or beyond 20 bar, it lies outside of the axes."""
    shown = test.closes <= DROP.high
    place = (test.closes, from_si(test.kink, "mm")) if shown else (-1.0, 0.0)
    return Mark("kink", *place, "gap closes" if shown else "", 1, "ink")


def _numbers(test: BenchTest, pressure, gap) -> tuple:
    lift, closes = from_si(test.lift, "mm"), test.closes
    return (
        ("Lift at the rim", f"{lift:.3f} mm"),
        ("Opening under the rim", with_unit(test.opening, "mm**2", 2)),
        ("Pressure for each 0.1 mm, so far", f"{0.1 * pressure / lift:.1f} bar" if lift > 1e-6 else "not open"),
        ("The gap closes at", f"{closes:.1f} bar" if closes == closes else ("beyond 200 bar" if gap else "no gap")),
        ("Highest stress", with_unit(test.bent.peak_stress, "MPa")),
        ("Largest bend over thickness; held by stretch",
         f"{test.bent.deflection_ratio:.2f} times; {percent(1.0 - test.bent.bending_share)} %"),
    )


def _sentence(test: BenchTest, pressure, gap) -> str:
    line = ("Its curve bends nowhere sharply: small bumps and big ones meet the same stack"
            + (", stiffer the further it stretches." if 1.0 - test.bent.bending_share > STRETCHES else "."))
    opens = (f"At {pressure:g} bar the stack lifts {with_unit(test.lift, 'mm', 3)} and opens "
             f"{with_unit(test.opening, 'mm**2', 2)} for the oil{_strain(test.bent)}. ")  # fmt: skip
    return opens + (_gap_words(pressure, test.closes) if gap else line)


def _strain(bent) -> str:
    held, told = 1.0 - bent.bending_share, ""
    if held > STRETCHES:
        told = f", bent so far that stretching holds {percent(held)} % of the pressure and bending the rest"
    if bent.fatigue_share > 1.0:
        told += f", bent to {bent.fatigue_share:.1f} times its fatigue limit, so it will crack one day"
    return told


def _gap_words(pressure, closes) -> str:
    if not closes < DROP.high:
        return "The gap stays open up to 20 bar: only the face shims work, and the rest is dead weight."
    where = "still open: small bumps feel the face shims alone" if pressure < closes else "shut: now all shims work"
    return f"The gap closes at {closes:.1f} bar and is {where}."


SHIM_STACK = Declared(
    id="shim-stack", title="Build a stack, see it bend", height=380, controls=STACK, view=view_shim_stack,
    axes=(Axes("from the middle of the bolt [mm]", "bending, steel drawn at 1/6 of this scale [mm]", (0, 11),
               (-0.15, 0.75), "Half of the stack, cut open", share=1.15),
          Axes("pressure under the stack [bar]", "lift at the rim [mm]", (0, 20), (0, 0.6), "Lift")))  # fmt: skip
