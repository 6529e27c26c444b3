"""A fork and a machine to ride with: smooth invented laws of believable size, and strictly linear ones."""

import dataclasses

import numpy as np
import pytest

from suspedu.parts.friction import SealFriction
from suspedu.parts.stops import Bumper, TopOutSpring
from suspedu.parts.tyre import Tyre
from suspedu.ride.vehicle import ForkLaw, Vehicle

TRAVEL = 0.3
SEALS = SealFriction(sliding=40.0, stiction=1.0)
TYRE = Tyre(pressure=1e5, casing_rate=65e3, damping=150.0, width=0.052)


def make_school_fork(compression=1.0, rebound=1.0, **changes) -> ForkLaw:
    """Two legs of 4.4 N/mm with air on top; digressive damping that both factors scale."""
    strokes, v = np.linspace(0.0, TRAVEL, 301), np.linspace(-8.0, 8.0, 801)
    spring = 2 * 4400 * (strokes + 0.006) + 250 * ((0.36 / (0.36 - strokes)) ** 1.3 - 1)
    damping = np.where(v > 0, compression * (250 * np.tanh(v / 0.25) + 120 * v + 60 * v**2),
                       rebound * (700 * np.tanh(v / 0.3) + 350 * v))
    return dataclasses.replace(ForkLaw(TRAVEL, strokes, spring, v, damping, seals=(SEALS,)), **changes)


def make_linear_fork(rate=9000.0, damping=900.0) -> ForkLaw:
    """Nothing but a straight spring and a straight damper: soft ends far away, no friction."""
    line = np.linspace(0.0, TRAVEL, 2)
    v = np.linspace(-1.0, 1.0, 2)
    return ForkLaw(TRAVEL, line, rate * line, v, damping * v, top_outs=(TopOutSpring(1e3, 0.001),),
                   bumpers=(Bumper(0.002, 1e3, 1e3),))


@pytest.fixture
def fork():
    return make_school_fork()


@pytest.fixture
def vehicle():
    return Vehicle(80.0, 15.0, np.radians(26.5), TYRE)


@pytest.fixture
def school_fork():
    return make_school_fork


@pytest.fixture
def linear_fork():
    return make_linear_fork
