"""The temporary folders of engines: made where a socket's path has room, and swept where a killed run left one."""

from __future__ import annotations

import contextlib
import os
import secrets
import stat
import tempfile
import time
from pathlib import Path

STALE = 86_400.0  # s; no run of an engine takes a day
# A socket's path holds 107 bytes on Linux (unix(7)), 103 on macOS; inside a room it takes 21.
LONGEST = 75  # bytes of a room's path
SHORT = Path("/tmp")
MEMORY = Path("/dev/shm")  # a file system in memory (shm_overview(7))
WIRES = "suspedu-wires-"


def new_room() -> Path:
    """A new private folder for one engine; where the user's own temporary folder has too long a path, in `SHORT`."""
    room = Path(tempfile.mkdtemp(prefix="suspedu-"))
    if len(str(room).encode()) > LONGEST and SHORT.is_dir():
        room.rmdir()
        room = Path(tempfile.mkdtemp(prefix="suspedu-", dir=SHORT))
    return room


def new_wires(room: Path) -> Path:
    """A new private folder for the sockets of one engine's kernels: in memory where there is such a place."""
    if not os.access(MEMORY, os.W_OK):
        return Path(tempfile.mkdtemp(prefix="wires-", dir=room))
    return Path(tempfile.mkdtemp(prefix=WIRES, dir=MEMORY))


def remove(folder: Path) -> None:
    """Remove a folder and all below it, however deep: what cannot be removed stays, and stops nobody.

    Folders inside are moved up before they are emptied, so that no path grows long; `shutil.rmtree` goes down by
    calling itself, and a thousand nested folders end it.
    """
    kept: set[Path] = set()
    while inner := next((place for place in _folders(folder) if place not in kept), None):
        try:
            inner.chmod(stat.S_IRWXU)
            for place in _folders(inner):
                place.rename(folder / f"up-{secrets.token_hex(8)}")
            _empty(inner)
        except OSError:
            kept.add(inner)
    with contextlib.suppress(OSError):
        _empty(folder)


def _folders(folder: Path) -> list[Path]:
    """The folders in a folder."""
    with contextlib.suppress(OSError):
        return [path for path in folder.iterdir() if path.is_dir() and not path.is_symlink()]
    return []


def _empty(folder: Path) -> None:
    """Remove a folder that holds no other."""
    for path in list(folder.iterdir()):
        path.unlink()
    folder.rmdir()


def sweep_stale_rooms() -> None:
    """Remove what earlier runs that were killed left: engines' rooms and wires a day old or more."""
    for room in (room for place in {Path(tempfile.gettempdir()), SHORT, MEMORY} for room in place.glob("suspedu-*")):
        with contextlib.suppress(OSError):
            ours = (room / "plan.json").is_file() or room.name.startswith(WIRES)
            if ours and time.time() - room.stat().st_mtime > STALE:
                remove(room)
