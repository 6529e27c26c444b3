"""A ride is the law integrated without tables, where cold oil, clicks and a hit make it hardest."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from direct_ride import USUAL, WORST, off_the_law


@pytest.mark.parametrize(("name", "start", "end"), [("log", 0.53, 0.75), ("hard braking", 0.5, 0.75)])
def test_the_ride_is_the_law_integrated_without_tables(name, start, end):
    """From just before the wheel meets it until it comes back; all grounds at length: `direct_ride.py`, by hand."""
    worst, usual = off_the_law(name, start, end)
    assert worst < WORST and usual < USUAL
