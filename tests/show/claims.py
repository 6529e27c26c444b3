"""Every claim in a panel's sentence, held against the numbers beside it: what may be said, and when.

A word that compares or judges (WORDS) must stand inside a claim of its panel; a claim is a pattern, and what must be
true of a case in which it is said. What is held is read from the sentence and the key numbers themselves, or computed
from other settings of the same panel, never asked of what wrote the sentence.
"""

import re
from dataclasses import dataclass, replace

import numpy as np
import pytest

from suspedu.damper import leg_force
from suspedu.machine import ADJUSTERS, adjusted, free_sag, hanging_stroke, rider_sag, sag_band
from suspedu.machine.spring_bands import ENERGY_BAND, FREE_BAND, RIDER_BAND, energy_per_kilogram
from suspedu.school import school_machine, set_machine
from suspedu.school.chart import minutes
from suspedu.school.jobs import HALVES
from suspedu.school.loop import ridden
from suspedu.units import STANDARD_GRAVITY, InputError

WORDS = re.compile(r"\b(more|less|most|mostly|least|hardly|whatever|any other|never|always|nothing|none|nobody|"
                   r"no other|little|thicker|thinner|stiffer|softer|deeper|higher|lower|harsher|kinder|as before|"
                   r"alike|keeps up|too (?:late|small|soft|stiff)|far from|close to|as much|calmest|nearest|hardest|"
                   r"fast for)\b")
TRAVEL, COLLAR = 300.0, range(2, 16)  # mm


@dataclass
class Case:
    """A panel at one setting, and what it shows there."""

    panel: object
    values: dict
    view: object

    def n(self, label: str) -> float:
        """The first number of a key number."""
        return numbers_in(dict(self.view.numbers)[label])[0]

    def item(self, name: str):
        return next(item for item in self.view.items if item.name == name)

    def at(self, **other) -> "Case":
        """The same panel at another setting."""
        return replace(self, view=self.panel.view(**self.values | other), values=self.values | other)


def numbers_in(text: str) -> list[float]:
    return [float(found.replace("−", "-")) for found in re.findall(r"(?<![A-Za-z\d.])[-+−]?\d+(?:\.\d+)?", text)]


def numeric(test):
    """A claim on the numbers of its own words."""
    return lambda case, found: test(*numbers_in(found.group()))


def numeric_groups(test):
    """A claim on the numbers that its pattern picks out of its words."""
    return lambda case, found: test(*map(float, found.groups()))


# springs: whether a spring suits, from sags and energies that the panel shows at each preload of a collar


def all_right(case: Case) -> bool:
    """Both sags and the energy within their bands, as they are printed."""
    share = case.n("Rider sag") / TRAVEL, case.n("Free sag") / TRAVEL
    rounding = 0.06 / TRAVEL
    within = [low - rounding <= part <= high + rounding
              for part, (low, high) in zip(share, (RIDER_BAND, FREE_BAND), strict=True)]
    energy = case.n("Energy to bottom, for each kilogram") / float(energy_per_kilogram(school_machine()))
    return all(within) and abs(energy - 1.0) <= ENERGY_BAND + 0.002


def suits(case: Case) -> bool:
    return any(all_right(case.at(preload=preload)) for preload in COLLAR)


def lowest_above(case: Case, slowest: float, fastest: float) -> tuple[float, float]:
    """Where the drawn pressure above the mid-valve's piston is lowest between two speeds [m/s, bar]."""
    curve = case.item("held")
    within = np.flatnonzero((curve.x >= slowest) & (curve.x <= fastest) & np.isfinite(curve.y))
    least = within[np.argmin(curve.y[within])]
    return float(curve.x[least]), float(curve.y[least])


def range_of(found) -> tuple[float, float]:
    given = numbers_in(found.group())
    return given[0], given[-1]


def put_right(way):
    """That some preloads put all right, and that they lie on that side of the present one."""
    def holds(case, found):
        low, high = range_of(found)
        beyond = case.values["preload"] < low if way == "more" else case.values["preload"] > high
        return beyond and all_right(case.at(preload=low)) and all_right(case.at(preload=high))
    return holds


def no_preload(way):
    def holds(case, found):
        soft, stiff = numbers_in(dict(case.view.numbers)["Springs sold that suit this rider"])[:2]
        rate = case.values["coil_rate"]
        return numbers_in(found.group())[:2] == [2, 15] and (rate < soft if way == "stiffer" else rate > stiff) and (
            not any(all_right(case.at(preload=preload)) for preload in COLLAR if not near_an_edge(case, preload)))
    return holds


def near_an_edge(case: Case, preload: float) -> bool:
    """Whether a printed number lies so near an end of its band that rounding decides."""
    other = case.at(preload=preload)
    shown = [other.n("Rider sag") / TRAVEL, other.n("Free sag") / TRAVEL]
    edges = [abs(part - end) < 0.1 / TRAVEL for part, band in zip(shown, (RIDER_BAND, FREE_BAND), strict=True)
             for end in band]
    energy = other.n("Energy to bottom, for each kilogram") / float(energy_per_kilogram(school_machine()))
    return any(edges) or abs(abs(energy - 1.0) - ENERGY_BAND) < 0.004


def machine_suits(case: Case) -> bool:
    """Whether the spring of the whole fork suits at some preload: sags and energies of the library."""
    given = {name: case.values[name] for name in ("rider_mass", "coil_rate", "oil_height")}
    fork = adjusted(set_machine(case.values["machine"], **given), preload=np.array(COLLAR) / 1e3)
    within = [(low <= sag(fork) / fork.travel) & (sag(fork) / fork.travel <= high)
              for sag, (low, high) in ((rider_sag, RIDER_BAND), (free_sag, FREE_BAND))]
    energy = energy_per_kilogram(fork) / energy_per_kilogram(school_machine(case.values["machine"]))
    return bool((within[0] & within[1] & (np.abs(energy - 1.0) <= ENERGY_BAND)).any())


# rides


def strongest(case, found) -> bool:
    """No other adjuster of the table moves the outcome further."""
    moved = [abs(numbers_in(text)[0]) for _, text in case.view.numbers]
    return abs(numbers_in(found.group(1))[0]) >= max(moved) - 1e-9


def quickest(case, found) -> bool:
    """For a minute of work nothing moves the outcome further than the one that the sentence names."""
    by_label = {row.label.partition(",")[0].lower(): minutes(name) for name, row in ADJUSTERS.items() if name in HALVES}
    each = {label: abs(numbers_in(text)[0]) / by_label[label.partition(",")[0].lower()]
            for label, text in case.view.numbers}
    named = found.groupdict().get("name") or re.search(r"range, ([^,]+),", case.view.sentence).group(1)
    mine = next(value for label, value in each.items() if label.lower().startswith(named.lower()))
    return mine >= 0.98 * max(each.values())  # printed to two digits


def follows(case, _) -> bool:
    """How far the wheel's path leaves the ground in the window that is seen, against the ground's height there."""
    ground, wheel = case.item("ground").y, case.item("wheel").y
    off = np.sqrt(np.mean((wheel - wheel.mean() - ground + ground.mean()) ** 2)) / max(np.std(ground), 1e-9)
    return off < 0.25


def fixed_point(case, found) -> bool:
    other = case.at(rate=16 if case.values["rate"] < 12 else 8, damping=3000 if case.values["damping"] < 2000 else 800)
    return all(case.n(label) == other.n(label) for label in ("Fixed point", "Fixed point at"))


def upwards(way: str, speed: str) -> float:
    return float(speed) if way == "rise" else -float(speed)


def ridden_there(case):
    """The ride that a panel of the grounds tells of, by the machine's own law."""
    values = {"tyre_pressure": 1.0} | case.values
    machine = adjusted(school_machine(), tyre_pressure=1e5 * values["tyre_pressure"])
    return ridden(machine, values.get("kind") or values["ground"], values["speed"] / 3.6)


def at_the_end(done) -> tuple[bool, bool]:
    """Whether the tyre is squashed to its rim, and the fork pushed beyond its travel."""
    squash, stroke = (done.road - done.wheel_height).max(), done.stroke.max()
    return squash > done.vehicle.tyre.rim_squash, stroke > TRAVEL / 1e3


def no_room(case, _) -> bool:
    try:
        ridden_there(case)
    except InputError:
        return case.view.numbers[-2][1] == "not ridden"
    return False


NOT_RIDDEN = [
    (r"(The tyre is pressed to its rim)?(?: and )?([Tt]he fork ends metal on metal)? on the way: nobody rides it like ",
     lambda case, found: at_the_end(ridden_there(case)) == tuple(group is not None for group in found.groups())),
    (r"\.$", lambda case, _: "nobody rides" in case.view.sentence or not any(at_the_end(ridden_there(case)))),
]


# dampers against each other, and other shims


def in_order(case, found) -> bool:
    """All that is named keeps to the hands' limit, and stands in the order of what it reaches, the best first."""
    rows = {label: text for label, text in case.view.numbers if text != "not reached"}
    sentence = case.view.sentence.replace("-shimmed, ", "-shimmed ").replace("turned, ", "turned ")
    told = {label: sentence.find(f"the {label[0].lower()}{label[1:]} ") for label in rows}
    named = sorted((label for label in rows if told[label] >= 0), key=lambda label: told[label])
    values = [numbers_in(rows[label])[0] for label in named]
    places = [each.x for each in case.view.items if each.name.endswith(" here")]
    within = len(places) >= len(named) > 0 and max(places) <= float(found.group(1)) + 0.006
    return within and values == sorted(values, reverse=case.values["against"] == "spare")


def not_reached(case, found) -> bool:
    rows = dict(case.view.numbers)
    missing = {label for label, text in rows.items() if text == "not reached" and "better leg" not in label}
    return all(f"{label[0].lower()}{label[1:]}" in found.group(1) for label in missing) and bool(missing)


def beyond_drawer(case) -> bool:
    wanted, drawer = case.item("wanted").y, case.item("drawer").y
    least, most = drawer[: len(wanted)], drawer[len(wanted):][::-1]
    return bool(((1.1 * wanted < least) | (0.9 * wanted > most)).any())


COMMON = [
    (r"reach ([\d.]+) bar, above the ([\d.]+) bar", numeric(lambda reached, limit: reached > limit)),
    (r"come just above the [\d.]+ bar", numeric(lambda limit: limit > 0)),
]


def cold_hot(case) -> list[float]:
    """Per cent of the six changes: cold and hot, at three speeds."""
    return [abs(float(part)) for part in re.findall(r"[−+]([\d.]+)(?= and| %)", case.view.sentence)]


def base_change(case, speed: str) -> float:
    found = re.search(rf"([−+]\d+) % at {speed} m/s", case.view.sentence)
    return numbers_in(found.group(1))[0] if found else 0.0


def lead_of_rebound(case, speed: float) -> float:
    """Rebound less compression of both legs [N] at a speed [m/s], by the damper's own law."""
    clicks = {name: case.values[name] for name in ("rebound", "compression_low")}
    fitted = set_machine(**clicks).legs[0].damper
    going_in, coming_out = leg_force(0.15, np.array([speed, -speed]), fitted.unit, fitted.oil,
                                     fitted.oil_temperature).damping_force
    return -coming_out - going_in


def stroke_after(case, seconds: float) -> float:
    shown = case.item("stroke")
    return float(np.interp(seconds, shown.x, shown.y))


def held_by_friction(case) -> list[float]:
    """Strokes [mm] at which springs, load and friction of the machine leave it standing."""
    machine = set_machine(coil_rate=case.values["coil_rate"])
    return [1e3 * float(hanging_stroke(machine) + sag) for sag in sag_band(machine)]


CLAIMS = {
    "air-spring": [
        (r"It is \d+ % of the whole after one third and \d+ % at the end: the deeper the stroke, the more of what the "
         r"rider meets is air", numeric(lambda third, end: end > third)),
    ],
    "bushings": [(r"rub with \d+ N as they slide, \d+ % of it in the bushings, and hold .* up to \d+ N",
                  numeric(lambda slide, share, hold: hold >= slide and share <= 100))],
    "oil-filled": [(r"presses it to ([\d.]+) bar, below the ([\d.]+) bar", numeric(lambda peak, limit: peak <= limit))],
    "sag": [
        (r"are right: spring and preload suit this rider", lambda case, _: all_right(case)),
        (r"More preload, and the spring may stay: [\d.]+(?: to [\d.]+)? mm of it put sags and energy to bottom right",
         put_right("more")),
        (r"Less preload, and the spring may stay: [\d.]+(?: to [\d.]+)? mm of it put sags and energy to bottom right",
         put_right("less")),
        (r"At no preload from 2 to 15 mm are sags and energy to bottom all right: a stiffer spring",
         no_preload("stiffer")),
        (r"At no preload from 2 to 15 mm are sags and energy to bottom all right: a softer spring",
         no_preload("softer")),
        (r"run from ([\d.]+) N/mm \(the next softer one [^.]*\) to ([\d.]+) N/mm \(the next stiffer one",
         lambda case, found: numbers_in(dict(case.view.numbers)["Springs sold that suit this rider"])[:2]
         == [float(part) for part in found.groups()]),
    ],
    "whole-fork": [
        (r"both as the school likes them", lambda case, _: True),
        (r"the spring suits, with more preload", lambda case, _: machine_suits(case)),
        (r"the spring suits, with less preload", lambda case, _: machine_suits(case)),
        (r"the spring is too (?:soft|stiff) for this rider", lambda case, _: not machine_suits(case)),
        (r"fed (\d+) J, as much as lifting (\d+) kg", numeric(
            lambda work, mass: abs(work / STANDARD_GRAVITY - mass) < 0.56)),
    ],
    "base-valve": [
        (r"A dive \(0.25 m/s\) meets more force", lambda case, _: base_change(case, "0.25") >= 5),
        (r"A dive \(0.25 m/s\) meets less force", lambda case, _: base_change(case, "0.25") <= -5),
        (r"A dive \(0.25 m/s\) meets much the same force", lambda case, _: abs(base_change(case, "0.25")) <= 5),
        (r"a fast bump \(3 m/s\) more force", lambda case, _: base_change(case, "3") >= 5),
        (r"a fast bump \(3 m/s\) less force", lambda case, _: base_change(case, "3") <= -5),
        (r"a fast bump \(3 m/s\) much the same force", lambda case, _: abs(base_change(case, "3")) <= 5),
        (r"how much of that reaches the hands, only a ride tells", lambda case, _: True),  # and claims nothing of it
        (r"Nobody prints", lambda case, _: True),  # of what is in print, not of a number
    ],
    "cutaway": [(r"sets (\d+) N, (\d+) N of it from the end stop", numeric(lambda whole, stop: stop <= whole))],
    "stroke-film": [(r"sets (\d+) N, (\d+) N of it from the end stop", numeric(lambda whole, stop: stop <= whole))],
    "dampers": [(r"grows (\d+) times with plain holes, and (\d+) times in the closed cartridge",
                 numeric(lambda rod, closed: rod > closed))],
    "end-stop": [
        (r"take ([\d.]+) J out over the last \d+ mm, as if a mass of ([\d.]+) (k?g) were caught from one metre",
         lambda case, found: (lambda work, mass, half: case.n("Work of the end stops over the zone") == work and abs(
             work / STANDARD_GRAVITY - mass) <= half and mass > 0)(float(found[1]), float(found[2]) * (
                 1.0 if found[3] == "kg" else 1e-3), 0.006 if found[3] == "g" else 0.102 if "." in found[2] else 0.56)),
        (r"Before those last millimetres the rider feels nothing of them", lambda case, _: np.array_equal(
        *(case.item(name).y[case.item(name).x < TRAVEL - case.values["zone"] - 0.1] for name in ("damped", "whole")))),
    ],
    "mid-valve": [
        (r"from 1 to 6 m/s the pressure .* never falls below ([\d.]+) bar, (far from|close to) tearing",
         lambda case, found: (found[2] == "far from") == (lowest_above(case, 1.0, 6.0)[1] > 2.0) and abs(
             lowest_above(case, 1.0, 6.0)[1] - float(found[1])) <= 0.051),
        (r"The dip to ([\d.]+) bar at ([\d.]+) m/s is .* it passes as the leg gets faster", lambda case, found: (
            lowest_above(case, 0.0, 0.99)[1] == pytest.approx(float(found[1]), abs=0.051)
            and lowest_above(case, 0.0, 0.99)[0] == pytest.approx(float(found[2]), abs=0.0051)
            and lowest_above(case, 0.0, 0.0)[1] > lowest_above(case, 0.0, 0.99)[1] < lowest_above(case, 1.0, 6.0)[1])),
        (r"from ([\d.]+) m/s the oil above the piston is torn",
         lambda case, found: case.n("The oil tears at") == float(found.group(1))),
    ],
    "damper-test": [
        (r"takes ([\d.]+) J out of a cycle, against ([\d.]+) J when sound; .* open by ([\d.]+) N, against ([\d.]+) N",
         lambda case, found: case.values["fault"] != "healthy" and found.groups() == tuple(
             text.split()[0] for label in ("Work of a cycle", "The loop stands open by")
             for text in dict(case.view.numbers)[label].split("; sound: "))),
        (r"A sound cartridge takes ([\d.]+) J out of a cycle; .* open by ([\d.]+) N", lambda case, found:
         (case.n("Work of a cycle"), case.n("The loop stands open by")) == tuple(map(float, found.groups()))),
    ],
    "velocity-window": [
        (r"leaves ([\d.]+) % of this velocity, and noise of ([\d.]+) mm/s in it", lambda case, found:
         case.n("Noise of the velocity") == float(found[2]) and case.n("Left of it by the window") == float(found[1])
         and abs(np.max(np.abs(case.at(noise=0).item("read").y)) / case.n("Greatest velocity, true") * 100
                 - float(found[1])) < 5),  # the true one stands there in hundredths, from 0.13 m/s on
    ],
    "pushed-loop": [
        (r"With \d+ % .* takes ([\d.]+) J out, .* ([\d.]+) ms late; bled, it would be ([\d.]+) J and ([\d.]+) ms",
         lambda case, found: case.n("Work of a cycle") == float(found[1]) < float(found[3])
         and case.n("The force comes late by") == float(found[2]) > float(found[4])),
    ],
    "pulled-down": [
        (r"Rebound takes more out than compression, .* (\d+) mm lower", lambda case, found: (
            case.n("Lower than at rest") == float(found.group(1)) > 0)),
        (r"Compression takes more out than rebound, (\d+) N against (\d+) N .* the front rides (\d+) mm higher",
         lambda case, found: case.n("Lower than at rest") == -float(found[3]) < 0 and abs(
             case.n("Mean damping force") - (float(found[1]) - float(found[2])) / 2) <= 1.01),
        (r"at these clicks rebound is the stronger one only from ([\d.]+) m/s on", lambda case, found: (
            lead_of_rebound(case, 0.9 * (float(found[1]) - 0.005)) <= 0 <= lead_of_rebound(
                case, 1.02 * (float(found[1]) + 0.005)))),
        (r"at these clicks rebound is the stronger one at no speed", lambda case, _: max(
            lead_of_rebound(case, speed) for speed in (0.02, 0.1, 0.5, 2.0)) < 0),
        (r"dampers hardly pull", lambda case, _: abs(case.n("Lower than at rest")) <= 1),
        (r"at ([\d.]+) m/s and the bumps ask for ([\d.]+): the tyre keeps up",
         numeric(lambda can, asked: can >= asked)),
        (r"at ([\d.]+) m/s and the bumps ask for ([\d.]+): the wheel comes too late",
         numeric(lambda can, asked: can <= asked)),
    ],
    "rebound": [
        (r"does not come up: .* rests at (\d+) mm, deeper still", lambda case, found: (
            float(found.group(1)) >= case.values["depth"])),
        (r"after more than 1.2 s", lambda case, _: case.item("stroke").x[-1] <= 1.2),
        (r"it creeps up, and", lambda case, _: stroke_after(case, 0.6) >= held_by_friction(case)[1] - 0.05),
        (r"comes up to (\d+) mm in the time that is shown, (\d+) mm below its rest", lambda case, found: abs(
            case.item("stroke").y[-1] - float(found[1])) <= 0.51 and abs(
            float(found[1]) - float(found[2]) - case.item("rest").y[0]) <= 1.01),
        (r"a matter of friction, which may hold it anywhere from (\d+) to (\d+) mm, and not of rebound",
         lambda case, found: np.allclose(held_by_friction(case), [float(found[1]), float(found[2])], atol=0.51)
         and stroke_after(case, 0.6) <= held_by_friction(case)[1] + 0.05),
        (r"swings (\d+) mm past its rest: the bars bob", numeric(lambda over: over >= 5)),
        (r"swings (\d+) mm past its rest: one small swing", numeric(lambda over: 1 <= over <= 5)),
        (r"The wheel needs .* and the rider less travel", lambda case, _: case.item("stroke").y[0] > case.item(
            "stroke").y[-1]),
    ],
    "refill": [
        (r"\w+ holes of ([\d.]+) mm .* with [\d.]+ % of the rebound force, and ([\d.]+) mm would still do: the rider "
         r"does not feel the stop", lambda case, found: case.n("Smallest holes that will do") == float(found.group(2))
         <= float(found.group(1)) and case.n("Share of the rebound force") <= 5.0),
        (r"\w+ holes of ([\d.]+) mm .* but holes below ([\d.]+) mm are too small",
         lambda case, found: float(found.group(1)) < float(found.group(2)) == case.n("Smallest holes that will do")),
    ],
    "shim-stack": [
        (r"the same stack, stiffer the further it stretches", lambda case, _: numbers_in(
            dict(case.view.numbers)["Largest bend over thickness; held by stretch"])[1] > 1),
        (r"bent to ([\d.]+) times its fatigue limit", numeric(lambda share: share >= 1.0)),
        (r"gap closes at ([\d.]+) bar and is still open", lambda case, found: (
            case.values["pressure"] <= float(found.group(1)) + 0.05)),
        (r"gap closes at ([\d.]+) bar and is shut: now all shims work", lambda case, found: (
            case.values["pressure"] >= float(found.group(1)) - 0.05)),
    ],
    "shim-stress": [
        (r"from the face bears most", lambda case, _: float(re.search(
            r"bears most, ([\d.]+) MPa", case.view.sentence).group(1)) == max(
                (numbers_in(text)[0] for _, text in case.view.numbers if text.endswith("MPa")), default=0)),
        (r"(\d+) % of what spring steel stands .*: it may bend so for ever", numeric(lambda share, _: share <= 100)),
        (r"(\d+) % of what spring steel stands .*: it will crack", numeric(lambda share, _: share >= 100)),
    ],
    "taper": [
        (r"takes ([\d.]+) % .* and ([\d.]+) % as the last one .* counts ([\d.]+) times as much", lambda case, found: (
            lambda face, last, times: (face - 0.05) / (last + 0.05) - 0.05 <= times <= (face + 0.05) / (
                last - 0.05) + 0.05)(*map(float, found.groups()))),
        (r"takes ([\d.]+) % .* and ([\d.]+) % as the last one .* counts no more than the last", numeric_groups(
            lambda face, last: abs(face / last - 1.0) <= 0.05 + 0.05 * (1.0 / face + 1.0 / last))),
        (r"and less than 0.1 % as the last one", lambda case, _: case.view.numbers[-1][1] in ("0.0 %", "0.1 %")),
    ],
    "cold-and-hot": [
        (r"on bumps too", lambda case, _: max(cold_hot(case)[2:4]) >= 9.95),
        (r"(?:too fast|wallow), and", lambda case, _: max(cold_hot(case)[2:4]) <= 10.05),
        (r"dive and wallow", lambda case, _: case.values["direction"] == "compression"),
        (r"a little on square edges", lambda case, _: max(cold_hot(case)[4:]) <= 10.05),
        (r"less, but still, on square edges", lambda case, _: max(cold_hot(case)[4:]) <= max(cold_hot(case)[:2]) + 0.5),
        (r"just as much on square edges", lambda case, _: max(cold_hot(case)[4:]) >= max(cold_hot(case)[:2]) - 0.5),
    ],
    "needle": [(r"Closed, the needle passes nothing", lambda case, _: case.item("flow").y[0] == 0), (
        r"the second click out added (\d+) %, the last one adds ([\d.]+) %", numeric(
        lambda second, last: second > last)), (
        r"adds (\d+) % to the flow at 5 bar; it is the second click out, the last one adds ([\d.]+) %",
        lambda case, found: case.values["clicks"] == 1 and float(found[1]) > float(found[2]))],
    "restriction": [
        (r"grows ([\d.]+) times, so thickness of the oil counts", numeric(lambda grown: grown >= 1.25)),
        (r"grows ([\d.]+) times, so size counts, and thickness of the oil little",
         numeric(lambda grown: grown <= 1.25)),
    ],
    "oil-viscosity": [
        (r"hold ([\d.]+) and ([\d.]+) mm²/s, and the can that says 10W holds ([\d.]+), thinner than one of them",
         lambda case, found: (lambda a, b, c: min(a, b) <= c <= max(a, b))(*map(float, found.groups()))),
        (r"hold ([\d.]+) and ([\d.]+) mm²/s, and the can that says 10W holds ([\d.]+), thinner than both",
         lambda case, found: (lambda a, b, c: c <= min(a, b))(*map(float, found.groups()))),
        (r"hold ([\d.]+) and ([\d.]+) mm²/s, and the can that says 10W holds ([\d.]+), thicker than both",
         lambda case, found: (lambda a, b, c: c >= max(a, b))(*map(float, found.groups()))),
    ],
    "adjusters": [
        (r"taken through half of its usable range, .* moves the .* most: by ([^,]+)", strongest),
        (r"Nothing moves more for a minute of work", quickest),
        (r"For a minute of work (?P<name>.+) moves more", quickest),
        (r"([\d.]+) times what is noticed, so no adjuster here is felt", numeric(lambda times: times < 1.05)),
        (r"gets worse by ([\d.]+) times what is noticed", numeric(lambda times: times >= 0.95)),
        (r"it costs nothing elsewhere that is noticed|It costs nothing elsewhere that is noticed", lambda case, _: all(
            item.x.min() > -1.0 for item in case.view.items if item.name.startswith("cost worse"))
         or "own reverse" in case.view.sentence),
        (r"leaves travel unused on landings|least|most", lambda case, _: True),  # names of complaints
    ],
    "force-spread": [
        (r"spread by ([\d.]+) ± ([\d.]+) % .* slopes say ([\d.]+) %, within two", numeric(
            lambda drawn, error, force, slopes: abs(drawn - slopes) <= 2 * error + 0.021)),
        (r"spread by ([\d.]+) ± ([\d.]+) % .* slopes say ([\d.]+) %, not within two", numeric(
            lambda drawn, error, force, slopes: abs(drawn - slopes) >= 2 * error - 0.021)),
        (r"makes? (\d+) % of the variance", lambda case, found: abs(float(found.group(1)) - max(
            item.y.max() for item in case.view.items if item.name.startswith("share"))) <= 0.51),
        (r"nothing strays", lambda case, _: case.n("Spread, by slopes") == 0.0),
    ],
    "sampling-plan": [
        (r"never more than ([\d.]+) % go out, whatever comes in", lambda case, found: case.item(
            "goes out").y.max() <= float(found.group(1)) + 0.006 > 0.006),
        (r"so nothing that is wrong goes out", lambda case, _: (
            case.item("goes out").y.max() < 1e-9 and case.n("Looked at on average (ATI)") == case.values["lot"])),
    ],
    "quality-chain": [
        (r"±(\d+) µm costs least, ([\d.]*\d)", lambda case, found: (lambda tops: (
            min(tops.values()) == tops[int(found.group(1))] and abs(tops[int(found.group(1))] - float(
                found.group(2))) < 0.006 and abs(tops[case.values["tolerance"]] - case.n(
                    "Cost of quality, each damper")) < 0.006))(
                        {grade: case.item(f"external {grade}").y.max() for grade in range(4, 20, 3)})),
        (r"The hardest and the softest of \d+ that go out differ by ([\d.]+) of what is noticed: nobody",
         numeric(lambda dampers, felt: felt <= 0.755)),
        (r"The hardest and the softest of \d+ that go out differ by ([\d.]+) of what is noticed: hardly anybody",
         numeric(lambda dampers, felt: 0.745 <= felt <= 1.005)),
        (r"The hardest and the softest of \d+ that go out differ by ([\d.]+) of what is noticed: a rider may",
         numeric(lambda dampers, felt: felt >= 0.995)),
    ],
    "frontiers": [
        (r"With ([\d.]+) m/s² in the hands the", in_order),
        (r"none of these dampers can be had: ([\d.]+) m/s² is what the easiest gives", lambda case, found: all(
            text == "not reached" for label, text in case.view.numbers if "better leg" not in label)
            and float(found.group(1)) >= case.values["hands"] - 0.006),
        (r"that is ([\d.]+) of a step that a rider notices: nobody would", numeric(lambda steps: steps <= 1.0)),
        (r"that is ([\d.]+) steps that a rider notices", numeric(lambda steps: steps >= 1.0)),
        (r"Not that easy on the hands: the (.*)\.$", not_reached),
    ],
    "revalve": [
        (r"stays within (\d+) % of the wanted force", lambda case, found: float(found.group(1)) - 1.0 - 1e-6 <= np.abs(
            case.item("misses").y).max() <= float(found.group(1)) + 1e-6),
        (r"misses by more than a tenth between ([\d.]+) and ([\d.]+) m/s", lambda case, found: np.abs(np.interp(
            [float(part) for part in found.groups()], case.item("misses").x, case.item("misses").y)).min() > 9.0),
        (r"no stack of this drawer reaches it", lambda case, _: beyond_drawer(case)),
        (r"hard enough and soft enough for it, but none of that shape", lambda case, _: not beyond_drawer(case)),
        (r"bent to ([\d.]+) times its fatigue limit \(the present one: ([\d.]+)\)", lambda case, found: (
            case.n("Stress at 2 m/s, now") >= 1.0 and all(
                abs(case.n(f"Stress at 2 m/s, {when}") - float(told)) <= 0.055
                for when, told in zip(("now", "before"), found.groups(), strict=True)))),
    ],
    "compromise": [
        (r"(\d+) settings tried (\d+) are beaten by no other", numeric(lambda tried, left: 0 < left <= tried)),
        (r"Up to a throw of ([\d.]+) m/s the calmest", lambda case, found: case.n("Throw") <= float(found.group(1))
         and case.n("Shake, weighted") == round(min(case.item("front").x[
             np.round(case.item("front").y, 2) <= case.values["most_kick"]]), 2)),
        (r"Not one of them keeps to a throw of ([\d.]+) m/s; the one that comes nearest, ([\d.]+),",
         lambda case, found: float(found[1]) < float(found[2]) == round(case.item("front").y.min(), 2)),
    ],
    "damping-compromise": [
        (r"It lies above both", lambda case, _: case.values["damping"] >= max(
            case.n("Most comfort at"), case.n("Most grip at")) - 1),
        (r"It lies below both", lambda case, _: case.values["damping"] <= min(
            case.n("Most comfort at"), case.n("Most grip at")) + 1),
        (r"more damping always uses less travel: none is best for all three", lambda case, _: (
            np.all(np.diff(case.item("travel").y[np.isfinite(case.item("travel").y)]) <= 1e-9)
            and case.n("Most comfort at") < case.item("travel").x[-1])),
    ],
    "packing": [
        (r"keeps (\d+) mm in hand", numeric(lambda left: left >= 0)),
        (r"The hardest hit on the bars is (\d+) m/s²", numeric(lambda hit: hit > 0)),
    ],
    "quarter-vehicle": [(r"no spring and no damper changes what you feel", fixed_point)],
    "shaft-speeds": [*NOT_RIDDEN, (
        r"It is fast for ([\d.]+) % of the time and makes (\d+) %", lambda case, found: case.n("Time fast") == float(
            found.group(1)) and abs(case.n("Heat made fast") - float(found.group(2))) < 0.56)],
    "terrain": [
        (r"the tyre follows nearly all of it", follows),
        (r"the tyre rounds it off", lambda case, _: not np.array_equal(case.item("ground").y, case.item("wheel").y)),
        *NOT_RIDDEN,
        (r"To brake on these bumps from so fast there is no room: nobody rides that", no_room),
        (r"goes in at up to ([\d.]+) m/s: there the wheel (rise|sink)s at ([\d.]+) m/s and the bars (rise|sink) at "
         r"([\d.]+) m/s", lambda case, found: abs(float(found[1]) - case.n("Fastest compression of the shaft, ridden"))
         < 0.051 and abs(float(found[1]) * np.cos(school_machine().chassis.rake) - upwards(found[2], found[3])
                         + upwards(found[4], found[5])) < 0.16),
    ],
}
HELD_ELSEWHERE = {"bench"}  # tests/show/test_bench.py holds each of its claims


def unheld(panel, values: dict, view) -> list[str]:
    """What a sentence claims against its numbers, and what it claims that nobody holds."""
    if panel.id in HELD_ELSEWHERE or "cannot be judged" in view.sentence:
        return []
    case, spans, said = Case(panel, dict(values), view), [], []
    for pattern, holds in [*COMMON, *CLAIMS.get(panel.id, [])]:
        for found in re.finditer(pattern, view.sentence):
            spans.append(found.span())
            if not holds(case, found):
                said.append(f"{values}: {found.group()!r} is not so")
    loose = [word.group() for word in WORDS.finditer(view.sentence)
             if not any(low <= word.start() and word.end() <= high for low, high in spans)]
    return said + [f"{values}: nobody holds {word!r} in {view.sentence!r}" for word in loose]
