"""What one kernel may use, and the clean surroundings it gets.

Nothing here knows of marking: the same limits hold a self-mark and a class of two hundred.
"""

from __future__ import annotations

import json
import os
import site
import sys
from dataclasses import asdict, dataclass, fields
from pathlib import Path

try:
    import resource
except ImportError:  # Windows has no rlimits: there the watch alone holds a kernel
    resource = None


FOLDER = Path(__file__).resolve().parents[3]  # where this copy of the course lies
ONE_THREAD = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "NUMBA_NUM_THREADS"), "1")


@dataclass(frozen=True)
class Limits:
    """Limits of one kernel; sizes in bytes, times in seconds.

    Those of a cell and of a notebook are charged seconds (`meter`): time in which the kernel computes or sleeps, not
    time in which a busy machine keeps it waiting. By the clock each may take ten times as long at most.
    Assumes: an exercise of this course needs 0.3 GB resident and a second a cell; a cell gets twenty times as much, a
    notebook four cells that use up theirs.
    """

    cell_seconds: float = 20.0
    notebook_seconds: float = 90.0
    silent_seconds: float = 5.0  # after a cell answered or was interrupted, before it counts as finished or stuck
    cpu_seconds: int = 60  # of each process; held by the system itself
    address_space: int = 4 << 30  # of each process; numpy with scipy maps about 1.5 GB without using it
    resident: int = 1500 << 20  # of all processes of one kernel together
    processes: int = 48  # processes of one kernel; as an ordinary user in the sandbox, threads count too
    file_size: int = 8 << 20
    folder: int = 64 << 20  # all files of one kernel together
    files: int = 4000  # files and folders of one kernel; its own settings and compiled code take some dozens
    message: int = 4 << 20  # one message from the kernel, a large picture; `kernel.WAITING` of them may wait outside
    cell_bytes: int = 8 << 20  # all messages of one cell
    cell_messages: int = 1500

    def __post_init__(self):
        for field in fields(self):
            value = getattr(self, field.name)
            if not isinstance(value, int | float) or not value > 0:
                from suspedu.units import InputError  # loads numpy, which a kernel's start does not wait for

                raise InputError(f"limit {field.name} is {value!r}; it must be a number above 0")

    def as_text(self) -> str:
        """The limits as JSON, for an environment variable or an argument."""
        return json.dumps(asdict(self))


def from_text(text: str) -> Limits:
    """Limits from the JSON of `Limits.as_text`; nothing gives the usual ones.

    >>> from_text('{"cell_seconds": 5.0}').cell_seconds, from_text("").cell_seconds
    (5.0, 20.0)
    """
    return Limits(**json.loads(text)) if text else Limits()


def clean_environment(home: str, path: str = "/usr/bin:/bin") -> dict[str, str]:
    """The few variables that a kernel gets: nothing of the instructor's own, one thread, this same course."""
    fixed = {"HOME": home, "TMPDIR": home, "IPYTHONDIR": f"{home}/.ipython", "MPLCONFIGDIR": f"{home}/.mpl",
             "NUMBA_CACHE_DIR": f"{home}/.numba", "MPLBACKEND": "agg", "PATH": path, "LANG": "C.UTF-8",
             "PYTHONHASHSEED": "0", "PYTHONDONTWRITEBYTECODE": "1", "PYTHONIOENCODING": "utf-8", "NO_COLOR": "1",
             "PYTHONUSERBASE": site.getuserbase()}
    beside = {} if FOLDER.name in ("site-packages", "dist-packages") else {"PYTHONPATH": str(FOLDER)}
    windows = ("SYSTEMROOT", "TEMP", "APPDATA") if os.name == "nt" else ()
    needed = {name: os.environ[name] for name in windows if name in os.environ}
    return fixed | ONE_THREAD | beside | needed


def hold_this_process(limits: Limits, count_processes: bool) -> None:
    """Put this process and all it starts under the limits; what a system does not know is left to the watch."""
    if resource is None:
        return
    wanted = {"RLIMIT_AS": limits.address_space, "RLIMIT_CPU": limits.cpu_seconds, "RLIMIT_FSIZE": limits.file_size,
              "RLIMIT_CORE": 0, "RLIMIT_NOFILE": 256}
    if count_processes:
        wanted["RLIMIT_NPROC"] = limits.processes
    if sys.platform == "darwin":
        del wanted["RLIMIT_AS"]  # refused there for a process that maps more already
    for name, value in wanted.items():
        kind = getattr(resource, name)
        hard = resource.getrlimit(kind)[1]
        ceiling = int(value) if hard == resource.RLIM_INFINITY else min(int(value), hard)
        resource.setrlimit(kind, (ceiling, ceiling))


def hold_own_memory(size: int) -> None:
    """Hold the memory of this process [bytes], whatever a kernel sends it; a kernel may still be held otherwise."""
    if resource is None or sys.platform == "darwin":
        return
    hard = resource.getrlimit(resource.RLIMIT_AS)[1]
    resource.setrlimit(resource.RLIMIT_AS, (size if hard == resource.RLIM_INFINITY else min(size, hard), hard))
