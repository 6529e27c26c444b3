"""The school's closed cartridge on a test bench, and one simulated test of it, for all tests of this room."""

import sys
from pathlib import Path

import numpy as np
import pytest

from suspedu.damper import stock_damper
from suspedu.recordings import Rig, reduced, sample_recording

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(scope="session")
def rig():
    return Rig(stock_damper("closed cartridge"))


@pytest.fixture(scope="session")
def recording(rig):
    return sample_recording(rig, 1)


@pytest.fixture(scope="session")
def test_read(recording):
    return reduced(recording)


@pytest.fixture
def table():
    """A sound little test: three cycles of a sine, columns by header."""
    time = np.arange(300) / 500.0
    turn = 2.0 * np.pi * 5.0 * time
    return {"time [s]": time, "stroke [mm]": 150.0 - 20.0 * np.cos(turn), "force [N]": 40.0 + 300.0 * np.sin(turn)}
