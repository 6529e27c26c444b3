"""Dampers that are not quite the listed one, and tests of them: with parts that no search of the library has.

Each shim has a thickness of its own; friction follows another law (an exponential rise, a sharp turn); a bent shim
stands open in three places with another discharge; a worn ring lies to one side. By hand, all at length:
python tests/recordings/unlike.py     (some five minutes)
"""

import sys
from dataclasses import replace

import numpy as np

from suspedu.changes import changed, value_at
from suspedu.damper import Hole, stock_damper
from suspedu.recordings import (
    UNKNOWNS,
    USUAL,
    Rig,
    faults_weighed,
    identified,
    reduced,
    sample_recording,
    spoilt,
)

LISTED = Rig(stock_damper("closed cartridge"))
SPREAD = {"compression bleed": 0.25, "rebound bleed": 0.25, "compression stiffness": 0.12, "rebound stiffness": 0.12,
          "friction": 0.4}  # of the logarithm, either way
FAULTS = ("worn seal", "bent shim", "low oil", "entrained air", "lost gas")


def friction_of(level, chance):
    """Friction that rises by an exponential towards rest, not by a bell, and turns ten times as sharply."""
    rise, slow = chance.uniform(0.1, 0.5), chance.uniform(0.005, 0.02)
    return lambda velocity, pressure: level * (1 + rise * np.exp(-np.abs(velocity) / slow)) * np.tanh(velocity / 2e-4)


def other_shims(damper, chance):
    """Every shim two per cent thicker or thinner; how much stiffer rebound and low-speed shims are by it."""
    stiffer = {}
    for valve, name in (("base", "low-speed"), ("mid", "mid"), ("rebound", "rebound")):
        ports = []
        for port in getattr(damper, valve).ports:
            shims = tuple(replace(shim, thickness=shim.thickness * chance.uniform(0.98, 1.02))
                          for shim in port.stack.shims)
            ports.append(replace(port, stack=replace(port.stack, shims=shims)))
            if port.name == name:  # same pressure, less lift: the mean over the pressures of a test
                lifts = [port.curve(pressure) / ports[-1].curve(pressure) for pressure in (5e5, 1e6, 2e6)]
                stiffer[valve] = float(np.mean(lifts))
        damper = changed(damper, f"{valve}.ports", tuple(ports))
    return damper, {"compression stiffness": stiffer["base"], "rebound stiffness": stiffer["rebound"]}


def unlike(seed):
    """A damper with parameters of its own and parts unlike the search's, its friction, and the true values."""
    chance, rig, true = np.random.default_rng(seed), LISTED, {}
    for name in USUAL:
        known = UNKNOWNS[name].read(LISTED)
        if name in SPREAD:
            true[name] = known * np.exp(chance.uniform(-SPREAD[name], SPREAD[name]))
        else:
            true[name] = chance.uniform(0.8e5, 3e5) if name == "gas pressure" else np.exp(chance.uniform(-7.6, -3.5))
        rig = UNKNOWNS[name].put(rig, float(true[name]))
    damper, stiffer = other_shims(rig.damper, chance)
    true |= {name: true[name] * factor for name, factor in stiffer.items()}
    return replace(rig, damper=damper), friction_of(rig.seals.sliding, chance), true


def recovered(seed, noise=1):
    """What is found of such a damper, and which true values lie in their bands."""
    rig, friction, true = unlike(seed)
    found = identified(reduced(sample_recording(rig, noise, friction=friction)), LISTED)
    return found, {name: found[name].holds(value) for name, value in true.items()}


def scattered(seed):
    """A healthy damper as they come out of one box: gas, air, clickers, shims and friction a little off."""
    chance = np.random.default_rng(seed)
    damper, _ = other_shims(LISTED.damper, chance)
    for place, low, high in (("base.needle.pitch", 0.96, 1.04), ("rebound.needle.pitch", 0.96, 1.04),
                             ("pressuriser.charge", 0.92, 1.08), ("air_fraction", 0.6, 2.0)):
        damper = changed(damper, place, float(value_at(damper, place) * chance.uniform(low, high)))
    level = LISTED.seals.sliding * chance.uniform(0.75, 1.35)
    return replace(LISTED, damper=damper), friction_of(level, chance), chance


def faulty(name, seed):
    """Such a damper with a fault, made otherwise than the search makes it where it can be."""
    rig, friction, chance = scattered(seed)
    if name == "worn seal":
        times, damper = chance.uniform(2.5, 5.0), rig.damper
        for valve in ("mid", "rebound"):
            leak = getattr(damper, valve).leak
            damper = changed(damper, f"{valve}.leak", replace(leak, gap=times * leak.gap, eccentricity=0.9))
        return replace(rig, damper=damper), friction
    if name == "bent shim":
        area = chance.uniform(0.6e-6, 2e-6) / 3
        gaps = Hole(diameter=float(np.sqrt(4 * area / np.pi)), length=0.3e-3, count=3, discharge=0.62)
        valve = ("rebound", "base")[chance.integers(2)]
        return replace(rig, damper=changed(rig.damper, f"{valve}.holes", gaps)), friction
    size = {"low oil": (3e-6, 12e-6), "entrained air": (0.025, 0.1), "lost gas": (0.05, 0.45)}
    return (spoilt(rig, name, chance.uniform(*size[name])) if name in size else rig), friction


def named(name, seed):
    """What a test of such a damper is taken for."""
    rig, friction = faulty(name, seed)
    return faults_weighed(reduced(sample_recording(rig, seed, friction=friction)), LISTED)


def main(count):
    whole = [recovered(4000 + seed, seed) for seed in range(count)]
    held, misfit = sum(all(inside.values()) for _, inside in whole), np.mean([found.misfit for found, _ in whole])
    print(f"{held} of {count} tests: all {len(USUAL)} values in their bands; mean misfit {misfit:.2f}")
    for name in USUAL:
        wide = np.median([(found[name].high - found[name].low) / 2 / found[name].value for found, _ in whole])
        held = sum(inside[name] for _, inside in whole)
        print(f"  {name}: in its band {held}, half its band {100 * wide:.1f} % of the value")
    right = [named(name, 7000 + seed).best.name == name for seed in range(4) for name in FAULTS]
    print(f"{sum(right)} of {len(right)} faults named rightly")
    healthy = [named("healthy", 8000 + seed).best.name == "healthy" for seed in range(20)]
    print(f"{sum(healthy)} of {len(healthy)} healthy dampers called healthy")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100)
