"""What engines leave behind in the temporary folder when they are killed."""

from __future__ import annotations

import contextlib
import shutil
import tempfile
import time
from pathlib import Path

STALE = 86_400.0  # s; no run of an engine takes a day


def sweep_stale_rooms() -> None:
    """Remove what earlier runs that were killed left in the temporary folder: engines' rooms a day old or more."""
    for room in Path(tempfile.gettempdir()).glob("suspedu-*"):
        with contextlib.suppress(OSError):
            if (room / "plan.json").is_file() and time.time() - room.stat().st_mtime > STALE:
                shutil.rmtree(room, ignore_errors=True)
