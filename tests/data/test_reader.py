"""The reader of part files: what it builds, and the sentence for each slip."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from suspedu.data.reader import part_from_table, read_part
from suspedu.units import InputError, check_fields, quantity


@dataclass(frozen=True)
class OpenCartridge:
    bore: float = quantity("mm", 10, 40, "cartridge bore")


@dataclass(frozen=True)
class DampingRod:
    holes: int = quantity("", 1, 12, "holes in the rod")


@dataclass(frozen=True, kw_only=True)
class Ring:
    name: str
    width: float = quantity("mm", 1, 10, "ring width")
    share: float = quantity("", 0, 1, "share", default=0.5)
    count: int = quantity("", 1, 20, "count", default=1)
    polished: bool = False
    inner: DampingRod | None = None
    either: OpenCartridge | DampingRod | None = None
    others: tuple[OpenCartridge, ...] = ()

    def __post_init__(self):
        check_fields(self)


GOOD = {"name": "ring", "width": "2 mm"}


def test_values_are_si_and_defaults_stay():
    assert part_from_table(GOOD, Ring) == Ring(name="ring", width=0.002)


def test_nested_parts_lists_and_kinds():
    table = GOOD | {"inner": {"holes": 3}, "others": [{"bore": "20 mm"}, {"bore": "2 cm"}],
                    "either": {"kind": "open cartridge", "bore": "24 mm"}}
    ring = part_from_table(table, Ring)
    assert ring.inner == DampingRod(3)
    assert ring.others == (OpenCartridge(0.02), OpenCartridge(0.02))
    assert ring.either == OpenCartridge(0.024)


SLIPS = {
    "misspelt": ({"widht": "2 mm"}, "widht is not a key of a ring (did you mean 'width'?); known: name, width"),
    "missing": ({"width": None}, 'width is missing; write it as width = "... mm" (allowed: 1 to 10 mm)'),
    "no unit": ({"width": 2}, 'width is 2: the unit is missing; write it as text, as in "2 mm"'),
    "no unit in text": ({"width": "2"}, "width is '2': the unit is missing"),
    "wrong unit": ({"width": "2 kg"}, "width is '2 kg': 'kg' is not a unit of this quantity; give it in mm"),
    "unknown unit": ({"width": "2 qqq"}, "width is '2 qqq': unit 'qqq' is not known"),
    "no number": ({"width": "wide"}, "width is 'wide': expected a number and a unit"),
    "not a number": ({"width": "nan mm"}, "width is nan mm; allowed: 1 to 10 mm"),
    "range": ({"width": "2 m"}, "width is 2000 mm; allowed: 1 to 10 mm (was it given a thousand times too large?"),
    "ratio in quotes": ({"share": "0.5"}, "share is '0.5': expected a number without quotes"),
    "ratio out of range": ({"share": 50}, "share is 50; allowed: 0 to 1"),
    "broken count": ({"count": 1.5}, "count is 1.5: expected a whole number"),
    "true as a count": ({"count": True}, "count is True: expected a whole number"),
    "number for text": ({"name": 7}, "name is 7: expected text in quotes"),
    "text for truth": ({"polished": "yes"}, "polished is 'yes': expected true or false"),
    "value for table": ({"inner": 3}, "inner is 3: expected a table, begun by [inner]"),
    "table for list": ({"others": {"bore": "20 mm"}}, "others is not a list; start each of its entries with"),
    "deep slip": ({"others": [{"bore": "20 mm"}, {"boar": "20 mm"}]},
                  "others[2].boar is not a key of an open cartridge (did you mean 'bore'?)"),
    "kind misspelt": ({"either": {"kind": "open cartrige"}}, "either.kind is 'open cartrige'; known: open cartridge, "
                      "damping rod (did you mean 'open cartridge'?)"),
    "kind missing": ({"either": {"bore": "24 mm"}}, "either.kind is None; known: open cartridge, damping rod"),
}


@pytest.mark.parametrize(("change", "sentence"), SLIPS.values(), ids=SLIPS.keys())
def test_each_slip_gets_its_sentence(change, sentence):
    table = {key: value for key, value in (GOOD | change).items() if value is not None}
    with pytest.raises(InputError) as refusal:
        part_from_table(table, Ring)
    assert str(refusal.value).startswith(sentence)
    assert "\n" not in str(refusal.value)


BROKEN = {
    "cut off": (b'name = "ring"\nwidth = "2 m', "the file is broken or cut off"),
    "empty": (b"", "name is missing"),
    "not text": (b"\xff\xfe\x00\x01", "the file is not text in UTF-8"),
    "key twice": (b'name = "a"\nname = "b"\n', "the file is broken or cut off"),
    "nested without end": (b"x = " + b"[" * 100_000, "the file nests tables or lists"),
}


@pytest.mark.parametrize(("content", "sentence"), BROKEN.values(), ids=BROKEN.keys())
def test_a_broken_file_gets_a_sentence(tmp_path, content, sentence):
    path = tmp_path / "ring.toml"
    path.write_bytes(content)
    with pytest.raises(InputError) as refusal:
        read_part(path, Ring)
    assert str(refusal.value).startswith(f"ring.toml: {sentence}")


def test_a_file_that_is_not_there_gets_a_sentence(tmp_path):
    with pytest.raises(InputError, match=r"^none\.toml: the file cannot be read \(No such file"):
        read_part(tmp_path / "none.toml", Ring)
    with pytest.raises(InputError, match="the file cannot be read"):
        read_part(tmp_path, Ring)
