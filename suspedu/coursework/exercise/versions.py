"""What a mark depends on beside the return: versions of Python and of packages, and the course's own physics."""

from __future__ import annotations

import hashlib
import importlib.metadata
import json
import platform
from functools import cache
from pathlib import Path

from suspedu.coursework.exercise import places

MEASURED = ("suspedu", "numpy", "scipy", "nbval", "ipykernel", "pytest")  # versions that a mark may depend on


# Rooms that an answer can reach by imports and that can change what it prints; a test holds them against every import.
PHYSICS = ("__init__", "spelling", "units", "sources", "numerics", "files", "changes", "data", "parts", "damper",
           "ride", "machine", "school", "recordings", "upgrade", "quality")


@cache
def versions() -> dict[str, str]:
    """Versions of Python and of the packages that a print may depend on, and a hash of the course's own physics."""
    known = {"python": platform.python_version()} | {name: importlib.metadata.version(name) for name in MEASURED}
    return known | {"physics": physics_hash(places.PACKAGE)}


def physics_hash(package: Path) -> str:
    """Hash of the code and the data of the rooms that an answer can reach, in 12 hexadecimal digits.

    What else is edited (a picture, a command, the marking itself) leaves it, and so marks nobody anew.

    Parameters: package, the folder of the library.
    """
    physics = hashlib.sha256()
    for path in sorted(p for p in package.rglob("*") if p.suffix in (".py", ".toml")):
        place = path.relative_to(package)
        if place.parts[0].removesuffix(".py") in PHYSICS:
            physics.update(place.as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return physics.hexdigest()[:12]


def hashed(*facts) -> str:
    """One hash of some plain data."""
    return hashlib.sha256(json.dumps(facts, sort_keys=True, ensure_ascii=False).encode()).hexdigest()
