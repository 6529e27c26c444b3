"""What was found as tables of words, for a lesson or a sheet: heads and rows."""

from __future__ import annotations

from suspedu.machine import ADJUSTERS
from suspedu.spelling import minus
from suspedu.units import from_si
from suspedu.upgrade.assumptions import ASSUMPTIONS, Leaning
from suspedu.upgrade.choosing import gained
from suspedu.upgrade.fair_shares import FairShare
from suspedu.upgrade.kept import as_came, best_kept, kept_rides
from suspedu.upgrade.mix import WISHES
from suspedu.upgrade.oil_states import states
from suspedu.upgrade.prices import USES, cost_of_a_step, owners
from suspedu.upgrade.properties import PROPERTIES
from suspedu.upgrade.revalving import Proposal

Table = tuple[tuple[str, ...], list[tuple[str, ...]]]  # head and rows
DIGITS = {"hands": 2, "spare": 1, "grip": 3, "dive": 1}
GAINS = {"hands": "hands [m/s²]", "spare": "travel left [mm]", "grip": "tyre's load", "dive": "dive [mm]"}
STOCK = ("damping rod", "open cartridge", "closed cartridge")


def oil_table() -> Table:
    """The oil of each damper of the stock: cold, and after ten minutes.

    >>> oil_table()[1][2][:2]
    ('closed cartridge', '20 °C')
    """
    head = ("damper", "cold", "after ten minutes", "air in the oil then", "damping that the air leaves")
    found = ((stock, *states(stock)) for stock in STOCK)
    return head, [(stock, *(f"{from_si(each.temperature, 'degC'):.0f} °C" for each in (cold, hot)),
                   f"{hot.air_fraction:.2%}", f"{hot.firm:.0%}") for stock, cold, hot in found]


def _number(value: float, wish: str) -> str:
    """A gain [SI] as text in the unit of its column, without a minus sign before a nought."""
    shown = float(from_si(value, WISHES[wish].unit)) if WISHES[wish].unit else float(value)
    return minus(f"{round(shown, DIGITS[wish]) + 0.0:.{DIGITS[wish]}f}")


def shares_table(shares: dict[str, dict[str, FairShare]]) -> Table:
    """What each property brings to each wish: on average over all orders, and the least and the most.

    Parameters: shares by wish and property [SI].
    """
    def cell(wish: str, part: str) -> str:
        share = shares[wish][part]
        low, middle, high = (_number(value, wish) for value in (share.least, share.average, share.most))
        return f"{middle} ({low} to {high})"

    return ("gain by", *GAINS.values()), [(words, *(cell(wish, part) for wish in GAINS))
                                          for part, words in PROPERTIES.items()]


def price_table() -> Table:
    """What a step costs each owner in a year, offer by offer, at the course's prices.

    >>> price_table()[0][2]
    'steps'
    """
    rows = []
    for owner in owners().values():
        for offer in owner.offers:
            ridden = kept_rides(offer.technology, offer.leg).days[best_kept(offer.technology)]
            steps = gained(ridden, as_came(owner.technology))
            costs = (cost_of_a_step(offer, use, owner.upkeep, steps) for use in USES.values())
            rows.append((owner.words, offer.words, f"{steps:.1f}", *(f"{cost:.0f} €" for cost in costs)))
    return ("who asks", "what is done", "steps", *(f"a step, a year: {use.name}" for use in USES.values())), rows


def leaning_table(found: Leaning) -> Table:
    """Gains as assumed, and with each assumption moved to either side.

    Parameters: found, as `leaning` finds it.
    """
    rows = [("as assumed", *(_number(found.usual[wish], wish) for wish in GAINS))]
    for name, each in ASSUMPTIONS.items():
        rows.append((f"{each.words}: {each.low}, {each.high}",
                     *(" and ".join(_number(value, wish) for value in found.moved[name][wish]) for wish in GAINS)))
    return ("what is moved", *GAINS.values()), rows


def stacks_table(found: dict[str, Proposal]) -> Table:
    """What a stack of the drawer reaches of a target, stack by stack.

    Parameters: found, proposals by the name of the stack.
    """
    rows = [(ADJUSTERS[name].short, f"{each.says:.0%}", "yes" if each.reached else "no",
             "-" if each.beyond is None else f"{each.beyond[0]:.2g} to {each.beyond[1]:.2g} m/s")
            for name, each in found.items()]
    return ("stack", "stays within", "reached", "beyond all stacks, at speeds from"), rows
