"""Panel of the chain: tolerance of the shims, share of dampers outside the limits, money, and what a rider feels."""

from __future__ import annotations

from dataclasses import astuple, replace

import numpy as np

from suspedu.quality.chain import DRAWN, GRADES, LOT, PLAN, READ_AT, Chain, Order, chain, cheapest
from suspedu.show.declared import Declared
from suspedu.show.panels.words import newtons, percent
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, View, box, roofed
from suspedu.units import from_si, to_si

HEADS = {"prevention": "main", "appraisal": "third", "internal": "fourth", "external": "second"}
WORDS = "prevention", "appraisal", "failure inside", "failure outside"
VOLUMES = {str(each): f"{each:,}".replace(",", " ") for each in (10, 30, 100, 300, 1000, 10_000)}
WAYS = {"none": "no damper", "sample": f"{PLAN.sample} of each {LOT}", "all": "every damper"}
GOING = {"none": "without a reading", "sample": f"with {PLAN.sample} of each {LOT} read", "all": "with every one read"}
FELT = ((0.75, "nobody tells them apart"), (1.0, "hardly anybody tells them apart"),
        (float("inf"), "a rider may tell them apart"))
MICROMETRES = tuple(round(from_si(each, "um")) for each in GRADES)


def view_quality_chain(tolerance, volume, limit, complaint, way) -> View:
    """What comes of a tolerance of the shims [µm] at a volume, limits of the force [%] and a price of a complaint."""
    order = Order(tolerance=to_si(tolerance, "um"), volume=float(volume), limit=limit / 100.0,
                  complaint=complaint, way=way)
    row = [chain(replace(order, tolerance=grade)) for grade in GRADES]
    now = next(each for each in row if abs(each.order.tolerance - order.tolerance) < 1e-9)
    best = cheapest(order)
    axes = AXES[0], roofed(AXES[1], float(max(each.costs.total for each in row)), 8, 20, 50, 120, 320), AXES[2]
    items = (
        *_errors(row),
        Curve("outside", np.array(MICROMETRES), _percents(row, "defective"), 0, "main", "come off the bench",
              margin=False),
        Curve("out", np.array(MICROMETRES), _percents(row, "outgoing"), 0, "second", "go out", margin=False),
        Mark("here", tolerance, 100 * now.defective, f"{percent(now.defective, 1)} %"),
        *_stacks(row),
        *_key(row, axes[1].ylim[1]),
        Mark("cost", tolerance, float(now.costs.total), f"{now.costs.total:.2f}", 1, "ink"),
        Curve("felt", np.array(MICROMETRES), np.array([each.felt for each in row]), 2, "main"),
        Curve("noticed", np.array([2.0, 21.0]), np.ones(2), 2, "limit", "noticed", margin=False),
        Mark("felt here", tolerance, now.felt, f"{now.felt:.2f}", 2),
    )
    return View(items, _numbers(now, best), _sentence(now, best), axes)


def _errors(row: list[Chain]) -> tuple:
    return tuple(Curve(f"error {grade}", np.full(2, grade), 100 * np.array(each.defective_error), 0, "main", width=1.5)
                 for grade, each in zip(MICROMETRES, row, strict=True))


def _percents(row: list[Chain], name: str):
    return np.array([100.0 * getattr(each, name) for each in row])


def _stacks(row: list[Chain]) -> tuple:
    """For each tolerance the four heads of cost, one on another."""
    found = []
    for grade, each in zip(MICROMETRES, row, strict=True):
        tops = np.cumsum([float(part) for part in astuple(each.costs)])
        found += [box(f"{name} {grade}", grade - 1.1, top - part, 2.2, part, axes=1, role=role, tint=0.7)
                  for (name, role), top, part in zip(HEADS.items(), tops, astuple(each.costs), strict=True)]
    return tuple(found)


def _key(row: list[Chain], roof: float) -> tuple:
    """What the colours of the heads mean, in the upper corner where the bars are lower."""
    left = 2.5 if row[0].costs.total < row[-1].costs.total else 11.5
    return tuple(box(f"key {name}", left, roof * (0.9 - 0.09 * place), 9.0, 0.075 * roof, axes=1, role=role, tint=0.35,
                     edge=0.0, label=words)
                 for place, ((name, role), words) in enumerate(zip(HEADS.items(), WORDS, strict=True)))


def _numbers(now: Chain, best: Order) -> tuple:
    costs, spread = now.costs, now.spread
    return (
        ("Spread of the force", f"{percent(spread.deviation / abs(spread.mean), 2)} ± "
                                f"{percent(spread.deviation_error / abs(spread.mean), 2)} %"),
        ("Outside the limits", f"{percent(now.defective, 2)} %, {percent(now.defective_error[0], 2)} to "
                               f"{percent(now.defective_error[1], 2)} %"),
        ("Going out", f"{percent(now.outgoing, 2)} %"),
        ("Prevention, appraisal", f"{costs.prevention:.2f}, {costs.appraisal:.2f}"),
        ("Failure inside, outside", f"{costs.internal:.2f}, {costs.external:.2f}"),
        ("Cost of quality, each damper", f"{costs.total:.2f}"),
        ("Hardest against softest", f"{now.felt:.2f} of what is noticed"),
    )  # fmt: skip


def _sentence(now: Chain, best: Order) -> str:
    grade, cheap = round(from_si(best.tolerance, "um")), float(chain(best).costs.total)
    felt = next(words for most, words in FELT if now.felt < most)
    return (f"Shims held to ±{from_si(now.order.tolerance, 'um'):.0f} µm: the force at {abs(READ_AT):g} m/s spreads by "
            f"{percent(now.spread.deviation / abs(now.spread.mean), 1)} % of {newtons(abs(now.spread.mean))}, "
            f"{percent(now.defective, 1)} % of the dampers lie outside ±{percent(now.order.limit)} %, and "
            f"{GOING[now.order.way]}, {percent(now.outgoing, 1)} % go out. Quality costs {now.costs.total:.2f} for "
            f"each damper; ±{grade} µm costs least, {cheap:.2f}. The hardest and the softest of {DRAWN} that go out "
            f"differ by {now.felt:.2f} of what is noticed: {felt}.")


AXES = (Axes("shims, ± [µm]", "outside the limits [%]", (2, 21), (0, 60), "Off the bench"),
        Axes("shims, ± [µm]", "money for each damper", (2, 21), (0, 8), "Cost of quality", share=1.4),
        Axes("shims, ± [µm]", "of what is noticed", (2, 21), (0, 1.4), "Hardest against softest"))
QUALITY_CHAIN = Declared(
    id="quality-chain", title="Tolerance, money and ride", height=400, view=view_quality_chain,
    controls=(Control("tolerance", "Tolerance of the shims, ±", "µm", MICROMETRES[0], MICROMETRES[-1], 3, 10),
              Choice("volume", "Dampers made", VOLUMES, "300"),
              Control("limit", "Limits of the force, ±", "%", 3, 10, 1, 5),
              Control("complaint", "Price of a complaint", "", 40, 400, 20, 180, "a repair in the house costs 25"),
              Choice("way", "The bench reads", WAYS, "sample")),
    axes=AXES)  # fmt: skip
