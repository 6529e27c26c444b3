"""Control groups: limits on tasks and memory that the system holds for root too, to whom ordinary ones do not apply.

An ordinary user's sandbox counts its processes by a resource limit. Root is exempt from that, and a watch alone may
come too late: a kernel that forks without end on a busy machine has thousands of processes before anybody looks.
"""

from __future__ import annotations

import contextlib
import os
import sys
from dataclasses import dataclass
from pathlib import Path

import psutil

MOUNT, OWN = Path("/sys/fs/cgroup"), Path("/proc/self/cgroup")
NAME = "suspedu-{}"
# Names of files: cgroups(7), and the kernel's documents of control groups, versions 1 and 2 (printed, from memory).
MEMBERS = "cgroup.procs"
LIMITS = {"pids": ("pids.max",), "memory": ("memory.max", "memory.limit_in_bytes")}  # version 2, version 1
KILLS = ("memory.events", "memory.oom_control")  # where the kernel counts the processes that it ended for memory


@dataclass(frozen=True)
class Group:
    """Control groups of one kernel: what this process starts inside of the context belongs to them.

    `homes` are the groups in which this process is otherwise, by the folder of the group.
    """

    homes: dict[Path, Path]

    def __enter__(self) -> Group:
        for folder in self.homes:
            _write(folder / MEMBERS, os.getpid())
        return self

    def __exit__(self, *fault) -> None:
        for home in self.homes.values():
            _write(home / MEMBERS, os.getpid())

    def has_killed(self) -> bool:
        """Whether the system ended a process of the group because its memory was full."""
        return any(_kills(folder / name) for folder in self.homes for name in KILLS)

    def remove(self) -> None:
        """Remove the group once all in it has ended; one that is not empty yet is cleared away later."""
        for folder in self.homes:
            with contextlib.suppress(OSError):
                folder.rmdir()


def new_group(name: str, **most: int) -> Group:
    """A control group for one kernel, which holds what can be held here.

    Parameters: name of the kernel; most, limits by controller: `pids`, tasks (threads count); `memory` [bytes].
    Returns: one without folders where there is no such limit: other systems, no root, no place to write to.
    """
    homes: dict[Path, Path] = {}
    for controller, (home, parent) in _places().items():
        folder = parent / NAME.format(f"{os.getpid()}-{name}")
        if controller in most and _holds(folder, controller, most[controller]):
            homes[folder] = home
    return Group(homes)


def _holds(folder: Path, controller: str, most: int) -> bool:
    """Whether a limit works in a folder, which is made where it is not there yet."""
    with contextlib.suppress(OSError):
        folder.mkdir(exist_ok=True)
        for file in (folder / name for name in LIMITS[controller]):
            if file.exists():  # the system makes these files, or there are none
                _write(file, most)
                return True
    with contextlib.suppress(OSError):
        folder.rmdir()
    return False


def _places() -> dict[str, tuple[Path, Path]]:
    """By controller: the group of this process, and the folder in which a group for its kernels can be made."""
    if sys.platform != "linux" or os.getuid() != 0 or not OWN.exists():
        return {}
    found = {}
    for line in OWN.read_text(encoding="utf-8").splitlines():
        _, controllers, path = line.split(":", 2)
        for controller in LIMITS.keys() & set(controllers.split(",")):
            home = MOUNT / controllers / path.lstrip("/")
            found[controller] = (home, home)
        if not controllers:
            found = _of_version_2(path) | found
    return found


def _of_version_2(path: str) -> dict[str, tuple[Path, Path]]:
    """Places in the one tree of version 2: below the nearest group that hands its controllers on."""
    root = MOUNT / "unified" if (MOUNT / "unified").is_dir() else MOUNT
    home, found = root / path.lstrip("/"), {}
    for parent in (p for p in (home, *home.parents) if p.is_relative_to(root)):
        with contextlib.suppress(OSError):
            for controller in (parent / "cgroup.subtree_control").read_text(encoding="ascii").split():
                found.setdefault(controller, (home, parent))
    return {controller: found[controller] for controller in LIMITS.keys() & found.keys()}


def clear_groups() -> None:
    """Remove the groups of processes that are gone."""
    for _, parent in _places().values():
        for group in parent.glob(NAME.format("*")):
            number = group.name.split("-")[1]
            with contextlib.suppress(OSError):
                if number.isdigit() and not psutil.pid_exists(int(number)):
                    group.rmdir()


def _write(file: Path, words: object) -> None:
    with file.open("r+", encoding="ascii") as there:
        there.write(str(words))


def _kills(file: Path) -> int:
    """How often the kernel says that it ended a process; 0 where there is no such file."""
    try:
        words = file.read_text(encoding="ascii").split()
        return int(words[words.index("oom_kill") + 1])
    except (OSError, ValueError):
        return 0
