"""Panel of the trade-off between two wishes that pull on the same clickers: never one best setting, a curve of them."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np

from suspedu.machine.riding import ride_all
from suspedu.ride.search import Aim, Range, trade_off
from suspedu.show.panel import Panel
from suspedu.show.panels.rides.complaints import TALL, loop_ground
from suspedu.show.panels.rides.riding import ridden_machine
from suspedu.show.view import Axes, Control, Curve, Mark, View, bar

RANGES = (Range("rebound", 2, 24, 2), Range("compression_low", 0, 24, 4), Range("compression_high", 0, 20, 5))
BUDGET = 96  # settings tried
SETTING = tuple(each.name for each in RANGES)
CONTROLS_COMPROMISE = (
    Control("most_kick", "Throw of the bars that you will stand", "m/s", 3.1, 4.5, 0.05, 3.5, "in the tall whoops"),
)  # fmt: skip
AXES_COMPROMISE = (
    Axes("shake of the bars on rough ground [m/s2]", "throw of the bars in tall whoops [m/s]", (4.2, 6.4), (3.0, 4.6),
         "Settings that no other beats"),
    Axes("yours", "clicks out", (-0.6, 2.6), (0, 25), "Its clickers",
         xticks=((0, "rebound"), (1, "low-speed"), (2, "high-speed"))),
)  # fmt: skip


def felt(settings: list[dict]) -> list[dict | None]:
    """Shake on rough ground and throw in the tall whoops of some settings in clicks out; None where unrideable."""
    machines = [ridden_machine("enduro", **each) for each in settings]
    rough = ride_all(machines, loop_ground("rough ground"), names=["comfort"])
    tall = ride_all(machines, loop_ground(TALL), names=["kick"])
    return [None if a is None or b is None else a | b for a, b in zip(rough, tall, strict=True)]


@cache
def front() -> tuple[tuple[dict, dict], ...]:
    """The settings that no other beats in both wishes, calmest over rough ground first."""
    return tuple(trade_off(felt, RANGES, (Aim("comfort"), Aim("kick")), budget=BUDGET))


def ready(say: Callable[[str], None]) -> None:
    """Ride what the panel needs, saying so; some seconds, once."""
    say(f"Riding {BUDGET} settings of three clickers over two grounds: some seconds.")
    say(f"{len(front())} of them are beaten by no other.")


def chosen(most_kick: float) -> tuple[dict, dict]:
    """The calmest of the unbeaten settings that keeps a limit on the throw [m/s], or the one that misses it least."""
    keeping = [pair for pair in front() if pair[1]["kick"] <= most_kick]
    return keeping[0] if keeping else min(front(), key=lambda pair: pair[1]["kick"])


def view_compromise(most_kick) -> View:
    """The unbeaten settings of three clickers, and the calmest one under a limit on the throw [m/s]."""
    shake, kick = (np.array([found[name] for _, found in front()]) for name in ("comfort", "kick"))
    setting, found = chosen(most_kick)
    items = (
        Curve("front", shake, kick, 0, "main", margin=False),
        Curve("limit", np.array([4.2, 6.4]), np.full(2, most_kick), 0, "limit"),
        Mark("chosen", found["comfort"], found["kick"], "yours", 0, "second"),
        *(bar(name, place, setting[name], axes=1) for place, name in enumerate(SETTING)),
    )
    return View(items, _numbers(setting, found), _sentence(most_kick, setting, found))


def _numbers(setting, found) -> tuple:
    clicks = (("Rebound", "rebound"), ("Low-speed compression", "compression_low"),
              ("High-speed compression", "compression_high"))
    return (("Shake, weighted", f"{found['comfort']:.2f} m/s2"), ("Throw", f"{found['kick']:.2f} m/s"),
            *((label, f"{setting[name]:.0f} clicks") for label, name in clicks))


def _sentence(most_kick, setting, found) -> str:
    kept = "" if found["kick"] <= most_kick else " That limit none of them keeps; this one comes nearest."
    return (f"Of {BUDGET} settings tried {len(front())} are beaten by no other in both wishes. Under a throw of "
            f"{most_kick:.2f} m/s the calmest has its rebound {setting['rebound']:.0f} clicks out and shakes with "
            f"{found['comfort']:.2f} m/s2.{kept}")


def compromise(**start) -> Panel:
    """The panel of the trade-off between calm bars on rough ground and no throw in tall whoops; start by name."""
    return Panel(view_compromise, CONTROLS_COMPROMISE, AXES_COMPROMISE, title="A curve of settings", start=start)
