"""A job for every adjuster: made by rides, printed, and its strongest effect above what is noticed."""

import sys

import numpy as np
import pytest

from suspedu.machine.riding import ride
from suspedu.ride.outcomes import outcomes
from suspedu.school.jobs import HALVES, at_half, half_rides, jobs, jobs_text
from suspedu.school.loop import LOOP, loop_ground
from suspedu.school.machines import school_machine
from suspedu.school.noticed import noticed
from suspedu.units import InputError


@pytest.fixture(scope="module")
def table():
    return jobs()


def test_the_table_is_printed(table, capsys):
    with capsys.disabled():
        print(f"\n{jobs_text(table)}")
    assert [job.adjuster for job in table] == list(HALVES)
    assert all(len({each.ground for each in job.effects}) == len(LOOP) for job in table)


@pytest.mark.parametrize("name", HALVES)
def test_half_of_the_range_is_noticed_somewhere(table, name):
    job = next(each for each in table if each.adjuster == name)
    assert job.best.times >= 1.0, job.best.text


IDLE = {"preload": "hard braking", "oil_height": "rough ground", "compression_low": "square edge",
        "compression_high": "hard braking", "rebound": "flat landing", "tyre_pressure": "hard braking"}


@pytest.mark.parametrize("name, ground", IDLE.items())
def test_no_adjuster_but_the_spring_is_for_everything(table, name, ground):
    """Slow dives are no job of the high-speed clicker, nor edges of the low-speed one (common practice)."""
    job = next(each for each in table if each.adjuster == name)
    assert ground in job.unnoticed and job.best.ground not in job.unnoticed


def test_an_entry_is_what_two_rides_say(table):
    """Ridden by hand: the strongest effect of the rebound clicker."""
    job = next(each for each in table if each.adjuster == "rebound")
    best = job.best
    ends = [outcomes(ride(machine, loop_ground(best.ground)), [best.outcome])[best.outcome]
            for machine in (school_machine(), *at_half(school_machine(), "rebound"))]
    assert (best.low, best.high) == (ends[1], ends[2])
    assert best.times == pytest.approx(abs(ends[2] - ends[1]) / noticed(best.outcome, ends[0]))


def test_notice_is_a_share_or_a_step():
    assert noticed("comfort", 8.0) == pytest.approx(0.8) and noticed("deepest", 0.2) == 0.005
    assert noticed("bumper_speed", 0.0) == noticed("bumper_speed", 0.3) == 0.05  # a tenth of the floor
    with pytest.raises(InputError, match="not noticed as such"):
        noticed("heating", 3.0)


def test_another_processors_last_bits_change_no_line(table, monkeypatch):
    """Sums come out a few 1e-16 apart from processor to processor; two names for one effect then swap places."""
    rng, rides = np.random.default_rng(7), half_rides(school_machine(), tuple(HALVES))
    for _ in range(20):
        noisy = {ground: [{name: value * (1 + rng.normal(0.0, 1e-13)) for name, value in one.items()} for one in told]
                 for ground, told in rides.items()}
        monkeypatch.setattr(sys.modules["suspedu.school.jobs"], "half_rides", lambda *asked, noisy=noisy: noisy)
        jobs.cache_clear()
        assert jobs_text(jobs()) == jobs_text(table)
    jobs.cache_clear()
