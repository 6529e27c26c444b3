"""Ends what was started: a whole process group at once."""

from __future__ import annotations

import contextlib
import os
import signal


def kill_group(pid: int) -> None:
    """Kill a process group that was started here; one that is gone is fine."""
    if hasattr(os, "killpg"):
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.killpg(pid, signal.SIGKILL)
