"""Set-ups with a name and a date: how a machine stood, on which ground, what was felt, what the ride came to.

A set-up is a small TOML file in the folder `set-ups` of the working folder: one file each, so that two tabs, a restart
or a hand in the folder can only ever touch one of them.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field, fields

from suspedu.data.reader import table_from_text
from suspedu.data.writer import toml_text
from suspedu.machine import Machine
from suspedu.machine.adjusters import ADJUSTERS, Adjuster, adjuster
from suspedu.machine.cautions import pressure_caution, tube_pressures
from suspedu.machine.changing import change, has, range_of, setting
from suspedu.machine.riding import ride
from suspedu.machine.statics import free_sag, rider_sag
from suspedu.ride.outcomes import OUTCOMES, outcomes
from suspedu.school.loop import loop_ground
from suspedu.school.machines import chosen_machine, pressure_at_the_end
from suspedu.school.noticed import noticed
from suspedu.school.turns import MOVES
from suspedu.units import InputError, from_si, parse

SETTINGS = tuple(MOVES)  # what a set-up writes down, in the order of the table
FELT = ("comfort", "body_comfort", "harshness", "kick", "load_variation", "ride_height", "deepest", "dive")
LONGEST = 60  # signs of a name
TYRE = "The tyre's maker sets its least pressure: a rim that meets a rock is no cure."


@dataclass(frozen=True)
class SetUp:
    """One set-up: texts, as they stand in its file and on its card."""

    name: str
    date: str  # year-month-day, as in 2026-11-26
    machine: str
    ground: str = ""
    felt: str = ""
    settings: dict[str, str] = field(default_factory=dict)  # by adjuster: "12 out", "4 mm"
    outcomes: dict[str, str] = field(default_factory=dict)  # by outcome: "7.52 m/s^2"
    stand: dict[str, str] = field(default_factory=dict)  # what is computed or measured on the stand, in words
    cautions: str = ""
    changed: str = ""  # what was turned to come here, in words

    def __post_init__(self):
        if not self.name.strip() or len(self.name) > LONGEST:
            raise InputError(f"a set-up needs a name of 1 to {LONGEST} signs")
        if slip := date_slip(self.date):
            raise InputError(slip)

    def value(self, name: str) -> float:
        """A setting [SI, or clicks]."""
        return value_of(adjuster(name), self.settings[name])

    def outcome(self, name: str) -> float:
        """An outcome of the ride [SI]."""
        unit = OUTCOMES[name].unit
        return parse(self.outcomes[name], unit, name) if unit else float(self.outcomes[name])


def date_slip(text: str) -> str:
    """What is wrong with a date; empty where nothing is.

    >>> date_slip("2026-11-26"), date_slip("26.11.2026")
    ('', "date is '26.11.2026'; write it as year-month-day, as in 2026-11-26")
    """
    try:
        good = datetime.date.fromisoformat(text).isoformat() == text  # weeks and dates without lines are read too
    except ValueError:
        good = False
    return "" if good else f"date is '{text}'; write it as year-month-day, as in 2026-11-26"


def value_of(row: Adjuster, text: str) -> float:
    """What a text says of an adjuster [SI, or clicks].

    Raises: InputError for a text that is none.

    >>> value_of(ADJUSTERS["rebound"], "12 out"), value_of(ADJUSTERS["preload"], "4")
    (12, 0.004)
    """
    plain = " ".join(text.replace(",", ".").split())
    if row.kind == "clicks":
        count = plain.removesuffix("out").removesuffix("clicks").strip()
        if not (count.isascii() and count.isdigit()):
            raise InputError(f"{row.label} is '{text}': expected a whole number of clicks out")
        return int(count)
    number, _, unit = plain.partition(" ")
    return parse(f"{number} {unit or row.unit}", str(row.unit), row.label)


def standing(machine: Machine, typed: dict[str, str]) -> Machine:
    """A machine with adjusters as they were typed; what is empty stays as it stands.

    Parameters: machine; typed, texts by adjuster.
    Raises: InputError, one sentence, for a text that is no value, or one that the machine refuses.

    >>> from suspedu.school.machines import school_machine
    >>> setting(standing(school_machine(), {"preload": "8 mm", "rebound": ""}), "preload")
    0.008
    """
    for name, text in typed.items():
        if text.strip():
            value = value_of(adjuster(name), text)
            low, high = range_of(machine, name)
            if not low <= value <= high:
                row = adjuster(name)
                raise InputError(f"{row.label} is {row.reading(value)}; allowed: {row.shown(low):.3g} to "
                                 f"{row.reading(high)}")
            machine = change(machine, name, value)
    return machine


def today() -> str:
    """The day, as set-ups write it."""
    return datetime.date.today().isoformat()


def noted_setup(name: str, machine: str, typed: dict[str, str], ground: str, felt: str = "", date: str = "",
                 changed: str = "") -> SetUp:
    """Ride a machine as it stands over a ground, and write down all that belongs to it.

    Parameters: name of the set-up; machine, by its id; typed, settings by adjuster; ground of the school, "" for none;
    felt, the rider's own words; date, today's if empty; changed, what was turned to come here.
    Raises: InputError, one sentence.

    >>> made = noted_setup("mud", "enduro", {"rebound": "9"}, "whoops", date="2026-11-26")
    >>> made.settings["rebound"], made.outcomes["ride_height"]
    ('9 out', '73.3 mm')
    """
    usual = chosen_machine(machine)
    made = standing(usual, typed)
    stood = {each: ADJUSTERS[each].reading(setting(made, each)) for each in SETTINGS if has(made, each)}
    return SetUp(name.strip(), date.strip() or today(), machine, ground, felt.strip(), stood,
                 _outcomes(made, ground) if ground else {}, on_the_stand(made), _cautions(usual, made), changed.strip())


def _cautions(usual: Machine, made: Machine) -> str:
    """What a set-up has to be warned of: pressure in the tubes, and less of it in the tyre than the machine came with.
    """
    lower = setting(made, "tyre_pressure") < setting(usual, "tyre_pressure")
    return " ".join(filter(None, [pressure_caution(made), TYRE if lower else ""]))


def _outcomes(machine: Machine, ground: str) -> dict[str, str]:
    found = outcomes(ride(machine, loop_ground(ground)), FELT)
    return {name: _shown(name, value) for name, value in found.items() if value == value}  # nan: not asked there


def _shown(name: str, value: float) -> str:
    unit = OUTCOMES[name].unit
    return f"{from_si(value, unit):.3g} {unit}" if unit else f"{value:.3g}"


def on_the_stand(machine: Machine) -> dict[str, str]:
    """Sags and pressures of a machine, in words with units.

    >>> from suspedu.school.machines import school_machine
    >>> on_the_stand(school_machine())["rider sag"]
    '60 mm, 20 % of the travel'
    """
    def sag(length):
        return f"{from_si(length, 'mm'):.0f} mm, {100 * length / machine.travel:.0f} % of the travel"

    return {"free sag": sag(float(free_sag(machine))), "rider sag": sag(float(rider_sag(machine))),
            "air at full stroke": f"{pressure_at_the_end(machine) / 1e5:.1f} bar, gauge",
            "air in a hard landing": f"{max(map(float, tube_pressures(machine))) / 1e5:.1f} bar, gauge"}


def setup_text(setup: SetUp) -> str:
    """The file of a set-up.

    >>> print(setup_text(SetUp("mud", "2026-11-26", "enduro", settings={"rebound": "9 out"})).splitlines()[-1])
    rebound = "9 out"
    """
    return toml_text({each.name: value for each in fields(setup) if (value := getattr(setup, each.name))})


def setup_from_text(text: str) -> SetUp:
    """The set-up of a file.

    Raises: InputError, one sentence: no TOML, a key that is missing, misspelt or of another kind.

    >>> setup_from_text('name = "mud"\\ndate = "2026-11-26"\\nmachine = "enduro"').machine
    'enduro'
    """
    table, known = table_from_text(text), {each.name: each.type for each in fields(SetUp)}
    for key, value in table.items():
        if key not in known:
            raise InputError(f"{key} is not a key of a set-up; known: {', '.join(known)}")
        texts = value.values() if isinstance(value, dict) else [value]
        if isinstance(value, dict) != known[key].startswith("dict") or not all(isinstance(t, str) for t in texts):
            raise InputError(f"{key} is {value!r}: expected {'a table of texts' if known[key] != 'str' else 'text'}")
    if missing := [key for key in ("name", "date", "machine") if key not in table]:
        raise InputError(f"{missing[0]} is missing")
    return SetUp(**table)


@dataclass(frozen=True)
class Difference:
    """One line of two set-ups side by side."""

    label: str
    first: str
    second: str
    steps: float | None  # what the change is in steps one notices, > 0 for more; None where that is not known


def compared(first: SetUp, second: SetUp) -> list[Difference]:
    """Two set-ups, line by line: what stands otherwise, and what that came to where they rode the same ground.

    >>> one, two = (SetUp("a", "2026-11-26", "enduro", settings={"rebound": at}) for at in ("9 out", "12 out"))
    >>> [(line.label, line.second) for line in compared(one, two)]
    [('Rebound', '12 out')]
    """
    lines = [Difference(ADJUSTERS[name].label, first.settings.get(name, "–"), second.settings.get(name, "–"), None)
             for name in SETTINGS if first.settings.get(name) != second.settings.get(name)]
    names = dict.fromkeys((*first.stand, *second.stand))
    stood = [Difference(name.capitalize(), first.stand.get(name, "–"), second.stand.get(name, "–"), None)
             for name in names if first.stand.get(name) != second.stand.get(name)]
    return [*lines, *stood, *(_ridden(first, second) if comparable(first, second) else [])]


def comparable(first: SetUp, second: SetUp) -> bool:
    """Whether two rides may be held against each other: the same ground, on the same machine.

    >>> comparable(SetUp("a", "2026-11-26", "enduro", "log"), SetUp("b", "2026-11-26", "enduro", "whoops"))
    False
    """
    return bool(first.ground) and (first.ground, first.machine) == (second.ground, second.machine)


def _ridden(first: SetUp, second: SetUp) -> list[Difference]:
    shared = [name for name in FELT if name in first.outcomes and name in second.outcomes]
    return [Difference(OUTCOMES[name].label.capitalize(), first.outcomes[name], second.outcomes[name],
                       (second.outcome(name) - first.outcome(name)) / noticed(name, first.outcome(name)))
            for name in shared]
