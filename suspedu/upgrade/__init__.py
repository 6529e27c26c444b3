"""Dampers of several kinds ridden against each other, each tuned under its own limits, and other shims for one of them.

Read `mix` first (what a lap is judged by), then `oil_states` (cold, and after ten minutes), `technologies` (what may be
changed) and `frontier` (the search). `properties` shares out a gain, `assumptions` moves what the comparison leans on,
`prices` asks what it costs; `revalving` and `cures` look for stacks of shims that are sold.
"""

from suspedu.upgrade.all_searches import search_all
from suspedu.upgrade.assumptions import ASSUMPTIONS, leaning
from suspedu.upgrade.choosing import easiest, gained, most_gained, steps_gained
from suspedu.upgrade.cures import STACK_FOR, cure
from suspedu.upgrade.fair_shares import fair_shares
from suspedu.upgrade.frontier import AGAINST, day_of, search_frontier
from suspedu.upgrade.kept import as_came, best_day, best_kept, kept_rides, reached_in, ride_kept
from suspedu.upgrade.mix import WISHES, grounds
from suspedu.upgrade.oil_states import most_throw, states
from suspedu.upgrade.prices import USES, Offer, Upkeep, Use, cost_of_a_step, owners, yearly_cost
from suspedu.upgrade.properties import PROPERTIES, Exchange, property_shares
from suspedu.upgrade.revalving import SPEEDS, STACKS, Target, proposed, stack_curve, with_stack
from suspedu.upgrade.shims_sold import Drawer, counted_shims
from suspedu.upgrade.stack_sheet import reach_told, stack_line, stack_page
from suspedu.upgrade.technologies import TECHNOLOGIES, better_leg, technology
from suspedu.upgrade.telling import leaning_table, oil_table, price_table, shares_table, stacks_table

__all__ = [
    "AGAINST", "ASSUMPTIONS", "PROPERTIES", "SPEEDS", "STACKS", "STACK_FOR", "TECHNOLOGIES", "USES", "WISHES",
    "Drawer", "Exchange", "Offer", "Target", "Upkeep", "Use", "as_came", "best_day", "best_kept", "better_leg",
    "cost_of_a_step", "counted_shims", "cure", "day_of", "easiest", "fair_shares", "gained", "grounds", "kept_rides",
    "leaning", "leaning_table", "most_gained", "most_throw", "oil_table", "owners", "price_table", "property_shares",
    "proposed", "reach_told", "reached_in", "ride_kept", "search_all", "search_frontier", "shares_table",
    "stack_curve", "stack_line", "stack_page", "stacks_table", "states", "steps_gained", "technology", "with_stack",
    "yearly_cost",
]  # fmt: skip
