"""How long a kernel has had: the seconds in which it computed or slept, not those in which it waited for a processor.

A limit in plain wall-clock time asks less of a student on a quiet machine than on a busy one. Charged seconds do not:
a kernel that computes is charged the processor time of all its processes, one that sleeps (a wait, a deadlock) is
charged what the clock says, and one that wants a processor and gets none is charged nothing.
Where a system does not tell the two apart (only Linux does), a sleeping kernel runs into the backstop.
"""

from __future__ import annotations

import time

import psutil

from suspedu.coursework.running.processes import family

# Wall-clock seconds for each charged one, after which the wait is over whatever happened: a machine that gives a kernel
# less than a tenth of one core for so long is not fit to mark. A guess of the course.
BACKSTOP = 10.0
LOOK = 0.1  # s; a look reads the list of all processes (some 5 ms), so it is not repeated sooner
WANTS_TO_RUN = (psutil.STATUS_RUNNING, psutil.STATUS_WAKING, psutil.STATUS_DISK_SLEEP)


class Meter:
    """Charged seconds [s] of a process and all that it started, counted from the first look."""

    def __init__(self, pid: int):
        self._root = psutil.Process(pid) if psutil.pid_exists(pid) else None
        self.restart()

    def restart(self) -> None:
        """Count from the next look on."""
        self.charged, self._when, self._used = 0.0, None, 0.0

    def look(self, processes: list[psutil.Process] | None = None) -> float:
        """The charged seconds up to now [s].

        Parameters: processes, those to be charged, where the caller has just listed them.
        """
        now = time.monotonic()
        if self._when is not None and now - self._when < LOOK:
            return self.charged
        used, wants = _state(family(self._root) if processes is None else processes)
        if self._when is not None:
            computed = max(used - self._used, 0.0)
            self.charged += computed if wants else max(computed, now - self._when)
        self._when, self._used = now, used
        return self.charged


def _state(processes: list[psutil.Process]) -> tuple[float, bool]:
    """Processor time of some processes and of what they started and saw end [s]; whether one of them wants to run."""
    used, wants = 0.0, False
    for process in processes:
        try:
            with process.oneshot():
                used += sum(getattr(process.cpu_times(), name, 0.0)
                            for name in ("user", "system", "children_user", "children_system"))
                wants = wants or process.status() in WANTS_TO_RUN
        except psutil.Error:
            continue  # it ended between the two looks
    return used, wants


class Patience:
    """A wait of some charged seconds, never longer than `BACKSTOP` times as many by the clock."""

    def __init__(self, meter: Meter, seconds: float):
        self.meter, self.seconds = meter, seconds
        self._began, self._charged = time.monotonic(), None

    def is_over(self) -> bool:
        """Whether the time is up; the first look, after a tenth of a second, begins the count."""
        waited = time.monotonic() - self._began
        if waited < min(LOOK, self.seconds):
            return False
        charged = self.meter.look()
        self._charged = charged if self._charged is None else self._charged
        return charged - self._charged >= self.seconds or waited >= BACKSTOP * self.seconds
