"""What really holds a kernel beside its limits: tried out in a process of its own, by doing what is to be refused.

`tell` takes hold of its process as a kernel does; its arguments are the places, a room outside of them, and the wire.
`strays` looks round a sandbox first.
"""

from __future__ import annotations

import ctypes
import errno
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from suspedu.coursework.running.kernel_start import take_hold
from suspedu.coursework.running.walls import Places

WALLS, CALLS = "walls", "calls"
OWN = "own"  # in the room: a file that no kernel may read
ASK = 0xFFFFFFFF  # personality(2) then changes nothing


def tell() -> None:
    """Print which holds took, one a line."""
    places, room, wire = Places(**json.loads(sys.argv[1])), Path(sys.argv[2]), Path(sys.argv[3])
    take_hold(places)
    print(*([WALLS] if walls_hold(room, wire) else []), *([CALLS] if calls_hold() else []), sep="\n")


def strays(shown: Sequence[str], scratch: Sequence[str], top: str = "/") -> list[str]:
    """What this process sees below a folder that is neither a place shown nor a bare folder on the way to one.

    Parameters: shown, places that may be seen with all that is in them; scratch, folders that are to be empty but for
    such places.
    """
    found = []
    for place in map(str, sorted(Path(top).iterdir())):
        on_the_way = any(f"{each}/".startswith(f"{place}/") for each in (*shown, *scratch))
        if on_the_way and place not in shown and Path(place).is_dir():
            found += strays(shown, scratch, place)
        elif place not in shown:
            found.append(place)
    return found


def prepared(room: Path) -> Path:
    """The room with what the trial tries to read."""
    (room / OWN).write_text("not for a kernel\n", encoding="ascii")
    return room


def walls_hold(room: Path, wire: Path) -> bool:
    """Whether this process can neither read a file of its user's nor leave one where sockets lie."""
    return not _opens(room / OWN, "rb") and not _opens(wire / "left", "xb")


def _opens(path: Path, how: str) -> bool:
    try:
        path.open(how).close()
    except OSError:
        return False
    return True


def calls_hold() -> bool:
    """Whether two calls that hurt nobody, and that no exercise needs, are refused to this process (Linux)."""
    if not sys.platform.startswith("linux"):
        return False
    system = ctypes.CDLL(None, use_errno=True)
    return _is_refused(system.personality, ASK) and _is_refused(system.memfd_create, b"trial", 0)


def _is_refused(call, *given) -> bool:
    ctypes.set_errno(0)
    return call(*given) < 0 and ctypes.get_errno() == errno.EPERM
