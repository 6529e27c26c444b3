"""Processes that were started here: all that belong to one of them, and their end."""

from __future__ import annotations

import contextlib
import os
import signal

import psutil


def family(root: psutil.Process | None) -> list[psutil.Process]:
    """A process and all that it started and that still hang on it; none where it is gone."""
    try:
        return [root, *root.children(recursive=True)] if root else []
    except psutil.NoSuchProcess:
        return []


def kill_group(pid: int) -> None:
    """Kill a process group that was started here; one that is gone is fine."""
    if hasattr(os, "killpg"):
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.killpg(pid, signal.SIGKILL)
