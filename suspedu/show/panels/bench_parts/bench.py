"""The bench: everything that can be turned, its curves, a ride of it, and what a rider would notice, in one picture."""

from __future__ import annotations

from dataclasses import dataclass, replace

from suspedu.school.bench import OnBench, on_bench
from suspedu.school.bench_point import look_at, share_at, step_at
from suspedu.school.bench_settings import ON_THE_BENCH, bench_label, bench_machine, left_aside
from suspedu.school.machines import chosen_machine, school_machine
from suspedu.show.declared import Declared
from suspedu.show.manner import Manner
from suspedu.show.panels.bench_parts.bars import bar_axes, bar_items
from suspedu.show.panels.bench_parts.controls import (
    CURSOR,
    DAMPING,
    NOTHING,
    RIDE,
    SPRINGS,
    USUAL,
    bench_controls,
    control_of,
    home_of,
    off_the_slider,
    shown_as,
)
from suspedu.show.panels.bench_parts.curves import damping_axes, damping_items, spring_axes, spring_items
from suspedu.show.panels.bench_parts.points import explains, point_marks, point_rows
from suspedu.show.panels.bench_parts.riding import GROUND_AXES, STROKE_AXES, riding_axes, riding_items
from suspedu.show.panels.bench_parts.telling import bench_numbers, bench_sentence
from suspedu.show.panels.words import in_a_row
from suspedu.show.view import View

CAME, PIN = "the machine as it came", "the pin"
TITLES = {CAME: "as it came", PIN: "the pin"}
SHARED = ("ground", "pace", "look", "cursor", "point", "stroke", "velocity")


@dataclass(frozen=True, eq=False)
class Facts:
    """What a comparison asks of a view: its bench, and what was said beside it."""

    bench: OnBench
    aside: str


def view_bench(machine, ground, pace, look, cursor, point, stroke, velocity, **sheet) -> View:
    """A machine set as its controls say [workshop units, clicks out], against the same machine as it came."""
    now = on_bench(bench_machine(machine, **_as_it_stands(machine, sheet)), ground, pace / 100.0)
    before = on_bench(chosen_machine(machine), ground, pace / 100.0)
    step = step_at(now, cursor / 100.0) if look == CURSOR else look_at(now, look)
    numbers = point_rows(now, point, stroke, velocity, step) if explains(point) else bench_numbers(now)
    items = (*spring_items(now), *damping_items(now), *bar_items(now, before), *riding_items(now, step),
             *point_marks(now, point, stroke, velocity))
    facts = Facts(now, f"{_beyond(machine, sheet)} {_lacking(machine, sheet)}".strip())
    return View(items, numbers, _said(facts, before, CAME), _axes(now, CAME), facts)


def _axes(now: OnBench, against: str) -> tuple:
    return (spring_axes(now), damping_axes(now), bar_axes(TITLES[against]), *riding_axes(now))


def _said(facts: Facts, before: OnBench, against: str) -> str:
    return f"{bench_sentence(facts.bench, before, against)} {facts.aside}".rstrip()


def against_pinned(now: View, pinned: View) -> View:
    """A view whose bars and sentence are against a pinned setting under the same conditions."""
    bench, before = now.facts.bench, pinned.facts.bench
    bars = {item.name: item for item in bar_items(bench, before)}
    items = tuple(bars.get(item.name, item) for item in now.items)
    return replace(now, items=items, sentence=_said(now.facts, before, PIN), axes=_axes(bench, PIN))


def _as_it_stands(machine: str, sheet: dict) -> dict:
    """The sheet, with what nobody turned exactly as it came: a slider's raster may lie beside it."""
    home = home_of(sheet | {"machine": machine})
    return {name: home[name].exact if name in home and value == home[name].shown else value
            for name, value in sheet.items()}


def _beyond(machine: str, sheet: dict) -> str:
    """What stands on this machine beyond the end of its slider, and is ridden so until it is turned."""
    home = home_of(sheet | {"machine": machine})
    told = [f"{bench_label(name).lower()} {shown_as(name, at.exact)}" for name, at in home.items()
            if sheet.get(name) == at.shown and off_the_slider(name, at)]
    return f"Beyond the end of its slider, and ridden as it came: {in_a_row(told)}." if told else ""


def _lacking(machine: str, sheet: dict) -> str:
    """What was turned that this machine does not have."""
    moved = {name: value for name, value in sheet.items() if value != control_of(name).start}
    told = [bench_label(name).lower() for name in left_aside(machine, **sheet) if name in moved]
    return f"Not part of this damper, so turning it does nothing: {in_a_row(told)}." if told else ""


def _ride_place(x: float, values: dict) -> tuple[str, float]:
    """A click into the ride: the cursor goes to that distance."""
    setting = {name: value for name, value in values.items() if name in ON_THE_BENCH}
    machine = bench_machine(values["machine"], **_as_it_stands(values["machine"], setting))
    return "cursor", 100.0 * share_at(on_bench(machine, values["ground"], values["pace"] / 100.0), x)


MANNER = Manner(
    shared=SHARED, against=against_pinned, escape={"point": NOTHING}, least_height=400,
    implied={"machine": lambda values: {name: at.shown for name, at in home_of(values).items()},
             "cursor": lambda values: {"look": CURSOR, "point": RIDE},
             "stroke": lambda values: {"point": SPRINGS}, "velocity": lambda values: {"point": DAMPING}},
    picks={0: lambda x, values: ("stroke", x), 1: lambda x, values: ("velocity", x), STROKE_AXES: _ride_place,
           GROUND_AXES: _ride_place})  # fmt: skip


@dataclass(frozen=True, eq=False, kw_only=True)
class BenchPanel(Declared):
    """The bench, called with the adjusters that shall stand in front: `bench("rebound", ground="whoops")`."""

    def __call__(self, *front: str, **start):
        """The live bench; the machine may be any by its name, which then stands as it came.

        Raises: InputError for what is not on the bench, a machine that is not known, or a value out of range.
        """
        controls = bench_controls(front or USUAL)
        machine = start.get("machine", "enduro")
        names = {control.name for control in controls}
        home = {name: at.shown for name, at in home_of(dict.fromkeys(names) | {"machine": machine}).items()
                if name in names}
        given = {control.name: home.get(control.name, control.start) for control in controls} | start
        return super(BenchPanel, replace(self, controls=controls)).__call__(**given)


BENCH = BenchPanel(id="bench", title="The bench", view=view_bench, controls=bench_controls(), height=470, manner=MANNER,
              axes=_axes(on_bench(school_machine(), "log"), CAME), gaps=("opens *", "point *", "still"),
              inside=("damping", "stroke"))
