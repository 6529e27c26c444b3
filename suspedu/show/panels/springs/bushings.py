"""Panel: what rubs in a fork: seals, the air on their lips, and bushings on which ground and brake bend the legs."""

from __future__ import annotations

import numpy as np

from suspedu.school.rubbing import Rubbing, bushed, rubbing
from suspedu.show.declared import Declared
from suspedu.show.panels.words import newtons, number
from suspedu.show.view import Axes, Control, Curve, Mark, View, band, roofed
from suspedu.units import from_si, to_si

PARTS = {"seals": "third", "air": "fourth", "bushings": "second"}


def view_bushings(slowing, stroke, overlap, friction) -> View:
    """Friction over the stroke at a deceleration [m/s2], for bushings so far apart [mm]; and what they bear."""
    place = to_si(stroke, "mm")
    found = rubbing(bushed(to_si(overlap, "mm"), friction), place, slowing)
    parts = [getattr(found, name) for name in PARTS]
    mm, edges = from_si(found.seals.x, "mm"), np.cumsum([np.zeros_like(found.seals.y), *(part.y for part in parts)],
                                                       axis=0)
    items = (
        *(band(f"{name} part", mm, low, high, axes=0, role=role, tint=0.35)
          for (name, role), low, high in zip(PARTS.items(), edges[:-1], edges[1:], strict=True)),
        *(Curve(name, mm, top, 0, role, name) for (name, role), top in zip(PARTS.items(), edges[1:], strict=True)),
        Mark("here", stroke, sum(part.at(place) for part in parts), newtons(sum(part.at(place) for part in parts))),
        Curve("nought", found.upper.x[[0, -1]], np.zeros(2), 1, "limit"),
        *(Curve(name, table.x, table.y, 1, role, f"{name} one")
          for name, table, role in (("upper", found.upper, "main"), ("lower", found.lower, "second"))),
        *(Mark(f"{name} now", slowing, table.at(slowing), "", 1, role)
          for name, table, role in (("upper", found.upper, "main"), ("lower", found.lower, "second"))),
    )  # fmt: skip
    left, right = BUSHINGS.axes
    return View(items, _numbers(found, place, slowing), _sentence(found, place, stroke, slowing),
                (roofed(left, edges[-1].max(), 100, 200, 400, 1200), right))


def _numbers(found: Rubbing, place, slowing) -> tuple:
    return (
        ("Seals, both legs", newtons(found.seals.at(place))),
        ("What the air adds at their lips", newtons(found.air.at(place))),
        ("Bushings, both legs", newtons(found.bushings.at(place))),
        ("Holds the fork where it is", newtons(found.holds)),
        ("Across the legs at the axle", newtons(found.across)),
        ("Bushings of the caliper's leg bear",
         f"{number(abs(found.upper.at(slowing)), 'N')} and {newtons(abs(found.lower.at(slowing)))}"),
    )


def _sentence(found: Rubbing, place, stroke, slowing) -> str:
    share = found.bushings.at(place) / (found.seals.at(place) + found.air.at(place) + found.bushings.at(place))
    when = f"Slowed by {slowing:g} m/s²" if slowing else "Not braked"
    return (f"{when} and {stroke:g} mm deep, the legs rub with "
            f"{newtons(found.seals.at(place) + found.air.at(place) + found.bushings.at(place))} as they slide, "
            f"{number(100 * share, '')} % of it in the bushings, and hold the fork where it is against up to "
            f"{newtons(found.holds)}: small bumps below that do not reach the springs at all.")


BUSHINGS = Declared(
    id="bushings", title="What rubs", view=view_bushings,
    controls=(Control("slowing", "Braking", "m/s²", 0, 9, 0.5, 0, "9 is about all that a tyre holds"),
              Control("stroke", "How deep", "mm", 0, 290, 5, 60, "deeper = bushings further apart"),
              Control("overlap", "Bushings apart, extended", "mm", 120, 260, 10, 190, "more = less load on them"),
              Control("friction", "Friction coefficient of the bushings", "", 0.02, 0.1, 0.01, 0.03,
                      "0.03 = coated, in oil")),
    axes=(Axes("stroke [mm]", "friction of both legs, sliding [N]", (0, 300), (0, 400), "What rubs", share=1.1),
          Axes("braking [m/s²]", "force of a bushing [N]", (0, 9), (-5000, 5000),
               "The leg with the caliper")))  # fmt: skip
