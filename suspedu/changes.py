"""One way to change anything that a mechanic can change: a place inside a part, and what stands there.

A place is written as a mechanic finds the way to it: "legs.damper.unit.rebound.needle.clicks". Where the way leads
through several alike (two legs, the ports of a valve), it leads on through all that have what comes next, or through
the one that is called by its name or counted from 1: "base.ports.low-speed.stack", "legs.2.spring.preload".
"""

from __future__ import annotations

import dataclasses

from suspedu.units import InputError, nearest


def changed(part, place: str, value):
    """The same part with another value at a place; the one given stays as it is.

    Parameters: part, a dataclass; place, names joined by dots; value, of the kind that stands there.
    Raises: InputError for a place that the part does not have, or a value that is refused there.

    >>> from suspedu.damper import stock_damper
    >>> value_at(changed(stock_damper("open cartridge"), "rebound.needle.clicks", 8), "rebound.needle.clicks")
    8
    """
    if not place:
        return value
    step, _, rest = place.partition(".")
    if isinstance(part, tuple):
        return _changed_row(part, place, value)
    if not _has(part, step):
        known = _names(part)
        raise InputError(f"there is no '{step}' here{nearest(step, known)}; there are: {', '.join(known)}")
    if rest and getattr(part, step) is None:
        raise InputError(f"'{step}' cannot be changed: no such part is fitted here")
    inside = changed(getattr(part, step), rest, value)
    replace = getattr(part, "replaced", None)  # a part that has to forget something else with the change
    return replace(step, inside) if replace else dataclasses.replace(part, **{step: inside})


def value_at(part, place: str):
    """What stands at a place: of several alike, the first that has it.

    Raises: InputError for a place that the part does not have.

    >>> from suspedu.damper import stock_damper
    >>> value_at(stock_damper("closed cartridge"), "base.ports.adjuster.last_click")
    20
    >>> value_at(stock_damper("closed cartridge"), "base.ports.high-speed.crack")
    0.0
    """
    for step in place.split("."):
        if isinstance(part, tuple):
            chosen = [each for count, each in enumerate(part, start=1) if _called(each, count, step)]
            if chosen:
                part = chosen[0]
                continue
            part = next((each for each in part if _fitted(each, step)), None)
        if not _has(part, step):
            raise InputError(f"there is no '{step}' here: '{place}' leads nowhere")
        part = getattr(part, step)
    return part


def leads_somewhere(part, place: str) -> bool:
    """Whether a part has something at a place.

    >>> from suspedu.damper import stock_damper
    >>> leads_somewhere(stock_damper("damping rod"), "base.needle.clicks")
    False
    """
    try:
        return value_at(part, place) is not None
    except InputError:
        return False


def _changed_row(parts: tuple, place: str, value) -> tuple:
    step, _, rest = place.partition(".")
    chosen = [_called(each, count, step) for count, each in enumerate(parts, start=1)]
    if any(chosen):
        return tuple(changed(each, rest, value) if this else each for each, this in zip(parts, chosen, strict=True))
    if not any(_fitted(each, step) for each in parts):
        raise InputError(f"there is no '{step}' here: none of the {len(parts)} has one")
    return tuple(changed(each, place, value) if _fitted(each, step) else each for each in parts)


def _called(part, count: int, step: str) -> bool:
    """Whether a step picks this one of several alike: by its name, or by its number."""
    return step in (str(count), getattr(part, "name", None))


def _fitted(part, step: str) -> bool:
    return _has(part, step) and getattr(part, step) is not None


def _has(part, step: str) -> bool:
    return step in _names(part)


def _names(part) -> list[str]:
    fields = [field.name for field in dataclasses.fields(part)] if dataclasses.is_dataclass(part) else []
    return fields + list(getattr(part, "also", ()))  # a part may be set by what follows from its fields
