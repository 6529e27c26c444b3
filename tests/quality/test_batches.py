"""Batches through the real damper: the quick bench against the exact law, error bars, Monte Carlo against slopes."""

import dataclasses
import itertools

import numpy as np
import pytest
from scipy.stats import norm

from suspedu.damper import leg_force
from suspedu.machine import load, refitted
from suspedu.parts.friction import friction_force
from suspedu.quality import (
    GRADES,
    Order,
    Scratch,
    Tolerance,
    batch_forces,
    batch_spread,
    bench_force,
    causes,
    chain,
    cheapest,
    drawn_legs,
    linear_spread,
    normal_share_outside,
    order_costs,
    ridden_batch,
    root_sum_square,
    scratched,
    share_outside,
    spread_of,
    usual_tolerances,
    worst_case,
)
from suspedu.units import InputError

ENDURO = load("enduro")
LEG = ENDURO.legs[0]
ROD, OPEN = (refitted(ENDURO, name).legs[0] for name in ("damping rod", "open cartridge"))
SPEEDS = (-3.0, -1.0, -0.25, -0.1, 0.1, 0.25, 1.0, 3.0)


def exact(leg, speeds=SPEEDS):
    unit, oil = leg.damper.unit, leg.damper.oil
    return leg_force(0.15, np.array(speeds), unit, oil).damping_force + friction_force(speeds, leg.friction)


@pytest.mark.parametrize("leg", [LEG, OPEN, ROD, *drawn_legs(LEG, usual_tolerances(LEG, shims=2e-5), 2, seed=3)])
def test_the_bench_reads_what_the_damper_gives(leg):
    """5e-4 is what the quick bench promises, of the whole force."""
    assert bench_force(leg, SPEEDS) == pytest.approx(exact(leg), rel=5e-4)


def test_a_batch_begins_alike_whatever_its_size():
    rows = usual_tolerances(LEG)
    assert drawn_legs(LEG, rows, 3, seed=5) == drawn_legs(LEG, rows, 9, seed=5)[:3]
    assert drawn_legs(LEG, rows, 3, seed=6) != drawn_legs(LEG, rows, 3, seed=5)


def test_nothing_strays_where_nothing_may():
    still = usual_tolerances(LEG, shims=0.0, holes=0.0, clearance=0.0, seal=0.0)
    assert set(drawn_legs(LEG, still, 4, seed=1)) == {LEG}
    assert linear_spread(LEG, still, SPEEDS) == pytest.approx(0.0)


def test_dimensions_stray_as_their_tolerance_says():
    """A tolerance is three standard deviations; 400 draws tell a standard deviation to 3.5 %, three times that is let.
    """
    rows = usual_tolerances(LEG, shims=0.0)
    legs = drawn_legs(LEG, rows, 400, 1)
    drawn = np.array([[leg.friction.sliding, leg.damper.unit.rebound.leak.gap] for leg in legs])
    assert drawn.std(axis=0, ddof=1) == pytest.approx([2.0 / 3, 4e-6 / 3], rel=0.11)


@pytest.fixture(scope="module")
def batch():
    return batch_forces(LEG, usual_tolerances(LEG, shims=1e-5), SPEEDS, 48)


def test_monte_carlo_and_slopes_agree_within_the_error_bars(batch):
    """jcgm-101 against jcgm-100: at eight speeds, three standard errors of the drawn spread."""
    drawn, slopes = spread_of(batch), linear_spread(LEG, usual_tolerances(LEG, shims=1e-5), SPEEDS)
    assert np.all(np.abs(drawn.deviation - slopes) < 3 * drawn.deviation_error)
    assert np.all(np.abs(drawn.mean - bench_force(LEG, SPEEDS)) < 4 * drawn.mean_error)
    assert np.all(np.abs(batch - bench_force(LEG, SPEEDS)).max(axis=0) < 1.2 * worst_case(
        LEG, usual_tolerances(LEG, shims=1e-5), SPEEDS))


def test_causes_add_up_by_their_squares():
    rows = usual_tolerances(LEG)
    found = causes(LEG, rows, SPEEDS)
    assert np.sqrt(sum(found.values())) == pytest.approx(linear_spread(LEG, rows, SPEEDS))
    assert np.all(worst_case(LEG, rows, SPEEDS) >= 3 * linear_spread(LEG, rows, SPEEDS))


def test_mixed_boxes_spread_less_than_one_strip():
    """Deviations that go together add; those that do not add by their squares."""
    one, mixed = (linear_spread(LEG, usual_tolerances(LEG, holes=0.0, clearance=0.0, seal=0.0, one_strip=strip), SPEEDS)
                  for strip in (True, False))
    assert np.all(mixed[:3] < 0.6 * one[:3])


def test_seal_counts_when_slow_and_holes_when_fast():
    found = causes(ROD, usual_tolerances(ROD), (-0.1, -3.0))
    assert found["seal"][0] > found["rebound holes"][0] and found["rebound holes"][1] > found["seal"][1]


def test_a_scratch_softens_most_where_the_shaft_is_slow():
    share = bench_force(scratched(LEG, Scratch(share=0.1)), SPEEDS) / bench_force(LEG, SPEEDS)
    assert np.all(share < 1.0) and share[3] < share[2] < share[1] < share[0]


def test_scratched_bores_make_the_spread_that_a_share_of_them_must():
    """Nothing else strays, so the force has two values: mean and spread follow from the share drawn, exactly."""
    still = usual_tolerances(LEG, shims=0.0, holes=0.0, clearance=0.0, seal=0.0)
    force = batch_forces(LEG, still, (-0.1,), 60, 2, Scratch(share=0.3))[:, 0]
    whole, bad = bench_force(LEG, -0.1)[0], bench_force(scratched(LEG, Scratch(share=0.3)), -0.1)[0]
    hit = np.isclose(force, bad)
    assert 0 < hit.sum() < 60 and np.allclose(force[~hit], whole)
    drawn = linear_spread(LEG, still, (-0.1,), Scratch(share=float(hit.mean())))
    assert spread_of(force).deviation * np.sqrt(59 / 60) == pytest.approx(drawn[0], rel=1e-6)


def test_error_bars_shrink_with_the_root_of_n():
    """The error that a batch states is the scatter that batches show: legs without shims, which are quickly read.

    Scatter over k batches is known to 1/sqrt(2 (k - 1)): three times that is let.
    """
    read = batch_forces(ROD, usual_tolerances(ROD), (-0.25,), 1024)[:, 0]
    stated, seen = {}, {}
    for size in (16, 64):
        found = [spread_of(read[at:at + size]) for at in range(0, 1024, size)]
        stated[size] = np.mean([[each.mean_error, each.deviation_error] for each in found], axis=0)
        seen[size] = np.std([[each.mean, each.deviation] for each in found], axis=0, ddof=1)
        assert seen[size] == pytest.approx(stated[size], rel=3 / np.sqrt(2 * (1024 / size - 1)))
    assert stated[16][0] / stated[64][0] == pytest.approx(2.0, rel=0.05)
    assert stated[16][1] / stated[64][1] == pytest.approx(2.0, rel=0.2)  # fourth moments of 16 are a tenth too small


def test_error_bars_of_a_normal_are_those_of_theory():
    """s/sqrt(n) and s/sqrt(2 (n - 1)) over four powers of ten (computed by a closed form)."""
    for count in (100, 10_000, 1_000_000):
        found = spread_of(np.random.default_rng(4).standard_normal(count))
        assert found.mean_error == pytest.approx(found.deviation / np.sqrt(count))
        assert found.deviation_error == pytest.approx(1 / np.sqrt(2 * count), rel=6 / np.sqrt(count) + 1e-3)


def test_shares_outside():
    values = np.random.default_rng(2).standard_normal(2000)
    share, low, high = share_outside(values, -2.0, 2.0)
    truth = float(normal_share_outside(0.0, 1.0, -2.0, 2.0))
    assert low < truth < high and low < share < high
    assert truth == pytest.approx(2 * norm.cdf(-2.0), abs=1e-15)
    assert normal_share_outside(0.0, 0.0, -1.0, 1.0) == 0.0 and normal_share_outside(2.0, 0.0, -1.0, 1.0) == 1.0


def test_end_gauge():
    """jcgm-100, example H.1: 25, 9.7, 2.9 and 16.6 nm come to 32 nm (printed, from memory)."""
    assert root_sum_square([25.0, 9.7, 2.9, 16.6]) == pytest.approx(32.0, abs=0.5)


def test_additive_model():
    """jcgm-101, section 9.2: four inputs of standard deviation 1 come to 2.0, normal or rectangular (printed, from
    memory): three standard errors of 100 000 draws."""
    rng = np.random.default_rng(1)
    for draws in (rng.standard_normal((100_000, 4)), rng.uniform(-np.sqrt(3), np.sqrt(3), (100_000, 4))):
        found = spread_of(draws.sum(axis=1))
        assert abs(found.deviation - 2.0) < 3 * found.deviation_error


def test_a_rider_feels_the_spread_as_it_feels_the_force():
    """Harder rebound stands lower in whoops, softer higher; twice as far off is felt more."""
    off = [Tolerance(label="shims", unit="mm", places=tuple(
        f"damper.unit.rebound.ports.rebound.stack.shims.{n}.thickness" for n in range(1, 12)), half_width=1e-5)
        .strayed(LEG, by) for by in (-1e-5, -5e-6, 5e-6, 1e-5)]
    packs = [one["packs"] for one in ridden_batch(ENDURO, off)]
    assert np.all(np.diff(packs) > 0) and packs[0] < 0 < packs[-1]


def test_a_chain_holds_together():
    """Costs of each head, and the tolerances at which the sum is least, for all ways of inspection and volumes."""
    for way, volume in itertools.product(("none", "sample", "all"), (10, 300, 10_000)):
        order = Order(way=way, volume=volume)
        totals = [float(order_costs(dataclasses.replace(order, tolerance=each)).total) for each in GRADES]
        assert float(order_costs(cheapest(order)).total) == min(totals)
    found = chain(Order(tolerance=2e-5, way="all"))
    assert found.outgoing == 0.0 and found.costs.external == 0.0 and found.costs.appraisal == Order().inspection
    assert found.defective_error[0] < found.defective < found.defective_error[1]
    assert found.felt < chain(Order(tolerance=2e-5, way="none")).felt  # what is outside stays at home


def test_wider_tolerances_spread_more_and_large_volume_asks_for_closer_ones():
    spreads = [float(batch_spread(each).deviation) for each in GRADES]
    assert np.all(np.diff(spreads) > 0)
    closest = [cheapest(Order(volume=volume, way="none")).tolerance for volume in (10, 300, 100_000)]
    assert closest == sorted(closest, reverse=True) and closest[0] > closest[-1]


@pytest.mark.parametrize("slip, said", [
    (lambda: spread_of(np.ones(5)), "draw more"),
    (lambda: share_outside(np.ones(9), 2.0, 1.0), "comes first"),
    (lambda: Scratch(share=0.1, depth=0.9e-3, width=0.5e-3), "wider than deep"),
    (lambda: scratched(ROD, Scratch(share=0.1)), "scratched"),
    (lambda: Order(way="some"), "no way of inspection"),
    (lambda: Order(complaint=20.0), "exchanged"),
    (lambda: usual_tolerances(LEG, shims=0.2), "tolerance of the shims"),
    (lambda: drawn_legs(LEG, usual_tolerances(LEG, clearance=0.1e-3), 50, 1), "radial clearance"),
    (lambda: bench_force(dataclasses.replace(LEG, damper=None), -1.0), "no damper"),
])  # fmt: skip
def test_slips_get_a_sentence(slip, said):
    with pytest.raises(InputError, match=said):
        slip()
