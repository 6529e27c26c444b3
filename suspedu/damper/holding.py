"""What holds the shims of a port, besides themselves: a float's light spring, a high-speed adjuster's strong one."""

from __future__ import annotations

from suspedu.damper.paths import counted
from suspedu.parts.restrictions import needle_lift
from suspedu.units import check_fields, part, quantity


@part
class Float:
    """Free play of a stack, or of a check plate, against a light spring."""

    gap: float = quantity("mm", 0.01, 3, "float")
    rate: float = quantity("N/mm", 0.01, 50, "float spring rate")
    preload: float = quantity("N", 0, 50, "float spring preload")


@part
class PreloadAdjuster:
    """A coil spring that holds a stack shut: the high-speed adjuster. Clicks out take preload away: more = softer.

    >>> round(PreloadAdjuster(rate=60e3, base_preload=0.5e-3, pitch=0.05e-3, clicks=10).force, 1)  # N, on 20 clicks
    60.0
    """

    rate: float = quantity("N/mm", 1, 500, "adjuster spring rate")
    base_preload: float = quantity("mm", 0, 10, "adjuster preload when fully out")
    pitch: float = quantity("mm", 0.005, 0.5, "adjuster preload per click")
    last_click: int = 20
    clicks: int = 10

    def __post_init__(self):
        check_fields(self)
        counted("last click", self.last_click, 1, 60)
        needle_lift(self.clicks, self.pitch, self.last_click)  # refuses clicks past the end

    @property
    def force(self):
        """Force of the spring on the shut stack [N]."""
        return self.rate * (self.base_preload + (self.last_click - self.clicks) * self.pitch)
