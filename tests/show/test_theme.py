"""The palette, against published models of colour vision and contrast."""

import colorsys
import itertools

import numpy as np
import pytest

from suspedu.show import panels
from suspedu.show.theme import DARK, DASHES, LIGHT, rgb

# machado-2009: matrices for severity 1.0, linear RGB (printed).
SEEN = {
    "full": np.eye(3),
    "weak red": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "weak green": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "weak blue": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
}
ROLES = ("main", "second", "third", "fourth", "ghost")
APART = 15.0  # distance in L*a*b*; 2.3 is just noticeable side by side, thin lines apart need several times that


def linear(colour):
    """Decoding of sRGB, iec-61966-2-1 (printed, from memory)."""
    value = rgb(colour) / 255
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def lab(light):
    """L*a*b* of linear sRGB, white point D65: cie-lab (printed, from memory)."""
    matrix = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    x, y, z = matrix @ np.clip(light, 0, 1) / (0.9505, 1.0, 1.089)
    fx, fy, fz = (np.cbrt(t) if t > 0.008856 else 7.787 * t + 16 / 116 for t in (x, y, z))
    return np.array([116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)])


def contrast(one, two):
    """Contrast ratio (L1 + 0.05) / (L2 + 0.05): wcag, 1.4.3 (printed, from memory)."""
    lights = sorted(linear(colour) @ (0.2126, 0.7152, 0.0722) for colour in (one, two))
    return (lights[1] + 0.05) / (lights[0] + 0.05)


def nearest_pair(colours, sight):
    seen = [lab(np.asarray(SEEN[sight]) @ linear(colour)) for colour in colours]
    return min(np.linalg.norm(a - b) for a, b in itertools.combinations(seen, 2))


@pytest.mark.parametrize("sight", SEEN)
@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_the_roles_are_told_apart_by_every_eye(theme, sight):
    assert nearest_pair([getattr(theme, role) for role in ROLES], sight) > APART


def test_red_and_green_of_one_lightness_would_be_caught():
    assert nearest_pair(["#c03030", "#4f7a1f"], "weak green") < APART < nearest_pair(["#c03030", "#4f7a1f"], "full")


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_contrast_with_the_paper(theme):
    for role in (*ROLES[:4], "ink", "muted", "limit"):
        assert contrast(getattr(theme, role), theme.paper) >= 4.5, role  # WCAG 2.2, 1.4.3: labels are text
    assert contrast(theme.ghost, theme.paper) >= 3.0  # 1.4.11: graphical objects


def test_the_roles_differ_in_dashes_too():
    patterns = [DASHES.get(role) for role in ROLES[:4]]
    assert len(set(patterns)) == 4


def test_a_tint_runs_from_paper_to_the_full_colour():
    assert LIGHT.mixed("main", 0) == LIGHT.paper
    assert LIGHT.mixed("main", 1) == LIGHT.main
    assert LIGHT.mixed("main", 7) == LIGHT.main


KNOBS = {"blue": (190, 265), "red": (335, 395)}  # hues in degrees: what knobs on forks carry (common practice)


def hue(colour):
    return 360 * colorsys.rgb_to_hsv(*(rgb(colour) / 255))[0]


def knob_of(colour):
    """The colour of a knob that this one could be taken for, or nothing."""
    return [name for name, (low, high) in KNOBS.items() if any(low <= hue(colour) + turn <= high for turn in (0, 360))]


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_compression_and_rebound_do_not_take_the_colours_of_knobs(theme):
    """A maker's red is rebound here and compression there: a picture that took them would be read wrongly."""
    sided = [(panel.id, item.name, knob_of(getattr(theme, item.role))) for panel in panels.PANELS.values()
             for item in panel.shown().items if any(side in item.name for side in ("compression", "rebound"))
             and item.role in ("main", "second", "third", "fourth")]
    assert len(sided) >= 12 and not [found for found in sided if found[2]]
    assert knob_of("#1c5fc4") == ["blue"] and knob_of("#c2231b") == ["red"]
