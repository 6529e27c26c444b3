"""Money, tolerance and ride as one chain: a closer tolerance costs more, fewer dampers fall outside, riders feel less.

The workshop makes closed cartridges for the school's enduro and reads each, or some, on its bench: the force at one
speed, pulled, must lie within limits of what the drawing gives. All prices are invented, in the school's own money.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from suspedu.machine.model import Leg
from suspedu.numerics import remembered
from suspedu.quality.bench_forces import bench_force
from suspedu.quality.costs import QualityCosts, effort_per_part
from suspedu.quality.inspection import Prices, way_shares
from suspedu.quality.rides import furthest_felt
from suspedu.quality.sampling import SamplingPlan
from suspedu.quality.spread import SEED, Spread, batch_forces, normal_share_outside, spread_of
from suspedu.quality.tolerances import drawn_legs, usual_tolerances
from suspedu.school.machines import school_machine
from suspedu.units import InputError, check_fields, nearest, part, quantity, require

DRAWN = 48  # legs of a batch: error bars of a tenth of the spread, in a second or two
READ_AT = -0.5  # m/s, pulled: what the bench reads
WIDE = 10e-6  # m, the shims' tolerance that the prices below are of
EACH, ONCE = 0.6, 240.0  # money for shims held to that: for each damper, and once (guess of the course)
LOT = 60  # dampers of one lot
PLAN = SamplingPlan(8, 0)
WAYS: dict[str, str | SamplingPlan] = {"none": "none", "sample": PLAN, "all": "all"}
GRADES = (4e-6, 7e-6, 10e-6, 13e-6, 16e-6, 19e-6)  # m, tolerances of shims that can be had (guess of the course)


@part(kw_only=True)
class Order:
    """What a workshop decides, and what stands around it."""

    tolerance: float = quantity("mm", 0.0005, 0.05, "tolerance of the shims", default=WIDE)
    volume: float = quantity("", 1, 1e6, "dampers made", default=300.0)
    limit: float = quantity("percent", 0.5, 50, "limits of the force", default=0.05)
    inspection: float = quantity("", 0, 1000, "price of one reading", default=3.0)
    repair: float = quantity("", 0, 10_000, "price of a repair in the house", default=25.0)
    complaint: float = quantity("", 0, 100_000, "price of a complaint", default=180.0)
    way: str = "sample"

    def __post_init__(self):
        check_fields(self)
        _ = self.prices  # a complaint that costs less than a repair is refused there
        if self.way not in WAYS:
            raise InputError(f"'{self.way}' is no way of inspection{nearest(self.way, WAYS)}; known: {', '.join(WAYS)}")

    @property
    def prices(self) -> Prices:
        """What reading, repair and complaint cost."""
        return Prices(inspection=self.inspection, repair=self.repair, complaint=self.complaint)


@dataclass(frozen=True, eq=False)
class Chain:
    """What comes of an order, from the shims to the trail."""

    order: Order
    spread: Spread  # of the force [N], as drawn
    defective: float  # share outside the limits that comes off the bench
    defective_error: tuple[float, float]  # the same at one standard error of the spread less and more
    outgoing: float  # share outside the limits that goes out
    costs: QualityCosts  # of each damper
    felt: float  # between the hardest and the softest that go out, in steps a rider notices


def tolerance_price(tolerance, volume):
    """Price of shims for one damper: the closer, the dearer, in inverse proportion.

    price = A(V) T_0/T

    Parameters: tolerance T [m]; volume V of dampers [-]; any shape. Returns: price [money].

    >>> [round(float(tolerance_price(each, 300)), 2) for each in (5e-6, 10e-6, 20e-6)]
    [2.8, 1.4, 0.7]

    Source: chase-greenwood-1988, reciprocal cost of a tolerance (printed, from memory)
    """
    return effort_per_part(EACH, ONCE, volume) * WIDE / np.asarray(require("tolerance", tolerance, 1e-7, 1e-3, "mm"))


@remembered(size=16)
def batch_spread(tolerance: float) -> Spread:
    """Spread of the force that the bench reads, by Monte Carlo through the damper's own laws.

    Parameters: tolerance of the shims [m].

    >>> round(float(batch_spread(0.0).deviation), 2)  # N: holes, clearance and seal alone
    0.59
    """
    leg = _paper()
    return spread_of(batch_forces(leg, usual_tolerances(leg, shims=tolerance), (READ_AT,), DRAWN)[:, 0])


def prepare_batches(say: Callable[[str], None]) -> None:
    """Draw and read the batches of all grades, saying so; some seconds, once."""
    say(f"Reading {len(GRADES)} batches of {DRAWN} dampers on the bench: some seconds.")
    for grade in GRADES:
        batch_spread(grade)


@remembered
def _aim() -> float:
    """Force that the drawing gives [N]."""
    return float(bench_force(_paper(), READ_AT)[0])


def _paper() -> Leg:
    return school_machine().legs[0]


def chain(order: Order) -> Chain:
    """From tolerance to spread, share outside, what is found, money, and what a rider notices.

    C = shims + looked at k1 + found F_int + gone out F_ext, for each damper

    Parameters: order.
    Assumes: a batch of `DRAWN` legs, normal beyond what so few can count; readings without error; lots of `LOT` from
    one process; legs paired by their force.

    >>> found = chain(Order(tolerance=10e-6, way="all"))
    >>> round(found.defective, 3), round(float(found.costs.total), 2)
    (0.028, 5.09)
    """
    wrong, *around = (_defective(order, by) for by in (0.0, -1.0, 1.0))
    out = float(way_shares(wrong, WAYS[order.way], LOT)[1])
    return Chain(order, batch_spread(order.tolerance), wrong, (around[0], around[1]), out, order_costs(order),
                 _felt(order.tolerance, order.limit if order.way == "all" else None))


def order_costs(order: Order) -> QualityCosts:
    """The four heads of cost of each damper of an order [money].

    >>> round(float(order_costs(Order(tolerance=10e-6, way="all")).total), 2)
    5.09
    """
    wrong = _defective(order)
    looked_at, out = (float(each) for each in way_shares(wrong, WAYS[order.way], LOT))
    return QualityCosts(tolerance_price(order.tolerance, order.volume), looked_at * order.inspection,
                        (wrong - out) * order.repair, out * order.complaint)


def cheapest(order: Order, grades: tuple[float, ...] = GRADES) -> Order:
    """The same order with the tolerance, of those that can be had, at which all costs of quality are least.

    Parameters: order; grades, tolerances [m].

    >>> [round(cheapest(Order(volume=n, way="all"), (4e-6, 19e-6)).tolerance * 1e6) for n in (10, 10_000)]
    [19, 4]
    """
    orders = [dataclasses.replace(order, tolerance=grade) for grade in grades]
    return min(orders, key=lambda each: float(order_costs(each).total))


def _defective(order: Order, errors: float = 0.0) -> float:
    """Share outside the limits about the drawing's force, with the spread off by so many standard errors."""
    spread, aim = batch_spread(order.tolerance), _aim()
    low, high = sorted((aim * (1.0 - order.limit), aim * (1.0 + order.limit)))
    deviation = max(float(spread.deviation + errors * spread.deviation_error), 0.0)
    return float(normal_share_outside(spread.mean, deviation, low, high))


@remembered(size=64)
def _felt(tolerance: float, limit: float | None) -> float:
    """Difference that a rider feels between the hardest and the softest of a batch, or of what a limit lets out."""
    leg = _paper()
    rows = usual_tolerances(leg, shims=tolerance)
    off = batch_forces(leg, rows, (READ_AT,), DRAWN)[:, 0] / _aim() - 1.0
    out = np.flatnonzero(np.abs(off) <= (np.inf if limit is None else limit))
    if out.size < 2:
        return 0.0
    legs = drawn_legs(leg, rows, DRAWN, SEED)
    return furthest_felt(school_machine(), [legs[out[np.argmin(off[out])]], legs[out[np.argmax(off[out])]]])
