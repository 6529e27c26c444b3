"""What the tests of pictures and forms share."""

import pytest


@pytest.fixture(autouse=True)
def _alone(no_loop_of_others):
    """Forms ask for the running loop."""
