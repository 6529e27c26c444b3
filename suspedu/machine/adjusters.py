"""The one table of everything on a machine that can be changed.

A row says what an adjuster is called, where it sits, how far it goes, which way is "more" and who turns it. A new
adjuster is a new row: `changing` (the one way to change a machine), the rider's chart and the machine files ask this.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from suspedu.parts.air_spring import oil_volume
from suspedu.parts.springs import spring_rate
from suspedu.spelling import readable
from suspedu.units import InputError, from_si, nearest, to_si

CLICKS = "clicks"  # the unit of a clicker: counted out from gently closed
LEG, DAMPER = "legs.", "legs.damper.unit."  # the ways that lead to one leg, and to what is inside its damper


@dataclass(frozen=True, kw_only=True)
class Adjuster:
    """One thing on a machine that can be changed: a quantity [SI], a clicker [clicks out], or (without unit) a part.

    low and high are what a workshop usually meets; what cannot be at all, the part itself refuses.
    """

    name: str
    label: str  # as it stands over a slider
    short: str  # as it stands beside a bar
    place: str  # see suspedu.changes
    unit: str | None = None  # for people; "clicks" for a clicker, None for a part
    low: float = np.nan  # SI, or clicks
    high: float = np.nan
    fine: float = np.nan  # raster of a slider: SI, or clicks
    more: str = ""  # what a larger value does
    hand: str = ""  # who changes it: "by hand", "with tools", "workshop"; "" where it is found and not set
    step: float = 0.0  # SI, or clicks: one turn of a mechanic's hand, in the direction that is called one step more
    step_text: str = ""  # that step in words
    one_more: str = ""  # the same with what is turned
    one_less: str = ""
    reach: int = 1  # steps either way over which a slope is taken, to rise above a ride's roughness
    charted: bool = False  # whether the rider's chart compares it with the others
    read: Callable[..., float] | None = None  # of a leg, where more than one value of the part says how it stands
    ends: Callable[..., tuple] | None = None  # of a leg, where low and high are its own

    @property
    def kind(self) -> str:
        """What its value is: "clicks", "quantity" or "part"."""
        return "part" if self.unit is None else "clicks" if self.unit == CLICKS else "quantity"

    @property
    def in_damper(self) -> str:
        """Its place inside a damper by itself; empty for what is not in one."""
        return self.place.removeprefix(DAMPER) if self.place.startswith(DAMPER) else ""

    def shown(self, value):
        """A value [SI, or clicks; any shape] as people read it, in `unit`."""
        return value if self.unit in (None, CLICKS) else from_si(value, str(self.unit))

    def si(self, value):
        """A value in `unit` [any shape] in SI; clicks and parts stay as they are."""
        return value if self.unit in (None, CLICKS) else to_si(value, str(self.unit))

    def reading(self, value) -> str:
        """A value [SI, or clicks] in words: "4 mm", "12 out".

        >>> ADJUSTERS["oil_height"].reading(0.11), ADJUSTERS["rebound"].reading(12)
        ('110 mm', '12 out')
        """
        if self.kind == "quantity":
            return readable(f"{self.shown(value):.3g}", self.unit)
        return f"{value:.0f} out" if self.kind == "clicks" else str(value)


def _clicker(name: str, what: str, short: str, place: str, last: int, more: str, slower: str = "", faster: str = ""):
    """A row for a clicker: all are counted alike."""
    return Adjuster(
        name=name, label=what, short=short, place=DAMPER + place, unit=CLICKS, low=0, high=last, fine=1,
        more=f"out from gently closed: more = {more}", hand="by hand", step=-1, step_text="1 click in",
        one_more=f"{what[0].lower()}{what[1:]} 1 click in{slower}",
        one_less=f"{what[0].lower()}{what[1:]} 1 click out{faster}", reach=3, charted=True)  # fmt: skip


def _given(name: str, label: str, place: str, unit: str, low, high, fine, more: str = "", hand: str = ""):
    """A row for a quantity that is no mechanic's step: its ends and raster in its own unit."""
    raster, short, size = to_si(fine, unit) - to_si(0.0, unit), label[0].lower() + label[1:], f"{fine:g} {unit}".strip()
    return Adjuster(name=name, label=label, short=short, place=place, unit=unit, low=to_si(low, unit),
                    high=to_si(high, unit), fine=raster, more=more, hand=hand, step=raster, step_text=f"{size} more",
                    one_more=f"{short} {size} more", one_less=f"{short} {size} less")


def _part(name: str, label: str, place: str, hand: str = "workshop"):
    """A row for a whole part that is exchanged for another."""
    return Adjuster(name=name, label=label, short=label[0].lower() + label[1:], place=place, hand=hand)


def _volumes(leg) -> tuple:
    """Volumes of oil that make the highest and the lowest oil height [m3]."""
    row = ADJUSTERS["oil_height"]
    return tuple(oil_volume(dataclasses.replace(leg.air, oil_height=height)) for height in (row.high, row.low))


_ROWS = (
    Adjuster(name="preload", label="Preload, each leg", short="preload", place=LEG + "spring.preload", unit="mm",
             low=0.0, high=0.020, fine=0.5e-3, more="more = the front stands higher", hand="by hand", step=1e-3,
             step_text="1 mm more", one_more="1 mm more preload", one_less="1 mm less preload", reach=3,
             charted=True),
    Adjuster(name="coil_rate", label="Spring rate, each leg", short="spring rate", place=LEG + "spring.rate",
             unit="N/mm", low=2.6e3, high=5.6e3, fine=50.0, more="more = stiffer all along the stroke",
             hand="workshop", step=100.0, step_text="0.1 N/mm stiffer, each leg",
             one_more="a spring 0.1 N/mm stiffer", one_less="a spring 0.1 N/mm softer", reach=2, charted=True,
             read=lambda leg: spring_rate(leg.spring)),
    Adjuster(name="oil_height", label="Oil height", short="oil height", place=LEG + "air.oil_height", unit="mm",
             low=0.090, high=0.150, fine=1e-3, more="from the tube's top down to the oil: less = more oil",
             hand="with tools", step=-5e-3, step_text="5 mm less air", one_more="5 mm less air",
             one_less="5 mm more air", reach=2, charted=True),
    Adjuster(name="oil_volume", label="Oil in each leg", short="oil volume", place=LEG + "air.oil_volume",
             unit="cm^3", low=250e-6, high=900e-6, fine=5e-6, more="more = less air: the oil height, measured out",
             hand="with tools", step=5e-6, step_text="5 cm³ more", one_more="5 cm³ more oil",
             one_less="5 cm³ less oil", ends=_volumes),
    _clicker("compression_low", "Low-speed compression", "compression, low", "base.needle.clicks", 24, "softer"),
    _clicker("compression_high", "High-speed compression", "compression, high", "base.ports.adjuster.clicks", 20,
             "softer"),
    _clicker("rebound", "Rebound", "rebound", "rebound.needle.clicks", 24, "faster", " (slower)", " (faster)"),
    _given("rider_mass", "Rider in riding gear", "rider.mass", "kg", 55, 115, 1),
    Adjuster(name="tyre_pressure", label="Tyre pressure, front", short="tyre pressure", place="tyre.pressure",
             unit="bar", low=0.6e5, high=1.4e5, fine=0.05e5, more="more = harder, and it stands on less ground",
             hand="by hand", step=0.1e5, step_text="0.1 bar more", one_more="0.1 bar more in the front tyre",
             one_less="0.1 bar less in the front tyre", reach=2),
    _given("gauge_pressure", "Pressure left in, hanging", LEG + "air.gauge_pressure", "bar", 0, 0.6, 0.05,
           "0 = bled", "by hand"),
    _given("air_exponent", "Exponent", LEG + "air.exponent", "", 1.0, 1.4, 0.05,
           "1 = slow, 1.4 = so fast that no heat escapes"),
    _given("air_temperature", "Temperature of air and oil bath", LEG + "air.temperature", "degC", 0, 90, 5,
           "filled and bled at 20 °C"),
    _given("oil_temperature", "Oil temperature", LEG + "damper.oil_temperature", "degC", 0, 80, 1, "warmer = thinner"),
    _given("mid_float", "Float of the mid-valve", DAMPER + "mid.ports.floating.gap", "mm", 0.05, 0.6, 0.05,
           "more = the shims bite later", "workshop"),
    _part("oil", "Fork oil", LEG + "damper.oil", "with tools"),
    _part("compression_low_stack", "Low-speed stack of the base valve", DAMPER + "base.ports.low-speed.stack"),
    _part("compression_high_stack", "High-speed stack of the base valve", DAMPER + "base.ports.high-speed.stack"),
    _part("mid_stack", "Stack of the mid-valve", DAMPER + "mid.ports.mid.stack"),
    _part("rebound_stack", "Stack of the rebound valve", DAMPER + "rebound.ports.rebound.stack"),
    _part("seals", "Seals and bushings", LEG + "friction"),
    _part("top_out", "Top-out spring", LEG + "top_out"),
    _part("bumper", "Bottoming bumper", LEG + "bumper"),
)

ADJUSTERS: dict[str, Adjuster] = {row.name: row for row in _ROWS}


def adjuster(name: str) -> Adjuster:
    """The row of an adjuster.

    Raises: InputError for a name that is none.

    >>> adjuster("rebound").one_more
    'rebound 1 click in (slower)'
    """
    if name not in ADJUSTERS:
        raise InputError(f"'{name}' is not an adjuster{nearest(name, ADJUSTERS)}; known: {', '.join(ADJUSTERS)}")
    return ADJUSTERS[name]


def charted() -> tuple[str, ...]:
    """Names of the adjusters that the rider's chart compares, in its order.

    >>> charted()[:3]
    ('preload', 'coil_rate', 'oil_height')
    """
    return tuple(name for name, row in ADJUSTERS.items() if row.charted)


def clickers() -> tuple[str, ...]:
    """Names of the clickers.

    >>> clickers()
    ('compression_low', 'compression_high', 'rebound')
    """
    return tuple(name for name, row in ADJUSTERS.items() if row.kind == "clicks")
