"""Parameters are found in tests of dampers that the search does not know, and what cannot be told is said."""

from dataclasses import replace

import numpy as np
import pytest
from unlike import LISTED, recovered, unlike

from suspedu.changes import changed
from suspedu.damper import stock_damper
from suspedu.recordings import UNKNOWNS, USUAL, Rig, identified, reduced, sample_recording, searchable
from suspedu.recordings.fitting import error_covariance
from suspedu.recordings.identification import covariance
from suspedu.units import InputError


def test_true_values_lie_in_their_bands():
    """Six dampers with other shims and another friction; a hundred of them by hand: `unlike.py`. Bands a fifth as wide
    would not do: they are no wider than they need to be by an order."""
    found = [recovered(300 + seed, seed) for seed in range(6)]
    assert sum(all(inside.values()) for _, inside in found) >= 5
    narrow = sum(all(nearly(each, unlike(300 + seed)[2])) for seed, (each, _) in enumerate(found))
    assert narrow < 3
    assert all(each.statement == "All of these are told apart by this test." for each, _ in found)


def nearly(found, true):
    """Whether bands a fifth as wide would hold the true values too."""
    for name, value in true.items():
        unknown, each = UNKNOWNS[name], found[name]
        at, low, high, here = (float(unknown.coordinate(part)) for part in (each.value, each.low, each.high, value))
        yield abs(here - at) < (high - low) / 10


@pytest.mark.parametrize("name", ["rebound land", "compression land", "rebound crack", "compression crack"])
def test_what_is_not_usual_is_found_too(name):
    unknown = UNKNOWNS[name]
    true = (1.5 if unknown.ratio else 2.5) * unknown.read(LISTED)
    test = reduced(sample_recording(unknown.put(LISTED, true), 3))
    found = identified(test, LISTED, [name, "friction", "gas pressure", "entrained air"])
    assert found[name].holds(true) and not found[name].holds(unknown.read(LISTED))


def test_twins_are_named(test_read):
    """Bleed, land, stiffness and crack pressure of one valve all at once: one test does not tell them all apart."""
    found = identified(test_read, LISTED, ["rebound land", "rebound stiffness", "rebound crack", "rebound bleed"])
    assert "cannot be told apart here" in found.statement or "says nothing" in found.statement
    assert np.max(np.abs(found.correlation - np.eye(4))) > 0.9


def test_a_closed_needle_says_nothing_of_its_area(rig):
    shut = replace(rig, damper=changed(rig.damper, "rebound.needle.clicks", 0))
    test = reduced(sample_recording(shut, 1))
    found = identified(test, shut, ["rebound bleed", "friction"])
    assert "This test says nothing of rebound bleed." in found.statement


def test_names_that_will_not_do_are_refused(test_read):
    for names, words in ((["bleed"], "'bleed' is nothing"), (["friction", "friction"], "once"), ([], "one at least")):
        with pytest.raises(InputError, match=words):
            identified(test_read, LISTED, names)
    rod = Rig(stock_damper("damping rod"))
    with pytest.raises(InputError, match="no such part"):
        identified(test_read, rod, ["gas pressure"])
    assert searchable(rod) == ("friction", "entrained air") and searchable(LISTED) == USUAL


def test_each_unknown_is_read_where_it_was_put():
    for unknown in UNKNOWNS.values():
        value = 1.2 * unknown.read(LISTED)
        assert unknown.read(unknown.put(LISTED, value)) == pytest.approx(value, rel=1e-9)
        assert float(unknown.value(unknown.coordinate(value))) == pytest.approx(value, rel=1e-12)


def test_covariance_of_a_straight_line_is_the_textbooks():
    """y = a + b x with errors of one: var b = 1/sum (x - m)^2, var a = 1/n + m^2 var b (computed by hand)."""
    x = np.array([1.0, 2.0, 4.0, 7.0, 11.0])
    deviations, correlation = covariance(np.array([np.ones(5), x]).T)
    slope = 1.0 / np.sum((x - x.mean()) ** 2)
    np.testing.assert_allclose(deviations, np.sqrt([1 / 5 + x.mean() ** 2 * slope, slope]))
    assert correlation[0, 1] == pytest.approx(-x.mean() * slope / np.prod(deviations))


def test_errors_hang_together_within_a_pass_alone():
    force, turns = np.tile([0.0, 100.0, 0.0, -100.0], 2), np.repeat([0, 1], 4)
    whole = error_covariance(force, np.zeros(8), np.ones(8), 0.0, turns)
    assert np.all(whole[:4, 4:] == 0.0) and np.all(whole[:4, :4] > 0.0)
    assert np.all(np.linalg.eigvalsh(whole) > 0.0)
