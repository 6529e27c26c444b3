"""Words of the course, each in one sentence, and the symbols of its formulas."""

from __future__ import annotations

import re

GLOSSARY = {
    "air spring": "the air above the oil, squeezed as the tubes slide together",
    "base valve": "the valve at the foot of the cartridge, through which the oil leaves that the rod displaces",
    "break-even": "the share of wrong parts at which two ways of inspection cost the same",
    "bottoming": "reaching the end of the stroke, on the bumper or on metal",
    "breakaway": "the force that a resting fork holds before it begins to slide",
    "bumper": "the elastic stop of the last millimetres",
    "cartridge": "the damper inside a leg: a tube with piston, rod and valves",
    "cavitation": "oil that tears because its pressure has fallen to that of its vapour",
    "charge": "the gas pressure in a closed cartridge, as the gauge shows it",
    "clamp": "what holds the outer tubes; of a stack: the thick small washer from whose edge the shims bend",
    "click": "one step of an adjuster, counted out from gently closed",
    "confidence band": "the range that holds the true value in most of such tests; how most is said beside it",
    "crossover": "a small thin shim that holds a gap in a stack open",
    "damping ratio": "damping over that with which a straight-line fork just does not swing",
    "end stop": "a damper of the last millimetres, which acts by position",
    "face shim": "the shim that lies on the port; the others stand behind it",
    "float": "how far a stack lifts, against a light spring, before it has to bend",
    "free sag": "how far the machine sinks by itself, from the hanging wheel",
    "frontier": "the settings of a damper that none of its others beats in two wishes",
    "kick": "the fastest upward throw of the bars",
    "load cell": "the sensor of a test bench that reads force",
    "mid-valve": "the compression valve on the piston",
    "needle": "the cone that a clicker moves in its seat",
    "oil height": "from the top of the compressed leg down to the oil, spring out: more millimetres, more air",
    "operating characteristic": "how likely a sampling plan accepts a lot, over the share of wrong parts in it",
    "packing": "a fork that does not come back in time, and works deep",
    "port": "the pocket in a piston that shims cover",
    "preload": "how far a spring is squeezed before the fork moves",
    "rake": "the angle of the fork from the vertical",
    "rate": "the force for each further millimetre of a spring",
    "rebound": "the way out: the fork stretches",
    "Reynolds number": "jet against rubbing in a stream of oil",
    "revalving": "building other shims into a valve",
    "rider sag": "how far machine and rider together sink, from the hanging wheel",
    "seat land": "the narrow ring on which a shim lies",
    "shim": "a thin steel washer that bends open under the oil's pressure",
    "sprung mass": "what stands on the fork: frame, engine, and the rider's share",
    "stack": "shims on one another, clamped in the middle",
    "taper": "a stack whose shims grow smaller away from the port",
    "time constant": "damping over rate: the time in which two thirds of the way back are done",
    "tolerance": "how far a dimension may be off the drawing, either way",
    "top-out": "the end of the stroke at full extension, with its own small spring",
    "steering trail": "how far the tyre stands behind the point where the steering axis meets the ground",
    "unsprung mass": "what moves with the wheel: wheel, axle, brake, sliding tubes",
    "viscosity": "how thick an oil is: in mm²/s as sheets give it, in Pa·s in the laws",
}

SYMBOLS = (  # symbol, what it is, unit in the laws, unit in the workshop
    ("x", "stroke, from full extension", "m", "mm"), ("v", "velocity of the leg, compression > 0", "m/s", "m/s"),
    ("F", "force", "N", "N"), ("k", "rate of a spring", "N/m", "N/mm"), ("c", "damping", "N·s/m", "N·s/m"),
    ("p", "pressure, absolute in the laws", "Pa", "bar, gauge"), ("Q", "flow", "m³/s", "cm³/s"),
    ("A", "area", "m²", "mm²"), ("V", "volume", "m³", "cm³"), ("n", "exponent of the air", "1", "1"),
    ("rho", "density", "kg/m³", "kg/m³"), ("mu", "viscosity, dynamic", "Pa·s", "Pa·s"),
    ("nu", "viscosity, kinematic", "m²/s", "mm²/s"), ("C", "discharge coefficient of a jet", "1", "1"),
    ("t", "thickness of a shim, also time", "m, s", "mm, s"), ("E", "elastic modulus of the steel", "Pa", "GPa"),
    ("zeta", "damping ratio", "1", "1"), ("tau", "time constant c/k", "s", "ms"), ("r", "rake", "rad", "°"),
    ("T", "temperature", "K", "°C"),
)  # fmt: skip


def word_meaning(word: str) -> str:
    """What a word of the course means, in one sentence.

    >>> word_meaning("free sag")
    'how far the machine sinks by itself, from the hanging wheel'
    """
    return GLOSSARY[word]


def pattern(word: str) -> re.Pattern:
    """How a word of the glossary is found in a text: whole, in the singular or plural, at the start of a sentence too.

    >>> pattern("shim").findall("Shims bend; a shim, no shimmer.")
    ['Shims', 'shim']
    """
    first = f"[{word[0].upper()}{word[0].lower()}]"
    return re.compile(rf"(?<![\w-]){first}{re.escape(word[1:])}(?:s|es)?(?![\w-])")
