"""Panel of other shims: a curve that is wanted, the stack of sold shims that comes nearest, and what is not reached."""

from __future__ import annotations

import numpy as np

from suspedu.machine.adjusters import ADJUSTERS
from suspedu.show.declared import Declared
from suspedu.show.panels.words import millimetres, percent
from suspedu.show.view import Axes, Choice, Control, Curve, View, band
from suspedu.upgrade.revalving import SPEEDS, STACKS, WITHIN, Proposal, Target, for_open_cartridge
from suspedu.upgrade.shims_sold import counted_shims, stack_height
from suspedu.upgrade.stack_sheet import reach_told, strain_told

MOST = 1600.0  # N of one leg


def view_revalve(stack, slow, quick) -> View:
    """Force as it is, as wanted [% of it, slow and quick] and as built from the drawer, of one leg."""
    found = for_open_cartridge(Target(stack, slow / 100.0, quick / 100.0))
    items = (
        band("drawer", SPEEDS, found.least, found.most, role="ghost", tint=0.25),
        Curve("now", SPEEDS, found.now, 0, "ghost", "now", margin=False),
        Curve("wanted", SPEEDS, found.wanted, 0, "second", "wanted", margin=False),
        Curve("built", SPEEDS, found.given, 0, "main", "built", margin=False),
        Curve("misses", SPEEDS, 100.0 * found.misses, 1, "main"),
        *(Curve(f"limit {side}", SPEEDS[[0, -1]], np.full(2, side * 100.0 * WITHIN), 1, "limit") for side in (-1, 1)),
    )  # fmt: skip
    return View(items, _numbers(found), _sentence(found))


def _numbers(found: Proposal) -> tuple:
    before, now = (millimetres(stack_height(each), 2) for each in (found.before, found.stack))
    return (("Stays within", f"{percent(found.says)} %"), ("Height before", before), ("Height now", now),
            ("Stress at 2 m/s, before", f"{found.stress_before:.2f} of its limit"),
            ("Stress at 2 m/s, now", f"{found.stress:.2f} of its limit"))


def _sentence(found: Proposal) -> str:
    target = found.target
    built = ", ".join(f"{count} of {wide:g} x {thick:g}" for count, wide, thick in counted_shims(found.stack))
    return (f"{ADJUSTERS[target.stack].label}: wanted are {percent(target.slow)} % of the force when slow and "
            f"{percent(target.quick)} % when quick. Build, from the face, {built} mm. {reach_told(found)} "
            f"{strain_told(found)}").rstrip()


REVALVE = Declared(
    id="revalve", title="Other shims", view=view_revalve, height=420,
    controls=(Choice("stack", "Which stack?", {name: ADJUSTERS[name].label for name in STACKS}, "rebound_stack"),
              Control("slow", "Wanted below 0.05 m/s", "%", 70, 150, 5, 100, "of the force there now"),
              Control("quick", "Wanted above 0.25 m/s", "%", 70, 150, 5, 130, "of the force there now")),
    axes=(Axes("speed of the shaft [m/s]", "force of one leg [N]", (0.05, 2.0), (0.0, MOST), "Open cartridge",
               xscale="log"),
          Axes("speed of the shaft [m/s]", "built against wanted [%]", (0.05, 2.0), (-40.0, 40.0), "What it misses",
               xscale="log", share=0.7)))  # fmt: skip
