"""How far the tyre stands behind the axis it is steered about: what the height of the tubes in the clamps changes."""

from __future__ import annotations

import numpy as np


def steering_trail(rake, radius, offset):
    """Trail: how far behind the point where the steering axis meets the ground the tyre stands.

    t = (R sin(r) - o)/cos(r)

    Parameters: rake r, from the vertical [rad]; radius R of the loaded wheel [m]; offset o of the axle before the
    axis, square to it [m].
    Returns: trail [m].
    Assumes: upright and steered straight ahead.

    >>> float(steering_trail(np.radians(26.5), 0.345, 0.055).round(4))
    0.1106

    Source: exact geometry (computed by derivation)
    """
    return (np.multiply(radius, np.sin(rake)) - offset) / np.cos(rake)
