"""Numerics that every room shares: laws that remember what they answered, and one root finder for whole arrays."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache, update_wrapper

import numpy as np

REMEMBERED = 256  # answers of one law, unless it says otherwise
MOST_BYTES = 64 << 20  # of arrays in all answers that are kept: over a hundred moves of a panel with rides


def frozen(answer):
    """The answer itself, with every array in it closed to writing, however deep it lies.

    Parameters: answer, an array, a dataclass, a tuple, list or dict of such, a curve of scipy's, or anything else.

    >>> frozen({"force": np.zeros(3)})["force"].flags.writeable
    False
    """
    _freeze(answer)
    return answer


def _freeze(answer) -> int:
    """Close every array in an answer to writing; returns their bytes."""
    size = 0
    for array in _arrays_in(answer):
        array.setflags(write=False)
        size += array.nbytes
    return size


def _arrays_in(answer) -> Iterator[np.ndarray]:
    if isinstance(answer, np.ndarray):
        yield answer
        return
    parts: Iterable = ()
    if isinstance(answer, dict):
        parts = answer.values()
    elif isinstance(answer, tuple | list):
        parts = answer
    elif dataclasses.is_dataclass(answer) and not isinstance(answer, type):
        parts = [getattr(answer, field.name) for field in dataclasses.fields(answer)]
    elif type(answer).__module__.startswith("scipy."):  # a fitted curve: its coefficients
        parts = vars(answer).values()
    for part in parts:
        yield from _arrays_in(part)


_taken: dict[Callable, int] = {}  # by what keeps a law's answers: bytes of all arrays that came, also in other answers


def _make_room() -> None:
    """At `MOST_BYTES` in all, the laws that take most forget until half of it is free."""
    if sum(_taken.values()) > MOST_BYTES:
        for kept in sorted(_taken, key=lambda each: -_taken[each]):
            if sum(_taken.values()) > MOST_BYTES / 2:
                kept.cache_clear()  # type: ignore[attr-defined]
                _taken[kept] = 0


def remembered(law: Callable | None = None, *, size: int = REMEMBERED):
    """A law that keeps its latest answers, none of which anybody can write into.

    Settings that are arrays cannot be looked up: for them the law is worked out each time anew.

    Parameters: law, a function whose answer depends on its arguments alone; size, how many answers are kept.

    >>> @remembered
    ... def squares(count):
    ...     return np.arange(count) ** 2
    >>> squares(3) is squares(3), squares(3).flags.writeable
    (True, False)
    """
    if law is None:
        return lambda given: remembered(given, size=size)

    @lru_cache(maxsize=size)
    def kept(*values, **named):
        answer = law(*values, **named)
        _taken[kept] += _freeze(answer)
        _make_room()
        return answer

    _taken[kept] = 0

    def answer(*values, **named):
        return kept(*values, **named) if _can_be_looked_up(values, named) else frozen(law(*values, **named))

    answer.cache_clear, answer.cache_info = kept.cache_clear, kept.cache_info  # type: ignore[attr-defined]
    return update_wrapper(answer, law)


def _can_be_looked_up(values: tuple, named: dict) -> bool:
    try:
        hash((values, tuple(named.values())))
    except TypeError:  # an array, or a part that holds one
        return False
    return True


def bracketed_root(excess: Callable, left, right, *, ends=None, tolerance=1e-13, most: int = 200):
    """Roots of rising functions, one in each bracket, all at once.

    Anderson-Bjoerck's regula falsi, which keeps the bracket and converges faster than linearly, with a bisection now
    and then should it dawdle at a kink. The library's `scipy.optimize.elementwise.find_root` finds the same at ten
    times the cost for arrays as short as ours (the tests compare the two).

    Parameters: excess, function of an array; left, right [n], where it is below and above zero; ends, the excess at
    both where it is known already; tolerance of the excess [-]; most steps.
    Returns: roots [n], in the unit of left and right.

    >>> bracketed_root(lambda x: x**2 - np.array([4.0, 9.0]), np.ones(2), np.full(2, 5.0)).round(9).tolist()
    [2.0, 3.0]

    Source: anderson-bjorck-1973 (printed, from memory)
    """
    at_left, at_right = ends or (excess(left), excess(right))
    for step in range(most):
        span = np.where(at_right == at_left, 1.0, at_right - at_left)
        dawdles = step % 8 == 7 or (step > 24 and step % 2 == 0)
        between = (left + right) / 2.0 if dawdles else (left * at_right - right * at_left) / span
        at = excess(between)
        if np.all((np.abs(at) < tolerance) | (np.abs(right - left) <= 1e-15 * np.abs(left))):
            return between
        stayed = np.sign(at) == np.sign(at_right)
        shrink = 1.0 - at / np.where(at_right == 0.0, 1.0, at_right)
        at_left = np.where(stayed, at_left * np.where(shrink > 0.0, shrink, 0.5), at_right)
        left, right, at_right = np.where(stayed, left, right), between, at
    return between
