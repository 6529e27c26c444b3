"""The watch over one running kernel: stops it and all it started when a limit of the whole is passed.

The system's limits hold each process; the watch adds up what only the whole shows:
time, memory and processes together, files together. It looks late on a busy machine, but there
a kernel fills its memory no faster than the watch gets to look.
"""

from __future__ import annotations

import ctypes
import os
import sys
import threading
import time
from collections.abc import Callable, Iterable
from pathlib import Path

import psutil

from suspedu.coursework.running.limits import Limits
from suspedu.coursework.running.meter import BACKSTOP, Meter
from suspedu.coursework.running.processes import family

SET_CHILD_SUBREAPER = 36  # prctl(2), linux/prctl.h


def adopt_orphans() -> None:
    """Make this process the parent of whatever its kernels leave behind, so that nothing outlives the run (Linux)."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(SET_CHILD_SUBREAPER, 1, 0, 0, 0)


class Watch:
    """Looks at a kernel's processes and files four times a second, on a thread of its own.

    `reason` is empty, or the sentence that says why the kernel was stopped.
    """

    period = 0.25

    def __init__(self, pid: int, folder: Path, limits: Limits):
        self.limits, self.folder, self.reason = limits, folder, ""
        self.since = time.time() - 1.0  # psutil's birth times are that coarse
        self._started, self._over = time.monotonic(), threading.Event()
        self._root, self._meter = psutil.Process(pid), Meter(pid)
        self._seen = {self._root}
        self._thread = threading.Thread(target=self._look_until_over, daemon=True)
        self._thread.start()

    def stop(self, reason: str = "") -> None:
        """Stop the kernel and all that it started, now."""
        self.reason = self.reason or reason
        self._over.set()
        if threading.current_thread() is not self._thread:
            self._thread.join()
        self._kill_all()

    def _look_until_over(self) -> None:
        while not self._over.wait(self.period):
            if reason := self._passed_limit():
                self.stop(reason)

    def _passed_limit(self) -> str:
        """The sentence of the first limit that is passed, or nothing."""
        limits, alive = self.limits, family(self._root)
        self._seen.update(alive)
        if len(alive) > limits.processes:
            return f"it started more than {limits.processes} processes"
        if _resident(alive) > limits.resident:
            return f"it used more than {limits.resident >> 20} MB of memory"
        if _folder_size(self.folder) > limits.folder:
            return f"it wrote more than {limits.folder >> 20} MB of files"
        waited = time.monotonic() - self._started
        if self._meter.look(alive) > limits.notebook_seconds or waited > BACKSTOP * limits.notebook_seconds:
            return f"the notebook took longer than {limits.notebook_seconds:g} s"
        return ""

    def _kill_all(self) -> None:
        """Kill the family until nothing new appears: a storm forks while it is being killed.

        The root goes first: with a sandbox the system itself ends all that is inside.
        """
        _kill(self._root)
        _kill_until_none(lambda: {*self._seen, *family(self._root)})
        kill_leftovers(self.since)


def kill_leftovers(since: float) -> None:
    """Kill every process under this one that was born after `since` [s, as time.time()]."""
    _kill_until_none(lambda: [p for p in psutil.Process().children(recursive=True) if _birth(p) >= since])


def _kill_until_none(found: Callable[[], Iterable[psutil.Process]]) -> None:
    for _ in range(50):
        alive = [process for process in found() if _runs(process)]
        if not alive:
            return
        for process in alive:
            _kill(process)
        psutil.wait_procs(alive, timeout=0.1)


def _birth(process: psutil.Process) -> float:
    try:
        return process.create_time()
    except psutil.NoSuchProcess:
        return 0.0


def _runs(process: psutil.Process) -> bool:
    try:
        return process.is_running() and process.status() != psutil.STATUS_ZOMBIE
    except psutil.NoSuchProcess:
        return False


def _kill(process: psutil.Process) -> None:
    try:
        process.kill()
    except (psutil.NoSuchProcess, psutil.AccessDenied):
        return  # gone already, which is what was wanted


def _resident(processes: list[psutil.Process]) -> int:
    total = 0
    for process in processes:
        try:
            total += process.memory_info().rss
        except psutil.Error:
            continue  # it ended between the two looks
    return total


def _folder_size(folder: Path) -> int:
    """Bytes of all files below a folder; links are not followed and vanishing files count nothing."""
    total = 0
    for path, _, names in os.walk(folder):
        for name in names:
            try:
                total += Path(path, name).lstat().st_size
            except OSError:
                continue
    return total
