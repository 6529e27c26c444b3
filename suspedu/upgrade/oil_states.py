"""Two states of one damper's oil: cold and still, and after ten minutes of heat and whipped-in air."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from suspedu.changes import changed
from suspedu.damper import Damper, leg_force, sine_loop, stock_damper
from suspedu.damper.loops import loop_work
from suspedu.machine import Machine, change, refitted
from suspedu.machine.riding import fork_law, vehicle
from suspedu.numerics import remembered
from suspedu.parts.air_spring import air_pressure_absolute
from suspedu.parts.heating import warmed_temperature
from suspedu.ride.vehicle import ForkLaw
from suspedu.school.machines import school_machine
from suspedu.school.noticed import noticed
from suspedu.units import ROOM_TEMPERATURE
from suspedu.upgrade.mix import Lap, as_it_stands, lap, whole_day

RIDDEN = 600.0  # s
CAPACITY, LOSS = 4500.0, 3.5  # J/K and W/K of oil and metal of both legs (guess of the course)
STILL_AIR = 0.002  # share of air in an open bath that stood over night (guess of the course)
PUSHED = (0.015, 6.0)  # m and Hz: between the wheel's own swing and the body's (guess of the course)
MIDDLE, POINTS = 0.15, 201


@dataclass(frozen=True)
class OilState:
    """How the oil is: its temperature, the air in it, and the share of the damping that it leaves."""

    name: str
    temperature: float  # K
    air_fraction: float  # of the volume at one atmosphere [-]
    firm: float  # [-]


def states(stock: str, *, stirred: float = 1.0, loss: float = LOSS) -> tuple[OilState, OilState]:
    """Cold and hot oil of a damper of the school's stock, as its own ride over the mix makes it.

    Parameters: stock, a name as `stock_damper` takes it; stirred, share of the air that the shelf's file names [-];
    loss of heat of both legs [W/K].
    Assumes: the heat is that of the damper as it was built, on the rough grounds, all the time; all settings of a
    damper are as hot. Closed oil is as full of air after the ride as before; an open bath is still at the start.

    >>> cold, hot = states("open cartridge")
    >>> round(hot.temperature - cold.temperature), hot.air_fraction, round(hot.firm, 2)
    (26, 0.02, 0.94)
    """
    return _states(stock, float(stirred), float(loss))


@remembered
def _states(stock: str, stirred: float, loss: float) -> tuple[OilState, OilState]:
    damper = stock_damper(stock)
    still = STILL_AIR if is_open(damper) else damper.air_fraction
    hot_air = damper.air_fraction * stirred if is_open(damper) else damper.air_fraction
    power = lap(*as_it_stands(_in_state(refitted(school_machine(), stock), ROOM_TEMPERATURE, still))).heating
    hot = float(warmed_temperature(RIDDEN, power, CAPACITY, loss, ROOM_TEMPERATURE))
    return tuple(OilState(name, kelvin, air, firmness(damper, kelvin, air))
                 for name, kelvin, air in (("cold", ROOM_TEMPERATURE, still), ("hot", hot, hot_air)))


def is_open(damper: Damper) -> bool:
    """Whether a damper stands in the fork's oil bath, which it whips.

    >>> is_open(stock_damper("damping rod")), is_open(stock_damper("closed cartridge"))
    (True, False)
    """
    return not damper.reservoir.sealed_area(1.0)


@remembered
def firmness(damper: Damper, temperature: float, air_fraction: float) -> float:
    """Work of a short, quick push and pull with air in the oil, over that without: what the air leaves of the damping.

    s = W_loop / int F(v) dx

    Parameters: damper; temperature [K]; air_fraction at one atmosphere [-].
    Returns: s [-].
    Assumes: one share for all speeds; in truth slow movements keep all of it and quick ones lose more, and late.

    >>> rod = stock_damper("damping rod")
    >>> [round(firmness(rod, 333.15, air), 2) for air in (0.002, 0.03)]
    [1.0, 0.88]
    """
    amplitude, frequency = PUSHED
    leg = school_machine().legs[0]
    around = {"oil": leg.damper.oil, "temperature": temperature,
              "air_pressure": float(air_pressure_absolute(MIDDLE, leg.travel, leg.air))}
    filled = dataclasses.replace(damper, air_fraction=air_fraction)
    loop = sine_loop(amplitude, frequency, filled, middle=MIDDLE, points=POINTS, **around)
    at_once = leg_force(loop.stroke, loop.velocity, filled, **around).force
    return min(loop_work(loop) / float(np.trapezoid(at_once, loop.stroke)), 1.0)


def _in_state(machine: Machine, temperature: float, air_fraction: float) -> Machine:
    """The machine with oil and air of a temperature [K] and with air in the oil [-]."""
    machine = change(change(machine, "oil_temperature", temperature), "air_temperature", temperature)
    return changed(machine, "legs.damper.unit.air_fraction", air_fraction)


def law_in_state(machine: Machine, state: OilState) -> ForkLaw:
    """The fork's tables with oil in a state: thinner as it is hotter, and softer for the air in it."""
    law = fork_law(_in_state(machine, state.temperature, state.air_fraction))
    if state.firm == 1.0:
        return law
    softer = {name: getattr(law, name) * state.firm for name in ("damping_force", "stop_force")
              if getattr(law, name) is not None}
    return dataclasses.replace(law, **softer)


@dataclass(frozen=True)
class Day:
    """A cold and a hot lap, and the wishes over both."""

    cold: Lap
    hot: Lap

    @property
    def wishes(self) -> dict[str, float]:
        """The wishes [SI] over both laps, by name."""
        return whole_day([self.cold, self.hot])

    @property
    def throw(self) -> float:
        """Fastest throw of the bars after the landing [m/s], of both laps the worse."""
        return max(self.cold.throw, self.hot.throw)

    def of(self, wish: str, state: str = "both") -> float:
        """One wish [SI] in a state of the oil: "cold", "hot" or "both"."""
        return self.wishes[wish] if state == "both" else float(getattr(getattr(self, state), wish))


@remembered
def most_throw() -> float:
    """Throw of the bars after the landing that is let pass [m/s]: one noticed step more than the school's own machine.

    >>> round(most_throw(), 2)
    1.48
    """
    usual = ridden_day(school_machine(), states("closed cartridge")).throw
    return usual + noticed("kick", usual)


def ridden_day(machine: Machine, oil: tuple[OilState, OilState], over=None) -> Day:
    """A machine over the mix, cold and hot.

    Parameters: machine; oil, its two states; over, grounds by name, those of the mix if None.

    >>> day = ridden_day(school_machine(), states("closed cartridge"))
    >>> day.hot.dive > day.cold.dive, round(1e3 * (day.hot.dive - day.cold.dive))  # mm deeper in thin oil
    (True, 2)
    """
    front = vehicle(machine)
    cold, hot = (lap(front, law_in_state(machine, state), over) for state in oil)
    return Day(cold, hot)
