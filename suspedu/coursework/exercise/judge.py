"""What a design reaches, worked out away from the process that marks: held to time and memory, and replaced if it dies.

One helper process serves all designs of a run, a line in and a line out. It never meets a learner's code: what it gets
are numbers that were read strictly and lie within their limits.
"""

from __future__ import annotations

import atexit
import contextlib
import json
import subprocess
import sys
from dataclasses import dataclass
from functools import lru_cache
from threading import Lock

from suspedu.coursework.running.limits import FOLDER, hold_own_memory

try:
    import resource
except ImportError:  # Windows: there only the limits of the numbers hold the time
    resource = None

SECONDS = 20  # of computing for one design; one with rides takes some tenths
MEMORY = 4 << 30  # bytes
MODULE = "suspedu.coursework.exercise.judge"
TOO_LONG = "what this design comes to could not be worked out in time"


@dataclass(frozen=True)
class Judgement:
    """Whether a design is as wanted, and in words what it comes to: first what is not as wanted."""

    met: bool
    words: str


def finding(task: str, design: dict, given: dict) -> Judgement:
    """What a design comes to; worked out here and now.

    Parameters: task, its name; design and given, values by name, in workshop units.

    >>> given = {"thick_at_40": 15.8, "thick_at_100": 4.4, "through": 30.0, "cold": 5, "hot": 60}
    >>> finding("hole-and-gap", {"hole": 1.2, "gap": 0.04}, given | {"cold_drop": 6.2, "hot_drop": 5.0}).words
    'the drop at 60 °C comes to 4.25 bar; wanted: 4.85 to 5.15 bar'
    """
    from suspedu.school.designs import DESIGNS  # loads the physics, which most exercises do not need
    from suspedu.units import InputError

    try:
        reached = DESIGNS[task].law(design, given)
    except InputError as fault:
        return Judgement(False, f"this cannot be built: {fault}")
    missed = [each for each in reached if not each.met]
    return Judgement(not missed, "; ".join(each.words for each in missed or reached))


@lru_cache(4096)
def judged_finding(task: str, design: str, given: str) -> Judgement:
    """The same by the helper process.

    Parameters: task, its name; design and given, as JSON.
    """
    with HELPER.lock:
        found = HELPER.answer(json.dumps([task, json.loads(design), json.loads(given)]))
    return Judgement(*found) if found else Judgement(False, TOO_LONG)


class Helper:
    """The helper process, started with the first design."""

    def __init__(self):
        self.lock, self.process = Lock(), None

    def answer(self, line: str) -> list | None:
        """What it says to a line; nothing where it ended over it, and then the next line meets another one."""
        if self.process is None:
            self.process = subprocess.Popen([sys.executable, "-m", MODULE], cwd=FOLDER, stdin=subprocess.PIPE,
                                            stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        with contextlib.suppress(OSError, ValueError):
            self.process.stdin.write(f"{line}\n")
            self.process.stdin.flush()
            return json.loads(self.process.stdout.readline())
        self.close()
        return None

    def close(self) -> None:
        """End it."""
        process, self.process = self.process, None
        if process is not None:
            process.kill()
            process.wait()
            for pipe in (process.stdin, process.stdout):
                with contextlib.suppress(OSError):
                    pipe.close()


HELPER = Helper()
atexit.register(HELPER.close)


def main() -> None:
    """Answer line by line, each within its time of computing; the system ends what takes longer."""
    hold_own_memory(MEMORY)
    for line in sys.stdin:
        if resource:
            used = resource.getrusage(resource.RUSAGE_SELF)
            resource.setrlimit(resource.RLIMIT_CPU, (int(used.ru_utime + used.ru_stime) + SECONDS + 1, -1))
        found = finding(*json.loads(line))
        print(json.dumps([found.met, found.words]), flush=True)


if __name__ == "__main__":
    main()
