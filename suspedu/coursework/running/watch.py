"""The watch over one running kernel: stops it and all it started when a limit of the whole is passed.

The system's limits hold each process; the watch adds up what only the whole shows:
time, memory and processes together, files together. It looks late on a busy machine, but there
a kernel fills its memory no faster than the watch gets to look. A kernel without its watch is stopped.
"""

from __future__ import annotations

import ctypes
import sys
import threading
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

import psutil

from suspedu.coursework.running import usage
from suspedu.coursework.running.groups import Group
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
    Parameters: pid of the kernel; folders of its files; limits; places that only its sandbox sees; group that holds it.
    """

    period = 0.25

    def __init__(self, pid: int, folders: Sequence[Path], limits: Limits, places: Sequence[str] = (),
                 group: Group | None = None):
        self.limits, self.folders, self.places, self.reason = limits, folders, places, ""
        self.group = group or Group({})
        self.since = time.time() - 1.0  # psutil's birth times are that coarse
        self._started, self._over = time.monotonic(), threading.Event()
        self._root, self._meter = psutil.Process(pid), Meter(pid)
        self._seen = {self._root}
        self._thread = threading.Thread(target=self._look_until_over, daemon=True)
        self._thread.start()

    @property
    def is_dead(self) -> bool:
        """Whether it looks no longer, though nobody ended it."""
        return not self._thread.is_alive() and not self._over.is_set()

    def stop(self, reason: str = "") -> None:
        """Stop the kernel and all that it started, now."""
        self.reason = self.reason or reason
        self._over.set()
        if threading.current_thread() is not self._thread:
            self._thread.join()
        self._kill_all()
        self.group.remove()

    def _look_until_over(self) -> None:
        while not self._over.wait(self.period):
            try:
                reason = self._passed_limit()
            except Exception as fault:
                reason = f"the watch over it failed ({type(fault).__name__})"
            if reason:
                self.stop(reason)

    def _passed_limit(self) -> str:
        """The sentence of the first limit that is passed, or nothing."""
        limits, alive = self.limits, family(self._root)
        self._seen.update(alive)
        if len(alive) > limits.processes:
            return f"it started more than {limits.processes} processes"
        unnamed = usage.unnamed_files(alive)
        if self.group.has_killed() or usage.resident(alive) + unnamed.size > limits.resident:
            return f"it used more than {limits.resident >> 20} MB of memory"
        if reason := self._too_many_files(alive, unnamed):
            return reason
        waited = time.monotonic() - self._started
        if self._meter.look(alive) > limits.notebook_seconds or waited > BACKSTOP * limits.notebook_seconds:
            return f"the notebook took longer than {limits.notebook_seconds:g} s"
        return ""

    def _too_many_files(self, alive: list[psutil.Process], unnamed: usage.Files) -> str:
        """The sentence of the limit of files that is passed, or nothing."""
        start = usage.Files() if self.places else unnamed  # a sandbox's file systems hold these too
        found = sum((usage.held_files(folder, self.limits.files) for folder in self.folders), start)
        if found.depth > usage.DEEPEST:
            return f"it made folders {usage.DEEPEST} deep"
        if found.size > self.limits.folder:
            return f"it wrote more than {self.limits.folder >> 20} MB of files"
        count = found.count + usage.inside_sandbox(alive, self.places)
        return f"it made more than {self.limits.files} files" if count > self.limits.files else ""

    def _kill_all(self) -> None:
        """Kill the family until nothing new appears: a storm forks while it is being killed.

        The root goes first: with a sandbox the system itself ends all that is inside.
        """
        _kill(self._root)
        _kill_until_none(lambda: {*self._seen, *family(self._root)})
        kill_leftovers(self.since)


def kill_leftovers(since: float) -> None:
    """Kill every process under this one that was born after `since` [s, as time.time()]."""
    _kill_until_none(lambda: [p for p in family(psutil.Process())[1:] if _birth(p) >= since])


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
