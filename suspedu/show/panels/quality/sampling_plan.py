"""Panel on a sampling plan: how likely it accepts a lot, and what goes out on average."""

from __future__ import annotations

import numpy as np

from suspedu.quality.sampling import (
    SamplingPlan,
    acceptance_probability,
    outgoing_limit,
    outgoing_quality,
    total_inspection,
)
from suspedu.show.declared import Declared
from suspedu.show.panels.words import percent, so_many
from suspedu.show.view import Axes, Control, Curve, Mark, View, roofed

SHARES = np.linspace(0.0, 0.15, 301)


def view_sampling_plan(sample, accept, lot, defective) -> View:
    """Operating characteristic and outgoing quality of a plan, with one incoming share [%]."""
    plan, size, share = SamplingPlan(int(sample), int(accept)), int(lot), defective / 100.0
    accepted, out = acceptance_probability(share, plan), outgoing_quality(share, plan, size)
    limit, worst = outgoing_limit(plan, size)
    items = (
        Curve("accepted", 100 * SHARES, 100 * acceptance_probability(SHARES, plan), 0, "main"),
        Mark("here", defective, 100 * accepted, f"{percent(accepted)} of 100"),
        Curve("comes in", 100 * SHARES, 100 * SHARES, 1, "ghost", margin=False),
        Curve("goes out", 100 * SHARES, 100 * outgoing_quality(SHARES, plan, size), 1, "main", margin=False),
        Curve("limit", np.array([0.0, 15.0]), np.full(2, 100 * limit), 1, "limit", "limit", margin=False),
        Mark("out here", defective, 100 * out, f"{percent(out, 1)} %", 1),
    )
    numbers = (
        ("Accepted", f"{percent(accepted, 1)} of 100 lots"),
        ("Goes out on average (AOQ)", f"{percent(out, 2)} %"),
        ("Its limit, whatever comes in (AOQL)", _limit(limit, worst)),
        ("Looked at on average (ATI)", f"{total_inspection(share, plan, size):.0f} of {size}"),
    )
    axes = AXES[0], roofed(AXES[1], 100 * limit, 2, 5, 12, 20)
    return View(items, numbers, _sentence(plan, size, share, accepted, out, limit), axes)


def _sentence(plan, lot, share, accepted, out, limit) -> str:
    looked = total_inspection(share, plan, lot) / lot
    let_pass = f"{so_many(plan.accept, 'wrong ones')} {'is' if plan.accept == 1 else 'are'} let pass"
    return (f"{plan.sample} of each {lot} are looked at, and {let_pass}. Of lots with "
            f"{percent(share, 1)} % wrong, {percent(accepted, 1)} of 100 are accepted, the others are sorted: "
            f"{percent(out, 2)} % go out, for {percent(looked)} of 100 parts looked at. {_at_most(limit)}")


def _limit(limit, worst) -> str:
    """The limit and where it is met; a plan that looks at each part lets nothing through, wherever."""
    return f"{percent(limit, 2)} %, at {percent(worst, 1)} %" if limit else "0 %: each part is looked at"


def _at_most(limit) -> str:
    if not limit:
        return "Each part is looked at, so nothing that is wrong goes out."
    return f"Over many lots never more than {percent(limit, 2)} % go out, whatever comes in."


AXES = (Axes("wrong parts in the lot [%]", "lots accepted [of 100]", (0, 15), (0, 104), "Operating characteristic"),
        Axes("wrong parts coming in [%]", "wrong parts going out [%]", (0, 15), (0, 2), "Average outgoing quality"))
SAMPLING_PLAN = Declared(
    id="sampling-plan", title="A sampling plan", view=view_sampling_plan,
    controls=(Control("sample", "Sample", "", 6, 120, 1, 20, "parts looked at in each lot"),
              Control("accept", "Acceptance number", "", 0, 5, 1, 0, "wrong ones let pass"),
              Control("lot", "Lot", "", 120, 1200, 20, 300, "parts in a lot"),
              Control("defective", "Wrong parts that come in", "%", 0, 15, 0.1, 2)),
    axes=AXES)  # fmt: skip
