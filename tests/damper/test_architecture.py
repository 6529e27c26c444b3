"""A fourth architecture, made here and read from a file of its own: every law takes it, and no other module knows it.

It is a cartridge whose displaced oil pushes a sprung floating piston, open to the air behind: its reservoir is a
straight spring, which neither the closed cartridge's gas nor the fork's air is.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest

from suspedu.damper import (
    WAYS,
    Circuit,
    Damper,
    Hole,
    Valve,
    breakdown_rows,
    explained,
    force_table,
    gas_element,
    leg_force,
    margin_of,
    opening_speeds,
    sine_loop,
    stock_damper,
    stroke_history,
    stroke_walk,
)
from suspedu.damper.paths import Clearance
from suspedu.data.reader import one_kind_of
from suspedu.machine import load, refitted
from suspedu.machine.riding import ride
from suspedu.units import STANDARD_ATMOSPHERE, InputError, check_fields, quantity


@dataclass(frozen=True)
class SprungPiston:
    """A piston of an area under a coil spring; the open air is behind it."""

    rate: float = quantity("N/mm", 0.1, 50, "rate under the floating piston")
    preload: float = quantity("N", 0, 500, "preload under the floating piston")
    area: float = quantity("mm**2", 50, 2000, "area of the floating piston")

    def __post_init__(self):
        check_fields(self)


@dataclass(frozen=True)
class OnTheRod:
    """That piston as the rod feels it."""

    spring: SprungPiston

    def pressure(self, stroke, displaced_area, temperature, air_pressure):
        pushed = self.spring.preload + self.spring.rate * displaced_area * stroke / self.spring.area
        return STANDARD_ATMOSPHERE + pushed / self.spring.area

    def outside_pressure(self, pressure_abs):
        return np.full_like(pressure_abs, STANDARD_ATMOSPHERE)

    def sealed_area(self, displaced_area):
        return displaced_area

    def rate(self, stroke, displaced_area, temperature):
        return self.spring.rate * (displaced_area / self.spring.area) ** 2 + np.zeros_like(stroke, dtype=float)

    def energy(self, stroke, displaced_area, temperature):
        moved = displaced_area * np.asarray(stroke, dtype=float) / self.spring.area
        return self.spring.preload * moved + self.spring.rate * moved**2 / 2


@one_kind_of(Damper)
@dataclass(frozen=True)
class SprungCartridge(Circuit):
    """Plain holes all over, and a sprung reservoir."""

    piston_area: float = quantity("mm**2", 100, 2000, "piston area")
    displaced_area: float = quantity("mm**2", 20, 500, "rod area")
    floating_piston: SprungPiston
    leak: Clearance
    base_holes: Hole
    piston_holes: Hole
    compression_column: float = quantity("mm", 50, 600, "lower column", default=0.36)
    rebound_column: float = quantity("mm", 10, 300, "upper column", default=0.03)
    air_fraction: float = quantity("", 1e-5, 0.3, "share of air", default=1e-3)
    end_stop = None

    @property
    def reservoir(self):
        return OnTheRod(self.floating_piston)

    @property
    def base(self):
        return Valve(self.leak, holes=self.base_holes)

    @property
    def mid(self):
        return Valve(self.leak, holes=self.piston_holes)

    rebound, refill = mid, base


FILE = """
[damper]
kind = "sprung cartridge"
piston_area = "450 mm**2"
displaced_area = "110 mm**2"
floating_piston = { rate = "4 N/mm", preload = "80 N", area = "400 mm**2" }
leak = { diameter = "24 mm", gap = "0.03 mm", length = "8 mm" }
base_holes = { diameter = "2.2 mm", length = "5 mm", count = 2 }
piston_holes = { diameter = "3.5 mm", length = "5 mm", count = 3 }
"""


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    path = tmp_path_factory.mktemp("shelf") / "sprung.toml"
    path.write_text(FILE, encoding="utf-8")
    return str(path)


@pytest.fixture(scope="module")
def sprung(path):
    return stock_damper(path)


def test_its_file_is_read_and_a_slip_in_it_gets_a_sentence(path, sprung, tmp_path):
    assert type(sprung) is SprungCartridge and sprung.ring_area == pytest.approx(340e-6)
    wrong = tmp_path / "wrong.toml"
    wrong.write_text(FILE.replace("sprung cartridge", "sprung cartrigde"), encoding="utf-8")
    with pytest.raises(InputError, match=r"wrong\.toml: damper\.kind .* \(did you mean 'sprung cartridge'\?\)"):
        stock_damper(str(wrong))


def test_its_force_is_the_springs_at_rest_and_passive_in_motion(sprung, oil):
    strokes, speeds = np.linspace(0.0, 0.28, 8), np.array([-2.0, -0.1, 0.0, 0.1, 2.0])
    table = force_table(strokes, speeds, sprung, oil)
    straight = (80.0 + 4000.0 * 110 / 400 * strokes) * 110 / 400  # N, by hand: the piston's spring over the areas
    np.testing.assert_allclose(table[:, 2], straight, rtol=1e-12)
    damping = force_table(strokes, speeds, sprung, oil, part="damping_force")
    assert np.all(damping * speeds >= 0.0) and np.all(np.diff(damping, axis=1) > 0.0)
    assert margin_of(sprung, strokes, [-0.1, 0.1], oil)[0] > 0.0


def test_its_reservoir_is_an_elastic_element(sprung):
    element, step = gas_element(sprung), 1e-6
    slope = (element.force(0.1 + step) - element.force(0.1 - step)) / (2 * step)
    assert slope == pytest.approx(float(element.rate(0.1)), rel=1e-6)
    work = (element.force(0.0) + element.force(0.2)) / 2 * 0.2  # a straight line's
    assert float(element.energy(0.2)) == pytest.approx(work, rel=1e-12)


def test_it_is_explained_walked_and_looped(sprung, oil):
    point = explained(0.1, 1.0, sprung, oil)
    assert sum(point.parts.values()) == pytest.approx(float(point.leg.force), abs=1e-9)
    assert {row["valve"] for row in breakdown_rows(point)} == {"base valve", "mid-valve"}
    assert opening_speeds(sprung, oil)[0][1] == 0.0
    walk = stroke_walk(*stroke_history(0.2, 1.0, 0.5), sprung, oil)
    assert walk.energy[-1] > 0.0
    loop = sine_loop(0.02, 1.0, sprung, oil, points=41)
    law = leg_force(loop.stroke, loop.velocity, sprung, oil).force
    assert np.max(np.abs(loop.force - law)) < 0.05 * np.max(np.abs(law))  # clean oil, slowly: the law's curve, nearly


def test_its_channels_are_those_of_its_valves(sprung, stock, oil):
    for damper in (sprung, stock):
        leg = leg_force(0.15, 1.0, damper, oil)
        told = explained(0.15, 1.0, damper, oil).valves
        assert {(c.valve, c.path) for c in damper.channels} == {(v, p) for v in told for p in told[v].paths}
        for channel in damper.channels:
            drop = float(getattr(leg, channel.source) - getattr(leg, channel.target))
            flowing = float(told[channel.valve].paths[channel.path].flow)
            assert (flowing > 0.0) == (drop > 1e-6 and channel.opening.area(drop) > 0.0)
            assert channel.body == WAYS[channel.valve].body and channel.kind == channel.opening.kind


def test_a_machine_rides_on_it(path):
    machine = refitted(load("enduro"), path)
    ridden = ride(machine, "square edge")
    assert np.ptp(ridden.stroke) > 0.02 and np.all(np.isfinite(ridden.stroke))
    softer = replace(stock_damper(path), base_holes=Hole(3e-3, 5e-3, 4))
    assert leg_force(0.1, 1.0, softer, machine.legs[0].damper.oil).force < leg_force(
        0.1, 1.0, stock_damper(path), machine.legs[0].damper.oil).force
