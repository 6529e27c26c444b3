"""What a gain costs a year and a step: prices that are invented, or the reader's own."""

from __future__ import annotations

from dataclasses import dataclass

from suspedu.units import require


@dataclass(frozen=True, kw_only=True)
class Use:
    """How much a fork is ridden, how long it is kept, and what an hour in the workshop costs: money in euros."""

    name: str
    hours: float  # ridden in a year
    years: float
    hour_rate: float  # euros for an hour of the workshop

    def __post_init__(self):
        for label, value, low, high in (("hours ridden in a year", self.hours, 1.0, 2000.0),
                                        ("years that it is kept", self.years, 0.25, 30.0),
                                        ("price of an hour", self.hour_rate, 0.0, 500.0)):
            require(label, value, low, high)


@dataclass(frozen=True, kw_only=True)
class Upkeep:
    """What a damper asks for while it is ridden: a service after so many hours, at a price in euros."""

    every: float  # h
    price: float  # euros

    def __post_init__(self):
        require("hours between services", self.every, 1.0, 1000.0)
        require("price of a service", self.price, 0.0, 5000.0)

    def yearly(self, use: Use) -> float:
        """Euros a year."""
        return use.hours / self.every * self.price


@dataclass(frozen=True, kw_only=True)
class Offer:
    """A way to another damper: parts and work to pay, what is got back when it is sold, and its upkeep."""

    name: str
    words: str
    technology: str
    parts: float  # euros
    work: float  # h of the workshop
    sold_for: float  # share of the price of the parts at the end [-]
    upkeep: Upkeep
    leg: str = "plain"

    def __post_init__(self):
        require("price of the parts", self.parts, 0.0, 1e5)
        require("hours of work", self.work, 0.0, 200.0)
        require("share got back", self.sold_for, 0.0, 1.0)


def yearly_cost(offer: Offer, use: Use, before: Upkeep) -> float:
    """What an offer costs more than to leave all as it is.

    c = (P (1 - r) + w h)/n + u - u_0

    Parameters: offer with parts P, share r got back, work w; use with hour rate h, n years; before, the upkeep
    u_0 a year of what is there now. Returns: euros a year, below zero where it is cheaper to keep.

    >>> year = Use(name="a test", hours=60.0, years=5.0, hour_rate=45.0)
    >>> shims = Offer(name="x", words="x", technology="open", parts=90.0, work=4.0, sold_for=0.0, upkeep=BATH)
    >>> yearly_cost(shims, year, BATH)  # (90 + 4 x 45)/5
    54.0

    Source: derivation: straight-line depreciation, without interest (computed by derivation)
    """
    once = offer.parts * (1.0 - offer.sold_for) + offer.work * use.hour_rate
    return once / use.years + offer.upkeep.yearly(use) - before.yearly(use)


def cost_of_a_step(offer: Offer, use: Use, before: Upkeep, steps: float) -> float:
    """Euros a year for each step gained that a rider notices; nan where nothing is gained.

    Parameters: offer; use; before, as `yearly_cost` takes them; steps gained [-].
    """
    return yearly_cost(offer, use, before) / steps if steps > 0.0 else float("nan")


# All prices and hours of this course are invented (guess of the course).
ROD_OIL, BATH, SEALED = Upkeep(every=30.0, price=25.0), Upkeep(every=40.0, price=60.0), Upkeep(every=50.0, price=180.0)
USES = {"hobby": Use(name="a hobby rider", hours=60.0, years=5.0, hour_rate=45.0),
        "racer": Use(name="a racer", hours=250.0, years=2.0, hour_rate=45.0)}  # fmt: skip
CARTRIDGES, TUBES = 1400.0, 1100.0  # euros


@dataclass(frozen=True)
class Owner:
    """Who asks: the damper that is there, its upkeep, and the ways from it."""

    words: str
    technology: str
    upkeep: Upkeep
    offers: tuple[Offer, ...]


def owners(cartridges: float = CARTRIDGES, tubes: float = TUBES) -> dict[str, Owner]:
    """The two owners of the course and their offers, by name.

    Parameters: cartridges, tubes, prices of a pair of sealed cartridges and of the parts of a better leg [euros].

    >>> [offer.words for offer in owners()["open"].offers][:2]
    ['turn what is there', 'other shims']
    """
    sealed = [Offer(name="sealed", words="closed cartridges", technology="closed", parts=cartridges, work=2.5,
                    sold_for=0.5, upkeep=SEALED),
              Offer(name="leg", words="closed cartridges in a better leg", technology="closed", leg="better",
                    parts=cartridges + tubes, work=5.0, sold_for=0.4, upkeep=SEALED)]
    holes = Offer(name="holes", words="other holes and oil", technology="rod", parts=45.0, work=2.0, sold_for=0.0,
                  upkeep=ROD_OIL)
    bath = Offer(name="bath", words="open cartridges, re-shimmed", technology="open", parts=650.0, work=6.0,
                 sold_for=0.4, upkeep=BATH)
    turn = Offer(name="turn", words="turn what is there", technology="turned", parts=0.0, work=0.5, sold_for=0.0,
                 upkeep=BATH)
    shims = Offer(name="shims", words="other shims", technology="open", parts=90.0, work=4.0, sold_for=0.0, upkeep=BATH)
    return {"rod": Owner("a machine with damping rods", "rod", ROD_OIL, (holes, bath, *sealed)),
            "open": Owner("a machine with open cartridges", "turned", BATH, (turn, shims, *sealed))}
