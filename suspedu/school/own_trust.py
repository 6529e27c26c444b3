"""What of one's own machine may be trusted: its sags against a tape's, and which unknown value matters most.

Springs, sag and air follow from what can be measured. Damping does not: the valves are the school's, so only its
direction and order hold.
"""

from __future__ import annotations

from dataclasses import dataclass

from suspedu.machine import Machine
from suspedu.machine.adjusters import ADJUSTERS
from suspedu.machine.spring_choice import spring_for_sags
from suspedu.machine.statics import free_sag, rider_sag, sag_band
from suspedu.numerics import remembered
from suspedu.school.own_check import STOCK, FilledForm, _found, checked
from suspedu.school.own_fields import FIELDS
from suspedu.units import InputError, from_si, parse

TAPE = 3e-3  # m by which a tape and a bouncing rider err (guess of the course)
TRUST = ("Springs, sag and air: numbers, as good as what was typed in. Damping: direction and order only. The valves "
         "are the school's, and a click there is another click here; count yours from gently closed; the ride "
         "judges.")


@dataclass(frozen=True)
class AgainstTape:
    """A sag as computed and as measured [m], and how far friction lets it stray."""

    name: str
    computed: float
    low: float
    high: float
    measured: float | None

    @property
    def agrees(self) -> bool:
        """Whether the tape found what the springs say, friction and tape allowed for."""
        return self.measured is None or self.low - TAPE <= self.measured <= self.high + TAPE


@remembered(size=32)
def sags_of(machine: Machine, free: float | None = None, rider: float | None = None) -> tuple[AgainstTape, AgainstTape]:
    """Free sag and rider sag of a machine beside what a tape found.

    Parameters: machine; free, rider, as measured [m].

    >>> from suspedu.school.machines import school_machine
    >>> [each.agrees for each in sags_of(school_machine(), 0.025, 0.080)]
    [True, False]
    """
    found = []
    for name, law, aboard, measured in (("free sag", free_sag, False, free), ("rider sag", rider_sag, True, rider)):
        low, high = sag_band(machine, aboard)
        found.append(AgainstTape(name, float(law(machine)), float(low), float(high), measured))
    return found[0], found[1]


def spring_told_by_tape(machine: Machine, free: float, rider: float) -> str:
    """What spring and preload would give both measured sags, or why none would.

    Parameters: machine; free, rider, as measured [m].

    >>> from suspedu.school.machines import school_machine
    >>> spring_told_by_tape(school_machine(), 0.0265, 0.0601)
    'both sags together ask for 4.0 N/mm and 4 mm of preload in each leg'
    """
    try:
        rate, preload = spring_for_sags(machine, machine.rider.mass, rider, free)
    except InputError as refusal:
        return f"no spring gives both sags: {refusal}"
    if not (0.0 <= preload <= ADJUSTERS["preload"].high):
        return (f"no spring with a collar's preload gives both sags (it would be {from_si(float(rate), 'N/mm'):.1f} "
                f"N/mm and {from_si(float(preload), 'mm'):.0f} mm): measure them again, or look at friction and masses")
    return (f"both sags together ask for {from_si(float(rate), 'N/mm'):.1f} N/mm and "
            f"{from_si(float(preload), 'mm'):.0f} mm of preload in each leg")


@dataclass(frozen=True)
class Doubt:
    """A value that is the school's, how far one's own may be from it [its unit], and what that does to the sag [m]."""

    key: str
    by: float
    sag: float


def doubts(name: str, typed: dict[str, str], found: FilledForm) -> tuple[Doubt, ...]:
    """Which unknown values move the rider sag, most first: what to measure next.

    Parameters: name, typed, as `checked` takes them; found, what it answered without problems.
    """
    if found.machine is None:
        return ()
    usual = float(rider_sag(found.machine))
    told = []
    for key in found.assumed:
        by, unit = FIELDS[key].doubt, FIELDS[key].unit
        if not by:
            continue
        moved = _moved(name, typed, key, from_si(parse(_found(found.table, key), unit, key), unit) + by)
        if moved is not None:
            told.append(Doubt(key, by, float(rider_sag(moved)) - usual))
    return tuple(sorted(told, key=lambda one: -round(abs(one.sag), 6)))


def _moved(name: str, typed: dict[str, str], key: str, value: float) -> Machine | None:
    return checked(name, typed | {STOCK: typed.get(STOCK, ""), key: f"{value:.6g}"}).machine
