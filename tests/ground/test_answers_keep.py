"""Whatever is written into an answer of the physics, the next answer is the same; and no law writes into its arguments.

Every public function of the rooms is called with samples (`samples.py`); one for which no sample is known fails.
"""

import copy
import dataclasses
import importlib
import importlib.util
import inspect
import pkgutil
from pathlib import Path

import numpy as np
import pytest

_SPEC = importlib.util.spec_from_file_location("ground_samples", Path(__file__).with_name("samples.py"))
samples = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(samples)
ROOMS = ("parts", "damper", "ride", "machine")
# Compiled scalar code behind `ride.engine`, whose arrays it is there to fill, and the tables made for it alone.
INNER = {"suspedu.ride.kernel", "suspedu.ride.kernel_forces", "suspedu.ride.kernel_lookup", "suspedu.ride.loop_tables"}
FILLS = {"run", "compiled", "prepare"}  # ride.engine: takes its own state on, and compiles


def laws() -> list:
    """Public functions of the rooms, each where it is made."""
    found = []
    for room in ROOMS:
        package = importlib.import_module(f"suspedu.{room}")
        names = [f"suspedu.{room}", *(m.name for m in pkgutil.walk_packages(package.__path__, f"suspedu.{room}."))]
        for module in sorted(set(names) - INNER):
            for name, law in vars(importlib.import_module(module)).items():
                own = getattr(law, "__module__", None) == module and not inspect.isclass(law)
                if name[0] != "_" and callable(law) and own and name not in FILLS:
                    found.append(pytest.param(law, id=f"{module.removeprefix('suspedu.')}:{name}"))
    return found


def arguments(law) -> tuple[list, dict]:
    """Samples for all that a law must be given, and for those options that have one."""
    plain, named = [], {}
    for parameter in inspect.signature(law).parameters.values():
        if parameter.kind in (parameter.VAR_KEYWORD, parameter.VAR_POSITIONAL):
            continue
        if parameter.default is parameter.empty:
            given = samples.sample(law.__name__, parameter)
            if parameter.kind is parameter.KEYWORD_ONLY:
                named[parameter.name] = given
            else:
                plain.append(given)
    return plain, named


def arrays(answer, seen=None) -> list[np.ndarray]:
    """Every array in an answer, however deep it lies."""
    seen = set() if seen is None else seen
    if id(answer) in seen:
        return []
    seen.add(id(answer))
    if isinstance(answer, np.ndarray):
        return [answer]
    if isinstance(answer, dict):
        answer = list(answer.values())
    elif dataclasses.is_dataclass(answer) and not isinstance(answer, type):
        answer = [getattr(answer, field.name) for field in dataclasses.fields(answer)]
    inside = answer if isinstance(answer, list | tuple) else []
    return [found for part in inside for found in arrays(part, seen)]


def spoil(array: np.ndarray) -> None:
    """Write into an array whatever can be written."""
    if array.flags.writeable and array.size:
        array[...] = ~array if array.dtype == bool else np.full_like(array, 7)


def mend(held: list[np.ndarray], given: list[np.ndarray]) -> None:
    """The samples as they were, for the next test."""
    for array, before in zip(held, given, strict=True):
        if not np.array_equal(array, before):
            array[...] = before


def same(one: list[np.ndarray], other: list[np.ndarray]) -> bool:
    return len(one) == len(other) and all(
        a.shape == b.shape and np.array_equal(a, b, equal_nan=a.dtype.kind == "f")
        for a, b in zip(one, other, strict=True))


@pytest.mark.parametrize("law", laws())
def test_writing_into_an_answer_changes_no_later_one(law):
    plain, named = arguments(law)
    held = arrays([plain, named])
    given = copy.deepcopy(held)
    try:
        first = law(*plain, **named)
        assert same(held, given), "the law wrote into its arguments"
        kept = copy.deepcopy(arrays(first))
        for array in arrays(first):
            spoil(array)
        assert same(held, given), "writing into the answer reached the arguments"
        assert same(arrays(law(*plain, **named)), kept)
    finally:
        mend(held, given)


def test_the_check_catches_a_law_that_hands_out_what_it_keeps():
    kept = {}

    def law(radii):
        return kept.setdefault("answer", radii.copy())

    law.__module__ = "suspedu.parts"
    with pytest.raises(AssertionError):
        test_writing_into_an_answer_changes_no_later_one(law)


def test_a_law_without_a_sample_fails():
    def law(never_heard_of):
        return never_heard_of

    with pytest.raises(KeyError):
        arguments(law)
