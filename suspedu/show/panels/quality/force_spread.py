"""Panel on the spread of a batch: forces on the bench by draw and by slopes, and which tolerance makes the spread."""

from __future__ import annotations

import numpy as np

from suspedu.quality.batch_read import SPEEDS, BatchRead, batch_read
from suspedu.show.declared import Declared
from suspedu.show.panels.words import newtons, percent
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, View, bar, roofed
from suspedu.units import to_si

AT = {f"{speed:g}": f"{speed:g} m/s, pulled" for speed in SPEEDS}
COUNTS = {"12": "12", "24": "24", "48": "48"}
MAKING = {"shims": "shims make", "holes": "holes make", "clearance": "the clearance makes", "seal": "the seal makes",
          "scratch": "scratched bores make"}
CAP = 1.06  # the foot of an error bar reaches so far either side


def view_force_spread(shims, holes, clearance, seal, scratched, speed, count) -> View:
    """Spread of a batch over shaft speed [m/s], tolerances in micrometres and newtons, scratched bores in per cent."""
    read = batch_read(*(to_si(each, "um") for each in (shims, holes, clearance)), seal,
                      scratched=scratched / 100.0, count=int(count))
    place = list(AT).index(speed)
    drawn, errors, slopes = (100.0 * each / read.paper for each in (
        read.drawn.deviation, read.drawn.deviation_error, read.slopes))
    items = (
        Curve("slopes", np.array(SPEEDS), slopes, 0, "second", "by slopes"),
        *(_error_bar(name, at, *ends)
          for name, at, *ends in zip(AT, SPEEDS, drawn - errors, drawn + errors, strict=True)),
        Mark("here", SPEEDS[place], drawn[place], "drawn"),
        *(bar(f"share {name}", row, 100.0 * float(share[place]), axes=1)
          for row, (name, share) in enumerate(read.shares.items())),
    )
    highest = float(max((drawn + errors).max(), slopes.max()))
    axes = roofed(AXES[0], highest, 3, 6, 12, 25, 50), AXES[1]
    return View(items, _numbers(read, place), _sentence(read, place), axes)


def _error_bar(name: str, at: float, low: float, high: float) -> Curve:
    """A standing bar with a foot and a head, on an axis of logarithms."""
    left, right = at / CAP, at * CAP
    return Curve(f"error {name}", np.array([left, right, at, at, left, right]),
                 np.array([low, low, low, high, high, high]), 0, "main", margin=False)


def _of_force(read: BatchRead, values, place: int, decimals: int = 2) -> str:
    return percent(values[place] / read.paper[place], decimals)


def _numbers(read: BatchRead, place: int) -> tuple:
    drawn = read.drawn
    return (
        ("Force on paper", newtons(read.paper[place])),
        ("Mean of those drawn", f"{drawn.mean[place]:.1f} ± {drawn.mean_error[place]:.1f} N"),
        ("Spread, drawn", f"{_of_force(read, drawn.deviation, place)} ± "
                          f"{_of_force(read, drawn.deviation_error, place)} %"),
        ("Spread, by slopes", f"{_of_force(read, read.slopes, place)} %"),
        ("All tolerances at their wrong end", f"{_of_force(read, read.worst, place, 1)} %"),
        ("Softest and hardest drawn", " and ".join(newtons(end(read.forces[:, place])) for end in (np.min, np.max))),
    )  # fmt: skip


def _sentence(read: BatchRead, place: int) -> str:
    group, share = read.largest(place)
    agrees = "within" if read.agrees(place) else "not within"
    cause = (f"{MAKING[group]} {percent(share)} % of the variance" if share else "nothing strays")
    return (f"Pulled at {SPEEDS[place]:g} m/s, {len(read.forces)} dampers drawn by chance spread by "
            f"{_of_force(read, read.drawn.deviation, place)} ± {_of_force(read, read.drawn.deviation_error, place)} % "
            f"of {newtons(read.paper[place])}, one standard deviation; slopes say "
            f"{_of_force(read, read.slopes, place)} %, {agrees} two error bars. Here {cause}.")


AXES = (Axes("shaft speed [m/s]", "standard deviation [% of the force]", (0.04, 3.6), (0, 6),
             "Spread of the rebound force", xscale="log", share=1.3,
             xticks=tuple((each, f"{each:g}") for each in SPEEDS)),
        Axes("cause", "share of the variance [%]", (-0.6, 4.6), (0, 105), "Where it comes from",
             xticks=tuple(enumerate(("shims", "holes", "gap", "seal", "scratch")))))
FORCE_SPREAD = Declared(
    id="force-spread", title="The spread of a batch", view=view_force_spread,
    controls=(Control("shims", "Tolerance of the shims, ±", "µm", 4, 19, 3, 10,
                      "those of one thickness stray together"),
              Control("holes", "Tolerance of the holes, ±", "µm", 0, 60, 10, 20),
              Control("clearance", "Tolerance of the clearance, ±", "µm", 0, 8, 1, 4),
              Control("seal", "Tolerance of the seal's friction, ±", "N", 0, 6, 0.5, 2),
              Control("scratched", "Scratched bores", "%", 0, 30, 5, 0),
              Choice("speed", "The bench reads at", AT, "0.5"),
              Choice("count", "Dampers drawn", COUNTS, "48", "more = shorter error bars")),
    axes=AXES)  # fmt: skip
