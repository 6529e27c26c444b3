"""What a mark depends on beside the return: versions of Python and of packages, and the course's own physics."""

from __future__ import annotations

import hashlib
import importlib.metadata
import json
import platform
from functools import cache

from suspedu.coursework.exercise import places

MEASURED = ("suspedu", "numpy", "scipy", "nbval", "ipykernel", "pytest")  # versions that a mark may depend on


@cache
def versions() -> dict[str, str]:
    """Versions of Python and of the packages that a print may depend on, and a hash of the course's own physics."""
    known = {"python": platform.python_version()} | {name: importlib.metadata.version(name) for name in MEASURED}
    physics = hashlib.sha256()
    for path in sorted(p for p in places.PACKAGE.rglob("*") if p.suffix in (".py", ".toml")):
        if path.relative_to(places.PACKAGE).parts[0] not in ("coursework", "show", "course"):
            physics.update(path.read_bytes())
    return known | {"physics": physics.hexdigest()[:12]}


def hashed(*facts) -> str:
    """One hash of some plain data."""
    return hashlib.sha256(json.dumps(facts, sort_keys=True, ensure_ascii=False).encode()).hexdigest()
