"""The school's dampers and an oil, for all tests of this room."""

import pytest

from suspedu.damper import stock_damper
from suspedu.damper.fluid import fluid_at
from suspedu.parts.oil import Oil

STOCK = ("closed cartridge", "open cartridge", "damping rod")


@pytest.fixture(scope="session")
def oil():
    return Oil(15e-6, 3.5e-6)


@pytest.fixture(scope="session")
def fluid(oil):
    return fluid_at(313.15, oil)


@pytest.fixture(scope="session")
def closed():
    return stock_damper("closed cartridge")


@pytest.fixture(scope="session", params=STOCK)
def stock(request):
    return stock_damper(request.param)
