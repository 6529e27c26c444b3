"""Faults are named rightly, healthy dampers left alone, and what does not decide is said."""

from dataclasses import replace

import pytest
from unlike import FAULTS, LISTED, named

from suspedu.changes import changed
from suspedu.damper import stock_damper
from suspedu.recordings import (
    FAULT_KINDS,
    Rig,
    Schedule,
    fault_kinds,
    faults_weighed,
    reduced,
    sample_recording,
    spoilt,
)
from suspedu.units import InputError


@pytest.mark.parametrize("name", [*FAULTS, "healthy"])
def test_a_damper_with_unlike_parts_is_called_what_it_is(name):
    """One of each; twenty faults and twenty healthy ones by hand: `unlike.py`."""
    found = named(name, 61)
    assert found.best.name == name
    assert sum(each.weight for each in found.hypotheses) == pytest.approx(1.0)
    if name != "healthy":
        assert found.statement.startswith(f"This test speaks for: {name} ")
        assert found.best.kind.least <= found.best.size <= found.best.kind.most
        assert found.best.kind.place in found.statement and found.best.kind.look_first in found.statement


def test_a_clicker_further_out_looks_like_a_bent_shim():
    """Both are an opening that nothing shuts: so the words send to the clicks first."""
    open_ = replace(LISTED, damper=changed(LISTED.damper, "rebound.needle.clicks", 20))
    found = faults_weighed(reduced(sample_recording(open_, 1)), LISTED)
    assert found.best.name == "bent shim" and "count the clicks" in found.statement


def test_another_damper_is_explained_by_none():
    """A damping rod's test held against the cartridge."""
    rod = reduced(sample_recording(Rig(stock_damper("damping rod")), 1, Schedule(speeds=(0.3, 1.0), cycles=(2, 3))))
    found = faults_weighed(rod, LISTED)
    assert found.statement.startswith("None of these explains the test")


def test_faults_are_those_that_a_damper_can_have():
    assert [kind.name for kind in fault_kinds(Rig(stock_damper("open cartridge")))] == [
        kind.name for kind in FAULT_KINDS if kind.name != "lost gas"]
    with pytest.raises(InputError, match="cannot have the fault 'lost gas'"):
        spoilt(Rig(stock_damper("open cartridge")), "lost gas", 0.3)
    with pytest.raises(InputError, match=r"there is no fault 'low oli' .did you mean 'low oil'"):
        spoilt(LISTED, "low oli", 1e-6)
    with pytest.raises(InputError, match="air in the oil, share of its volume is 50 %"):
        spoilt(LISTED, "entrained air", 0.5)
