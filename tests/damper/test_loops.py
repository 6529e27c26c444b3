"""Compressible chambers: the slow limit is the algebraic law, and air opens the loop."""

import numpy as np
import pytest

from suspedu.damper import leg_force, stock_damper
from suspedu.damper.loops import _air_give, _bulk_modulus, lag, loop_along, loop_work, sine_loop
from suspedu.parts.oil import effective_bulk_modulus
from suspedu.units import InputError


def apart(loop, damper, oil):
    """Greatest distance of a loop from the quasi-static curve, over the greatest force."""
    slow = leg_force(loop.stroke, loop.velocity, damper, oil).force
    return np.max(np.abs(loop.force - slow)) / np.max(np.abs(slow))


def test_slow_limit_is_the_algebraic_law(closed, oil):
    """Equal peak speed, ten times the stroke, a tenth of the pressure rates: the loop closes on the curve."""
    fast = sine_loop(0.012, 8.0, closed, oil, middle=0.12)
    slow = sine_loop(0.12, 0.8, closed, oil, middle=0.13)
    assert fast.velocity.max() == pytest.approx(slow.velocity.max(), rel=1e-3)
    assert apart(slow, closed, oil) < 0.4 * apart(fast, closed, oil) and apart(slow, closed, oil) < 0.015


def test_distance_from_the_law_falls_with_the_air(oil):
    opened = stock_damper("open cartridge")
    far, near = (apart(sine_loop(0.03, 4.0, opened, oil, middle=0.1, air_fraction=air), opened, oil)
                 for air in (0.04, 0.004))
    assert far > 2 * near  # not ten times: the oil's own give is left, and air under pressure is small


def test_more_air_lags_more_and_takes_less_out(closed, oil):
    loops = [sine_loop(0.02, 6.0, closed, oil, middle=0.1, air_fraction=air) for air in (1e-3, 1e-2, 5e-2)]
    lags, work = [lag(loop) for loop in loops], [loop_work(loop) for loop in loops]
    assert 0 < lags[0] < lags[1] < lags[2]
    assert work[0] > work[1] > work[2] > 0


def test_loop_closes_and_no_pressure_falls_below_nothing(stock, oil):
    loop = sine_loop(0.04, 4.0, stock, oil, middle=0.12)
    assert loop.force[-1] == pytest.approx(loop.force[0], abs=0.01 * np.max(np.abs(loop.force)))
    assert min(loop.compression_chamber.min(), loop.rebound_chamber.min()) >= 0
    assert loop_work(loop) > 0


def test_at_rest_nothing_happens(closed, oil):
    still = loop_along(np.linspace(0, 0.1, 11), lambda t: 0.1 + 0.0 * t, lambda t: 0.0 * t, closed, oil)
    np.testing.assert_allclose(still.force, still.gas_force, rtol=1e-6)
    np.testing.assert_allclose(still.compression_chamber, still.compression_chamber[0], rtol=1e-6)


def test_peak_force_at_a_gentle_speed_is_what_a_test_bench_reads(closed, oil):
    """What a peak method reads off a slow loop: force at the greatest speed, within 2 % of the law there."""
    loop = sine_loop(0.05, 1.0, closed, oil, middle=0.1)
    at = np.argmax(loop.velocity)
    law = leg_force(loop.stroke[at], loop.velocity[at], closed, oil)
    assert loop.force[at] == pytest.approx(float(law.force), rel=0.02)


@pytest.mark.parametrize(("options", "words"), [
    ({"amplitude": 0.2, "middle": 0.15}, "amplitude is 200 mm"),
    ({"amplitude": 0.1, "air_fraction": 0.9}, "air fraction is 0.9"),
    ({"amplitude": 0.2, "middle": 0.25}, "oil column below the piston"),
])
def test_slips_get_a_sentence(oil, options, words):
    with pytest.raises(InputError, match=words):
        sine_loop(frequency=1.0, damper=stock_damper("open cartridge"), oil=oil, **options)
    with pytest.raises(InputError, match="air pocket is 60 cm"):
        sine_loop(0.02, 1.0, stock_damper("closed cartridge"), oil, pocket=6e-5)


def test_scalar_laws_are_those_of_the_oil(oil):
    """What the integrator asks is `effective_bulk_modulus`; a chamber that is all air gives as air alone does."""
    for pressure in (2e2, 1e4, 1e5, 3e6):
        assert _bulk_modulus(oil, 0.03)(pressure) == pytest.approx(float(effective_bulk_modulus(pressure, oil, 0.03)))
        by_hand = 1.0 / (1.4 * pressure) * (101_325.0 / pressure) ** (1 / 1.4)  # -dV/dp of V = V_0 (p_0/p)^(1/n)
        assert _air_give(pressure) == pytest.approx(by_hand)


def test_a_pocket_above_the_piston_is_felt_when_the_fork_is_pulled(closed, oil):
    """Pulled, the pocket must be squeezed first: the rebound side is late, the pushed side hardly."""
    full, low = (sine_loop(0.025, 3.0, closed, oil, pocket=pocket) for pocket in (0.0, 8e-6))
    assert lag(low) > lag(full) + 1e-3
    early = slice(215, 236)  # of the 400 points of a cycle, the way back out beginning at 200
    pulled = [np.mean((loop.force - loop.gas_force)[early]) for loop in (full, low)]
    assert abs(pulled[1]) < 0.85 * abs(pulled[0])
    assert low.force.max() == pytest.approx(full.force.max(), rel=0.05)  # pushed, some of the oil fills the pocket
