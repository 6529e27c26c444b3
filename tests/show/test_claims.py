"""Each sentence of each panel at random settings, every claim in it held; and claims that are wrong on purpose."""

import random
from dataclasses import replace

import pytest

from suspedu.show import panels
from suspedu.show.view import Choice

from .claims import CLAIMS, HELD_ELSEWHERE, unheld

HOW_MANY = 12  # of each panel, besides its corners (`test_panels.py`)


def random_setting(panel, chance) -> dict:
    """One of the places where the controls of a panel can stand."""
    return {control.name: chance.choice(list(control.options)) if isinstance(control, Choice) else
            round(control.low + control.step * chance.randint(0, round((control.high - control.low) / control.step)), 9)
            for control in panel.controls}


@pytest.mark.parametrize("panel", panels.PANELS.values(), ids=panels.PANELS)
def test_every_claim_holds_at_random_settings(panel):
    chance = random.Random(f"claims of {panel.id}")
    settings = [random_setting(panel, chance) for _ in range(HOW_MANY)]
    assert [fault for values in settings for fault in unheld(panel, values, panel.view(**values))] == []


def test_every_panel_has_its_claims():
    assert set(CLAIMS) | HELD_ELSEWHERE == set(panels.PANELS)


@pytest.mark.parametrize("mass", [60, 82, 110])
def test_whether_a_spring_suits_does_not_hang_on_where_its_collar_stands(mass):
    """From preload to preload of a collar the same spring is right, or wants more or less; or it is never right."""
    for tenths in range(26, 57, 5):
        told = {panels.sag.view(mass, tenths / 10, preload).sentence.partition(" Springs sold")[0].rpartition(": ")[2]
                for preload in range(0, 21, 2)}
        assert len({"stiffer" in each or "softer" in each for each in told}) == 1, (tenths, told)


HELD = "a matter of friction, which may hold it anywhere from 54 to 70 mm, and not of rebound"
ON_THE_RIM = " The tyre is pressed to its rim on the way: nobody rides it like that."
SPOILT = [
    ("sag", {"rider_mass": 82, "coil_rate": 4.0, "preload": 4}, ("suit this rider", "want a stiffer spring")),
    ("sag", {"rider_mass": 82, "coil_rate": 3.2, "preload": 0}, ("More preload", "Less preload")),
    ("sag", {"rider_mass": 82, "coil_rate": 5.0, "preload": 4}, ("a softer spring", "a stiffer spring")),
    ("restriction", {"way": "ring-gap", "pressure": 5, "temperature": 20, "viscosity_40": 16},
     ("so thickness of the oil counts", "so size counts, and thickness of the oil little")),
    ("pulled-down", {"rebound": 24, "compression_low": 0, "height": 100, "spacing": 1, "speed": 16},
     ("the wheel comes too late", "the tyre keeps up")),
    ("base-valve", {"compression_low": 12, "compression_high": 13},
     ("a fast bump (3 m/s) less", "a fast bump (3 m/s) more")),
    ("end-stop", {"velocity": 0.5, "gap": 0.2, "zone": 25, "shims": 3}, ("140 g were", "0 kg were")),
    ("rebound", {"what": "chassis-rises", "depth": 80, "rebound": 0, "coil_rate": 4.0},
     ("it creeps up, and the next bump finds the rider low", HELD)),
    ("rebound", {"what": "chassis-rises", "depth": 90, "rebound": 12, "coil_rate": 4.0},
     (HELD, "it creeps up, and the next bump finds the rider low")),
    ("pulled-down", {"rebound": 13, "compression_low": 13, "height": 20, "spacing": 2.5, "speed": 3},
     ("only from 0.08 m/s on", "only from 0.03 m/s on")),
    ("shaft-speeds", {"ground": "rock garden", "speed": 55}, (ON_THE_RIM, "")),
    ("shaft-speeds", {"ground": "rock garden", "speed": 22}, ("heat there.", f"heat there.{ON_THE_RIM}")),
    ("terrain", {"kind": "square edge", "speed": 30, "tyre_pressure": 1.0},
     ("the shaft goes in at up to 3.3 m/s", "the shaft goes in at up to 4.8 m/s")),
    ("taper", {"extra": 0.05, "thickness": 0.2, "taper_step": 0, "clamp": 10},
     ("13.7 % as the last", "12.1 % as the last")),
    ("taper", {"extra": 0.05, "thickness": 0.2, "taper_step": 2.0, "clamp": 10}, ("times as much", "times more")),
    ("quality-chain", {"tolerance": 10, "volume": "300", "limit": 5, "complaint": 180, "way": "sample"},
     ("nobody tells them apart", "a rider may tell them apart")),
    ("quality-chain", {"tolerance": 10, "volume": "300", "limit": 5, "complaint": 180, "way": "all"},
     ("±7 µm costs least", "±10 µm costs least")),
    ("sampling-plan", {"sample": 20, "accept": 0, "lot": 300, "defective": 2}, ("more than 1.68", "more than 1.58")),
    ("sampling-plan", {"sample": 60, "accept": 0, "lot": 120, "defective": 2},
     ("Over many lots", "Each part is looked at, so nothing that is wrong goes out. Over many lots")),
    ("force-spread", {"shims": 10, "holes": 20, "clearance": 4, "seal": 2, "scratched": 0, "speed": "0.5",
                      "count": "48"},
     ("within two error bars", "not within two error bars")),
    ("air-spring", {"oil_height": 110, "air_temperature": 20, "exponent": 1.2, "gauge_pressure": 0},
     ("after one third", "after one third, hardly any,")),
]


@pytest.mark.parametrize(("name", "values", "spoilt"), SPOILT, ids=[f"{name}-{new}" for name, _, (_, new) in SPOILT])
def test_a_claim_that_is_wrong_on_purpose_is_caught(name, values, spoilt):
    panel = panels.PANELS[name]
    view = panel.view(**values)
    assert spoilt[0] in view.sentence and unheld(panel, values, view) == []
    assert unheld(panel, values, replace(view, sentence=view.sentence.replace(*spoilt)))
