"""The temporary folders of engines: made where a socket's path has room, and swept where a killed run left one."""

from __future__ import annotations

import contextlib
import shutil
import tempfile
import time
from pathlib import Path

STALE = 86_400.0  # s; no run of an engine takes a day
# A socket's path holds 107 bytes on Linux (unix(7)), 103 on macOS; inside a room it takes 21.
LONGEST = 75  # bytes of a room's path
SHORT = Path("/tmp")


def new_room() -> Path:
    """A new private folder for one engine; where the user's own temporary folder has too long a path, in `SHORT`."""
    room = Path(tempfile.mkdtemp(prefix="suspedu-"))
    if len(str(room).encode()) > LONGEST and SHORT.is_dir():
        room.rmdir()
        room = Path(tempfile.mkdtemp(prefix="suspedu-", dir=SHORT))
    return room


def sweep_stale_rooms() -> None:
    """Remove what earlier runs that were killed left in the temporary folder: engines' rooms a day old or more."""
    for room in (room for place in {Path(tempfile.gettempdir()), SHORT} for room in place.glob("suspedu-*")):
        with contextlib.suppress(OSError):
            if (room / "plan.json").is_file() and time.time() - room.stat().st_mtime > STALE:
                shutil.rmtree(room, ignore_errors=True)
