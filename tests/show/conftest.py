"""What the tests of pictures and forms share."""

import asyncio

import pytest


@pytest.fixture(autouse=True)
def no_loop_of_others():
    """A browser that other tests keep open in this process leaves its loop behind as the running one."""
    left = asyncio._get_running_loop()
    asyncio._set_running_loop(None)
    yield
    asyncio._set_running_loop(left)
