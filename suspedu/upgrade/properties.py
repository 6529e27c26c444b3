"""What part of a gain is the damping law, the stop, the gas, less friction and less weight: one at a time exchanged."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from suspedu.changes import changed
from suspedu.damper.cartridges import ClosedCartridge, OpenCartridge
from suspedu.machine import Machine
from suspedu.machine.riding import vehicle
from suspedu.ride.vehicle import ForkLaw
from suspedu.upgrade.fair_shares import FairShare, fair_shares
from suspedu.upgrade.mix import WISHES, lap
from suspedu.upgrade.oil_states import Day, OilState, law_in_state, states
from suspedu.upgrade.technologies import Setting, better_leg, technology

PROPERTIES = {"law": "damping law", "stop": "stop at the end", "gas": "gas, and no air in the oil",
              "friction": "less friction", "weight": "less weight"}  # fmt: skip


@dataclass(frozen=True, eq=False)
class Exchange:
    """From a damping rod in a plain leg to a closed cartridge in a better one, each tuned, property by property.

    Assumes: what is exchanged is tables of force: the rod's with a stop or a gas of the cartridge's, which nobody
    builds, is a thought that shares out the gain. The law brings oil and oil height of its setting; the gas brings its
    push, oil without air, and the cartridge's sealed rod.
    """

    rod: Setting
    closed: Setting

    @cached_property
    def _machines(self) -> dict[str, Machine]:
        closed = technology("closed").fitted(self.closed)
        unit = closed.legs[0].damper.unit
        return {"rod": technology("rod").fitted(self.rod), "closed": closed,
                "unsealed": changed(closed, "legs.damper.unit", unsealed(unit))}

    @cached_property
    def _oils(self) -> dict[str, tuple[OilState, OilState]]:
        closed, loose = states("closed cartridge"), states("open cartridge")
        rod = states("damping rod")
        still = tuple(dataclasses.replace(own, air_fraction=tight.air_fraction, firm=tight.firm)
                      for own, tight in zip(rod, closed, strict=True))
        stirred = tuple(dataclasses.replace(own, air_fraction=airy.air_fraction, firm=airy.firm)
                        for own, airy in zip(closed, loose, strict=True))
        return {"rod": rod, "rod, sealed": still, "closed": closed, "unsealed": stirred}

    def day(self, team: frozenset[str]) -> Day:
        """A day with some of `PROPERTIES` of the better leg and cartridge, the others of the plain one."""
        front = vehicle(better_leg(self._machines["rod"], friction=False, weight="weight" in team))
        return Day(*(lap(front, self._law(team, state)) for state in range(2)))

    def _law(self, team: frozenset[str], state: int) -> ForkLaw:
        law = self._sealed(team, state)
        stop = self._tables("closed", "closed" if "gas" in team else "unsealed", state)
        kept = (stop.stop_strokes, stop.stop_force) if "stop" in team else (None, None)
        law = dataclasses.replace(law, stop_strokes=kept[0], stop_force=kept[1])
        if "friction" not in team:
            return law
        better = better_leg(self._machines["rod"], weight=False).both_legs
        return dataclasses.replace(law, seals=tuple(leg.friction for leg in better),
                                   bushings=tuple(leg.bushings for leg in better))

    def _sealed(self, team: frozenset[str], state: int) -> ForkLaw:
        """Springs and damping: of the rod or the cartridge, open or behind gas."""
        if "law" in team:
            return self._tables("closed", "closed", state) if "gas" in team else \
                self._tables("unsealed", "unsealed", state)
        if "gas" not in team:
            return self._tables("rod", "rod", state)
        plain = self._tables("rod", "rod, sealed", state)
        push = (self._tables("closed", "closed", state).spring_force
                - self._tables("unsealed", "unsealed", state).spring_force)
        return dataclasses.replace(plain, spring_force=plain.spring_force + push)

    def _tables(self, machine: str, oil: str, state: int) -> ForkLaw:
        key = (machine, oil, state)
        if key not in self._made:
            self._made[key] = law_in_state(self._machines[machine], self._oils[oil][state])
        return self._made[key]

    @cached_property
    def _made(self) -> dict[tuple[str, str, int], ForkLaw]:
        return {}

    def ridden_once(self) -> Callable[[frozenset[str]], Day]:
        """`day`, which rides no team twice."""
        days: dict[frozenset[str], Day] = {}

        def day(team: frozenset[str]) -> Day:
            if team not in days:
                days[team] = self.day(team)
            return days[team]

        return day


def property_shares(wish: str, day: Callable[[frozenset[str]], Day]) -> dict[str, FairShare]:
    """Shares of the properties in the gain of one wish, over both states of the oil.

    Parameters: wish, by name; day of some of `PROPERTIES`, as `Exchange.ridden_once` gives it.
    Returns: gains by property [SI].
    """
    return fair_shares(tuple(PROPERTIES), lambda team: float(WISHES[wish].gain(day(team).of(wish))))


def unsealed(unit: ClosedCartridge) -> OpenCartridge:
    """The same valves and stop in the fork's oil bath: a closed cartridge without its gas.

    >>> from suspedu.damper import stock_damper
    >>> unsealed(stock_damper("closed cartridge")).displaced_area == stock_damper("open cartridge").displaced_area
    True
    """
    both = {each.name for each in dataclasses.fields(OpenCartridge)} - {"air_fraction"}
    return OpenCartridge(**{name: getattr(unit, name) for name in both})
