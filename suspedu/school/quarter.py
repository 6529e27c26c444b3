"""The school enduro's front with straight-line laws: its response, and what damping trades against what."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.machine.riding import vehicle
from suspedu.numerics import remembered
from suspedu.ride.linear import (
    LinearVehicle,
    comfort_damping,
    damping_ratio,
    invariant_points,
    natural_frequencies,
    responses,
    white_noise_intensity,
    white_noise_variances,
)
from suspedu.ride.roughness import mean_roughness
from suspedu.school.machines import school_machine
from suspedu.school.tables import Tabulated

FREQUENCIES = np.geomspace(0.3, 50.0, 240)
SWEEP = np.linspace(200.0, 4000.0, 196)  # N s/m at the wheel
WISHES = ("acceleration", "tyre", "travel")  # comfort, grip, travel
SWINGS_ON, CREEPS = 0.4, 1.0  # damping ratios: below it swings on, from there on it creeps back


def straight_vehicle(sprung_mass: float, unsprung_mass: float, rate: float, damping: float) -> LinearVehicle:
    """The school enduro's front, straight: sprung_mass, unsprung_mass [kg]; rate [N/m], damping [N s/m] at the wheel.

    >>> straight_vehicle(75, 15, 12.4e3, 1480).rate
    12400.0
    """
    return LinearVehicle(sprung_mass, unsprung_mass, rate, damping, vehicle(school_machine()).tyre.rate)


@dataclass(frozen=True, eq=False)
class FrontResponse:
    """What the front answers to bumps of each frequency [Hz]."""

    felt: Tabulated  # acceleration over the ground's velocity [1/s]
    tyre: Tabulated  # tyre load over the ground's height [N/m]
    body: float  # Hz
    wheel: float  # Hz
    ratio: float  # damping ratio of the body
    fixed: tuple[float, float]  # Hz, 1/s: where no spring and no damper changes what is felt

    @property
    def manner(self) -> str:
        """How the body comes to rest: "swings", "returns" or "creeps"."""
        return "swings" if self.ratio < SWINGS_ON else "returns" if self.ratio < CREEPS else "creeps"


def front_response(front: LinearVehicle) -> FrontResponse:
    """|acceleration / ground velocity| = w^2 |z| / (w |h|), and the tyre's load over the ground's height.

    >>> found = front_response(straight_vehicle(75, 15, 12.4e3, 1480))
    >>> round(float(found.body), 2), round(float(found.wheel), 1), found.manner
    (1.95, 15.2, 'returns')
    """
    answer, circle = responses(FREQUENCIES, front), 2 * np.pi * FREQUENCIES
    body, wheel = natural_frequencies(front)
    return FrontResponse(Tabulated(FREQUENCIES, circle * np.abs(answer["sprung"])),
                         Tabulated(FREQUENCIES, np.abs(answer["tyre"])), body, wheel, damping_ratio(front),
                         invariant_points(front)["acceleration"])


@dataclass(frozen=True, eq=False)
class DampingTrade:
    """R.m.s. values of the three wishes [m/s2, N, m] over SWEEP, at one damping, and where the best of each lies."""

    table: dict[str, np.ndarray]
    now: dict[str, float]
    comfort_at: float  # N s/m
    grip_at: float  # N s/m
    damping: float  # N s/m

    def cost(self, wish: str) -> float:
        """What this damping costs of a wish against its best [-]."""
        return self.now[wish] / self.table[wish].min() - 1

    def costs(self, wish: str) -> np.ndarray:
        """What each damping of SWEEP costs of a wish against its best [-]."""
        return self.table[wish] / self.table[wish].min() - 1

    def best(self, wish: str) -> tuple[float, float]:
        """Shake [m/s2] and swing of the tyre's load [N] where a wish is best fulfilled."""
        at = int(np.argmin(self.table[wish]))
        return self.table["acceleration"][at], self.table["tyre"][at]

    @property
    def side(self) -> str:
        """Where this damping lies: "above", "below" or "between" the two best ones."""
        if self.damping > self.grip_at:
            return "above"
        return "below" if self.damping < self.comfort_at else "between"


def damping_trade(sprung_mass, unsprung_mass, rate, damping, speed) -> DampingTrade:
    """What damping trades on rough ground of class C.

    Parameters: sprung_mass, unsprung_mass [kg]; rate [N/m], damping [N s/m] at the wheel; riding speed [m/s].

    >>> trade = damping_trade(75, 15, 12.4e3, 1480, 30 / 3.6)
    >>> trade.side, round(float(trade.cost("acceleration")), 2)
    ('above', 0.53)
    """
    ground = white_noise_intensity(mean_roughness("C"), speed)
    found = [_wishes(sprung_mass, unsprung_mass, rate, float(c), ground) for c in SWEEP]
    table = {wish: np.array([each[wish] for each in found]) for wish in WISHES}
    now = _wishes(sprung_mass, unsprung_mass, rate, float(damping), ground)
    best = comfort_damping(straight_vehicle(sprung_mass, unsprung_mass, rate, damping))
    return DampingTrade(table, now, best, float(SWEEP[np.argmin(table["tyre"])]), damping)


@remembered(size=4096)
def _wishes(sprung_mass, unsprung_mass, rate, damping, ground) -> dict[str, float]:
    front = straight_vehicle(sprung_mass, unsprung_mass, rate, damping)
    return {wish: value**0.5 for wish, value in white_noise_variances(front, ground).items()}
