"""Two wishes that pull on the same clickers: never one best setting, a curve of them."""

from __future__ import annotations

from collections.abc import Callable

from suspedu.machine.riding import ride_all
from suspedu.numerics import remembered
from suspedu.ride.search import Aim, Range, trade_off
from suspedu.school.loop import TALL, loop_ground
from suspedu.school.machines import set_machine

RANGES = (Range("rebound", 2, 24, 2), Range("compression_low", 0, 24, 4), Range("compression_high", 0, 20, 5))
BUDGET = 96  # settings tried
READ = 2  # decimals of a throw [m/s]
TURNED = tuple(each.name for each in RANGES)


def shake_and_throw(settings: list[dict]) -> list[dict | None]:
    """Shake on rough ground and throw in the tall whoops of some settings in clicks out; None where unrideable.

    >>> found = shake_and_throw([{"rebound": 12}])[0]
    >>> round(found["comfort"], 1), round(found["kick"], 1)  # m/s2, m/s
    (7.5, 2.0)
    """
    machines = [set_machine("enduro", **each) for each in settings]
    rough = ride_all(machines, loop_ground("rough ground"), names=["comfort"])
    tall = ride_all(machines, loop_ground(TALL), names=["kick"])
    return [None if a is None or b is None else a | b for a, b in zip(rough, tall, strict=True)]


@remembered
def unbeaten() -> tuple[tuple[dict, dict], ...]:
    """The settings that no other beats in both wishes, calmest over rough ground first."""
    return tuple(trade_off(shake_and_throw, RANGES, (Aim("comfort"), Aim("kick")), budget=BUDGET))


def ride_trade_off(say: Callable[[str], None]) -> None:
    """Ride what the curve needs, saying so; some seconds, once."""
    say(f"Riding {BUDGET} settings of three clickers over two grounds: some seconds.")
    say(f"{len(unbeaten())} of them are beaten by no other.")


def keeps_to(found: dict, most_kick: float) -> bool:
    """Whether a throw is at most most_kick [m/s], both read to hundredths, as a setting's throw is told.

    >>> keeps_to({"kick": 2.2218}, 2.22), keeps_to({"kick": 2.2251}, 2.22)
    (True, False)
    """
    return round(found["kick"], READ) <= round(most_kick, READ)


def calmest(most_kick: float) -> tuple[dict, dict]:
    """The calmest unbeaten setting that keeps the throw to most_kick [m/s], or the one that misses it least."""
    keeping = [pair for pair in unbeaten() if keeps_to(pair[1], most_kick)]
    return keeping[0] if keeping else min(unbeaten(), key=lambda pair: pair[1]["kick"])
