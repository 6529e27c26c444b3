"""Processes that were started here: all that belong to one of them, and their end."""

from __future__ import annotations

import contextlib
import os
import signal
from pathlib import Path

import psutil


def family(root: psutil.Process | None) -> list[psutil.Process]:
    """A process and all that it started and that still hang on it; none where it is gone."""
    try:
        return [root, *_below(root)] if root else []
    except psutil.NoSuchProcess:
        return []


def _below(root: psutil.Process) -> list[psutil.Process]:
    """All processes under one. Linux keeps lists of them (proc(5)); psutil reads every process of the machine."""
    if not Path(f"/proc/{root.pid}/task/{root.pid}/children").exists():
        return root.children(recursive=True)
    found, waiting = [], [root.pid]
    while waiting:
        for pid in _children(waiting.pop()):
            with contextlib.suppress(psutil.NoSuchProcess):
                found.append(psutil.Process(pid))
                waiting.append(pid)
    return found


def _children(pid: int) -> list[int]:
    found = []
    with contextlib.suppress(OSError):
        for task in Path(f"/proc/{pid}/task").iterdir():
            with contextlib.suppress(OSError):
                found += map(int, (task / "children").read_text(encoding="ascii").split())
    return found


def kill_group(pid: int) -> None:
    """Kill a process group that was started here; one that is gone is fine."""
    if hasattr(os, "killpg"):
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.killpg(pid, signal.SIGKILL)
