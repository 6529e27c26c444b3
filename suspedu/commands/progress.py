"""How far a long run has come and how long it will still take, on one line."""

from __future__ import annotations

import contextlib
import sys
import time


class Progress:
    """Counts steps and says so on stderr: a moving line on a terminal, a line for each tenth elsewhere.

    The estimate is the mean time of the steps so far times the steps left.
    """

    def __init__(self, total: int, what: str = "marked", stream=None):
        self.total, self.what, self.done = total, what, 0
        self.stream = stream or sys.stderr
        self._began, self._told = time.monotonic(), 0

    def step(self, count: int = 1) -> None:
        """So many more are done."""
        self.done += count
        moving = self.stream.isatty()
        tenth = 10 * self.done // max(self.total, 1)
        if moving or tenth > self._told or self.done == self.total:
            self._told = tenth
            end = "\n" if self.done == self.total or not moving else ""
            with contextlib.suppress(BrokenPipeError):  # nobody looks any more: the work itself goes on
                print(f"{chr(13) if moving else ''}{self.words()}", end=end, file=self.stream, flush=True)

    def words(self) -> str:
        """The line, such as "marked 12 of 60, about 0:16 left"; before the first step nobody can tell how long."""
        if not self.done:
            return f"{self.what} 0 of {self.total}"
        left = (time.monotonic() - self._began) / max(self.done, 1) * (self.total - self.done)
        return f"{self.what} {self.done} of {self.total}, about {int(left) // 60}:{int(left) % 60:02d} left"
