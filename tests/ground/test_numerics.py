"""What laws remember cannot be written into; arrays pass; the one way to change a part."""

from dataclasses import dataclass

import numpy as np
import pytest

from suspedu import numerics
from suspedu.changes import changed, leads_somewhere, value_at
from suspedu.numerics import remembered
from suspedu.units import InputError


@dataclass(frozen=True)
class Curve:
    pressure: np.ndarray
    more: tuple = ()


@remembered
def curve_of(count):
    return Curve(np.arange(count, dtype=float), ({"deep": np.ones(count)},))


def test_no_array_of_an_answer_can_be_written():
    first = curve_of(3)
    for array in (first.pressure, first.more[0]["deep"]):
        with pytest.raises(ValueError, match="read-only"):
            array *= 1e3
    assert curve_of(3) is first and curve_of(3).pressure.tolist() == [0.0, 1.0, 2.0]


def test_arrays_pass_unremembered_and_frozen():
    @remembered
    def doubled(values):
        return 2.0 * values

    once, again = doubled(np.ones(2)), doubled(np.ones(2))
    assert once is not again and once.tolist() == again.tolist() and not once.flags.writeable


def test_what_takes_most_is_forgotten_where_all_together_is_too_much(monkeypatch):
    """A long session does not grow: of two laws the one with large answers starts anew, also where they are nested."""
    large, small = (remembered(lambda count: np.zeros(count)) for _ in range(2))
    nested = remembered(lambda count: (large(count),))
    monkeypatch.setattr(numerics, "_taken", dict.fromkeys(list(numerics._taken)[-3:], 0))
    monkeypatch.setattr(numerics, "MOST_BYTES", 8 * 5000)
    kept = small(10)
    for count in range(1000, 1005):
        nested(count)
        assert sum(numerics._taken.values()) <= numerics.MOST_BYTES
    assert small(10) is kept and large.cache_info().currsize < 5 > nested.cache_info().currsize


def test_a_law_s_own_type_error_is_not_swallowed():
    @remembered(size=4)
    def wrong(value):
        raise TypeError(f"own fault with {value}")

    with pytest.raises(TypeError, match="own fault with 1"):
        wrong(1)


@dataclass(frozen=True)
class Needle:
    clicks: int


@dataclass(frozen=True)
class Leg:
    needle: Needle | None
    rate: float = 1.0


@dataclass(frozen=True)
class Fork:
    legs: tuple[Leg, ...]


FORK = Fork((Leg(Needle(3)), Leg(None)))


def test_a_place_leads_through_all_that_have_it():
    turned = changed(FORK, "legs.needle.clicks", 8)
    assert turned.legs == (Leg(Needle(8)), Leg(None)) and FORK.legs[0].needle.clicks == 3
    assert [leg.rate for leg in changed(FORK, "legs.rate", 2.0).legs] == [2.0, 2.0]
    assert value_at(turned, "legs.needle.clicks") == 8


@pytest.mark.parametrize(("place", "words"), [("legs.neddle.clicks", "none of the 2 has one"),
                                              ("leg.rate", "there is no 'leg' here.*'legs'")])
def test_a_place_that_leads_nowhere_gets_a_sentence(place, words):
    with pytest.raises(InputError, match=words):
        changed(FORK, place, 1)
    assert not leads_somewhere(FORK, place)


def test_a_part_that_is_not_fitted_cannot_be_changed():
    with pytest.raises(InputError, match="'needle' cannot be changed: no such part is fitted"):
        changed(Leg(None), "needle.clicks", 2)
