"""Dampers of the riding school from its shelf, or any other from a TOML file."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from suspedu.damper.circuit import Damper
from suspedu.data.reader import read_part
from suspedu.numerics import remembered
from suspedu.units import InputError, nearest


def stock_damper(name: str) -> Damper:
    """Damper of the riding school: "closed cartridge", "open cartridge" or "damping rod"; or any TOML file by its path.

    Raises: InputError for a name that is not in stock, or one sentence about the first slip in the file.

    >>> stock_damper("closed cartridge").rebound.needle.clicks
    12
    """
    shelf = Path(__file__).parent.parent / "data" / "dampers"
    known = {path.stem.replace("_", " "): path for path in shelf.glob("*.toml")}
    if not str(name).endswith(".toml") and name not in known:
        raise InputError(f"damper '{name}' is not in stock; known: {', '.join(sorted(known))}{nearest(name, known)}")
    return _from_shelf(known[name]) if name in known else read_part(name, _DamperFile).damper


@remembered(size=16)
def _from_shelf(path: Path) -> Damper:
    return read_part(path, _DamperFile).damper


@dataclass(frozen=True)
class _DamperFile:
    damper: Damper
