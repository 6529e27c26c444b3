"""What part of a gain is what, what the comparison leans on, and what a step costs."""

import math

import pytest

from suspedu.units import InputError
from suspedu.upgrade import (
    PROPERTIES,
    USES,
    WISHES,
    Exchange,
    Upkeep,
    Use,
    better_leg,
    cost_of_a_step,
    day_of,
    leaning,
    owners,
    property_shares,
    technology,
    yearly_cost,
)
from suspedu.upgrade.assumptions import ASSUMPTIONS

ROD = technology("rod").as_built | {"compression_holes": 3.7}
CLOSED = technology("closed").as_built | {"compression_low": 6.0, "oil_height": 130.0}


@pytest.fixture(scope="module")
def day():
    """Days of an exchange, each ridden once."""
    return Exchange(ROD, CLOSED).ridden_once()


def test_nothing_exchanged_is_the_rod_and_all_exchanged_is_the_better_leg(day):
    """To a rounding: tables that are put together are those of the machines themselves."""
    assert day(frozenset()).wishes == pytest.approx(day_of(technology("rod"), ROD).wishes, rel=1e-9)
    both = day_of(technology("closed"), CLOSED, better_leg)
    assert day(frozenset(PROPERTIES)).wishes == pytest.approx(both.wishes, rel=1e-9)


@pytest.mark.parametrize("wish", WISHES)
def test_shares_add_up_to_the_gain_and_lie_between_their_least_and_most(day, wish):
    shares = property_shares(wish, day)
    whole = WISHES[wish].gain(day(frozenset(PROPERTIES)).of(wish) - day(frozenset()).of(wish))
    assert sum(each.average for each in shares.values()) == pytest.approx(float(whole), abs=1e-12)
    for each in shares.values():
        assert each.least - 1e-12 <= min(each.alone, each.last, each.average)
        assert max(each.alone, each.last, each.average) <= each.most + 1e-12


def test_a_stop_does_nothing_to_dive_and_grip_and_saves_travel_at_the_landing(day):
    """It begins 50 mm before the end: rocks, bumps and brakes do not get there."""
    assert property_shares("dive", day)["stop"].most == pytest.approx(0.0, abs=1e-9)
    assert property_shares("spare", day)["stop"].least > 0.0


def test_an_assumption_that_is_moved_moves_what_it_is_about_alone():
    found = leaning(("rod", ROD), ("closed", CLOSED))
    assert set(found.moved) == set(ASSUMPTIONS)
    for name in ("rocks", "pace"):  # the landing and the brake are the same
        assert found.moved[name]["dive"] == pytest.approx((found.usual["dive"],) * 2, abs=1e-12)
    assert found.moved["air"]["hands"] != pytest.approx((found.usual["hands"],) * 2, abs=1e-3)
    turned = {wish: [n for n, gains in found.moved.items() if min(gains[wish]) < 0.0 < found.usual[wish]
                     or max(gains[wish]) > 0.0 > found.usual[wish]] for wish in WISHES}
    assert {wish: found.turns(wish) for wish in WISHES} == turned


def test_a_damper_against_itself_gains_nothing_whatever_is_assumed():
    found = leaning(("closed", CLOSED), ("closed", CLOSED))
    assert set(found.usual.values()) == {0.0}
    assert all(pair == (0.0, 0.0) for gains in found.moved.values() for pair in gains.values())


def test_yearly_cost_is_its_closed_form_and_that_of_keeping_all_is_nothing():
    """c = (P (1 - r) + w h)/n + u - u_0 (computed by closed form, as a sum over the years)."""
    use = Use(name="x", hours=100.0, years=4.0, hour_rate=50.0)
    for owner in owners().values():
        for offer in owner.offers:
            spent = -offer.parts - offer.work * use.hour_rate + offer.parts * offer.sold_for
            for _ in range(4):
                spent -= use.hours * (offer.upkeep.price / offer.upkeep.every - owner.upkeep.price / owner.upkeep.every)
            assert yearly_cost(offer, use, owner.upkeep) == pytest.approx(-spent / 4.0)
    free = owners()["open"].offers[0]
    assert yearly_cost(free, Use(name="x", hours=60.0, years=5.0, hour_rate=0.0), free.upkeep) == 0.0


def test_a_step_costs_what_a_year_costs_shared_out_and_no_gain_has_no_price():
    offer, before = owners()["rod"].offers[-1], owners()["rod"].upkeep
    hobby = USES["hobby"]
    assert cost_of_a_step(offer, hobby, before, 4.0) == pytest.approx(yearly_cost(offer, hobby, before) / 4.0)
    assert all(math.isnan(cost_of_a_step(offer, hobby, before, steps)) for steps in (0.0, -2.0))


def test_a_dearer_cartridge_costs_more_and_the_others_the_same():
    cheap, dear = owners(cartridges=800.0), owners(cartridges=2000.0)
    for name in cheap:
        costs = [[yearly_cost(offer, USES["racer"], each[name].upkeep) for offer in each[name].offers]
                 for each in (cheap, dear)]
        assert costs[0][:2] == costs[1][:2] and all(a < b for a, b in zip(costs[0][2:], costs[1][2:], strict=True))


def test_a_price_that_cannot_be_is_refused_in_one_sentence():
    with pytest.raises(InputError, match="price of a service is −5; allowed: 0 to 5000"):
        Upkeep(every=50.0, price=-5.0)
    with pytest.raises(InputError, match="years that it is kept is 0"):
        Use(name="x", hours=60.0, years=0.0, hour_rate=45.0)
