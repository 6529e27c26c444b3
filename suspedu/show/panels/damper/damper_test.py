"""Panel on a test bench: a sound cartridge and one with a fault, over stroke and over velocity."""

from __future__ import annotations

from suspedu.recordings import FAULT_NAMES, HEALTHY, BenchCycle, bench_cycle, fault_size
from suspedu.recordings.fault_kinds import FAULT_KINDS
from suspedu.show.declared import Declared
from suspedu.show.panels.words import newtons, with_unit
from suspedu.show.view import Axes, Choice, Control, Curve, View
from suspedu.spelling import readable
from suspedu.units import from_si

MEASURES = {kind.name: (kind.measure, kind.unit) for kind in FAULT_KINDS}


def view_damper_test(fault, bad, speed) -> View:
    """A cycle of a sine with a greatest speed [m/s], sound and with a fault so bad [%]."""
    sound, found = bench_cycle(HEALTHY, 0.0, speed), bench_cycle(fault, bad / 100, speed)
    items = tuple(
        Curve(f"{name} over {what}", x, each.force, place, role, "" if place else name, margin=False)
        for name, each, role in (("sound", sound, "limit"), ("tested", found, "main"))
        for place, what, x in ((0, "stroke", from_si(each.stroke, "mm")), (1, "velocity", each.velocity)))  # fmt: skip
    return View(items, _numbers(sound, found), _sentence(fault, bad, sound, found))


def _numbers(sound: BenchCycle, found: BenchCycle) -> tuple:
    rows = (("Work of a cycle", lambda each: f"{each.work:.1f} J"),
            ("Largest force, going in", lambda each: newtons(each.force.max())),
            ("Largest force, coming out", lambda each: newtons(-each.force.min())),
            ("The loop stands open by", lambda each: newtons(each.opening)))  # fmt: skip
    return tuple((label, f"{told(found)}; sound: {told(sound)}") for label, told in rows)


def _sentence(fault, bad, sound: BenchCycle, found: BenchCycle) -> str:
    if fault == HEALTHY:
        return (f"A sound cartridge takes {sound.work:.1f} J out of a cycle; its loop over velocity stands open by "
                f"{newtons(sound.opening)}, since oil gives way and friction turns round.")
    return (f"With {_told(fault, bad)} the cartridge takes {found.work:.1f} J out of a cycle, against "
            f"{sound.work:.1f} J when sound; its loop over velocity stands open by {newtons(found.opening)}, against "
            f"{newtons(sound.opening)}.")


def _told(fault, bad) -> str:
    size = fault_size(fault, bad / 100)
    measure, unit = MEASURES[fault]
    value = f"{size:.1f} times" if not unit else f"{from_si(size, unit):.0f} %" if unit == "percent" else with_unit(
        size, unit, 1)
    return f"{ARTICLES[fault]} ({measure}: {readable(value, '')})"


ARTICLES = {"worn seal": "a worn seal", "bent shim": "a bent shim in the rebound valve", "low oil": "low oil",
            "entrained air": "entrained air", "lost gas": "lost gas"}  # fmt: skip

DAMPER_TEST = Declared(
    id="damper-test", title="A cycle on the test bench, simulated", view=view_damper_test,
    inside=("sound over stroke", "sound over velocity", "tested over stroke", "tested over velocity"),
    controls=(Choice("fault", "Cartridge", {name: name for name in (HEALTHY, *FAULT_NAMES)}, "entrained air"),
              Control("bad", "How bad", "%", 0, 100, 10, 50, "0 = just worth naming; of a sound one nothing"),
              Control("speed", "Greatest speed", "m/s", 0.1, 1.5, 0.1, 0.5, "25 mm to either side of the middle")),
    axes=(Axes("stroke [mm]", "force at the load cell [N]", (120, 180), (-750, 550), "Over stroke"),
          Axes("velocity [m/s]", "force at the load cell [N]", (-1.6, 1.6), (-750, 550), "Over velocity")))  # fmt: skip
