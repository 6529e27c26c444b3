"""Panel of the trade-off between two wishes that pull on the same clickers: never one best setting, a curve of them."""

from __future__ import annotations

import numpy as np

from suspedu.machine.adjusters import ADJUSTERS
from suspedu.school.trade_off import BUDGET, TURNED, calmest, keeps_to, unbeaten
from suspedu.show.declared import Declared
from suspedu.show.panels.words import so_many
from suspedu.show.view import Axes, Control, Curve, Mark, View, bar, box

SHAKE = (6.0, 9.0)  # m/s2 that the picture shows


def view_compromise(most_kick) -> View:
    """The unbeaten settings of three clickers, and the calmest one up to a limit on the throw [m/s]."""
    shake, kick = (np.array([found[name] for _, found in unbeaten()]) for name in ("comfort", "kick"))
    setting, found = calmest(most_kick)
    items = (
        Curve("front", shake, kick, 0, "main", margin=False),
        Curve("limit", np.array(SHAKE), np.full(2, most_kick), 0, "limit"),
        Mark("chosen", found["comfort"], found["kick"], "yours", 0, "second"),
        *(bar(name, place, setting[name], axes=1, role="third") for place, name in enumerate(TURNED)),
        *(box(f"{name} clicks", place - 0.3, setting[name], 0.6, 2.0, axes=1, tint=None, edge=0.0, role="ink",
              label=f"{setting[name]:.0f}") for place, name in enumerate(TURNED)),
    )
    return View(items, _numbers(setting, found), _sentence(most_kick, setting, found))


def _numbers(setting, found) -> tuple:
    return (("Shake, weighted", f"{found['comfort']:.2f} m/s²"), ("Throw", f"{found['kick']:.2f} m/s"),
            *((ADJUSTERS[name].label, so_many(setting[name], "clicks")) for name in TURNED))


def _sentence(most_kick, setting, found) -> str:
    limit = f"a throw of {most_kick:.2f} m/s"
    nearest = f"Not one of them keeps to {limit}; the one that comes nearest, {found['kick']:.2f},"
    which = f"Up to {limit} the calmest" if keeps_to(found, most_kick) else nearest
    return (f"Of {BUDGET} settings tried {len(unbeaten())} are beaten by no other in both wishes. {which} has its "
            f"rebound {so_many(setting['rebound'], 'clicks')} out and shakes with {found['comfort']:.2f} m/s².")


COMPROMISE = Declared(
    id="compromise", title="A curve of settings", view=view_compromise,
    controls=(Control("most_kick", "Throw of the bars that you will stand", "m/s", 1.8, 2.3, 0.01, 2.0,
                      "in the tall whoops"),),
    axes=(Axes("shake of the bars on rough ground [m/s²]", "throw of the bars in tall whoops [m/s]", SHAKE, (1.7, 2.4),
               "Settings that no other beats"),
          Axes("yours", "clicks out", (-0.6, 2.6), (0, 27), "Clickers at the dot",
               xticks=((0, "rebound"), (1, "low-speed"), (2, "high-speed")))))  # fmt: skip
