"""A limit on processes that the system holds for root too, to whom the ordinary one does not apply: control groups.

An ordinary user's sandbox counts its processes by a resource limit. Root is exempt from that, and a watch alone may
come too late: a kernel that forks without end on a busy machine has thousands of processes before anybody looks.
"""

from __future__ import annotations

import contextlib
import os
import sys
from pathlib import Path

import psutil

PLACES = (Path("/sys/fs/cgroup/pids"), Path("/sys/fs/cgroup"))  # control groups of version 1, and of version 2
NAME = "suspedu-{}"


def hold_tasks(most: int) -> Path | None:
    """Put this process and all that it will start into a group of its own, of at most so many tasks (threads count).

    Returns: the group, or None where there is no such limit: other systems, no root, no place to write to.
    """
    if sys.platform != "linux" or os.getuid() != 0:
        return None
    for place in PLACES:
        group = place / NAME.format(os.getpid())
        with contextlib.suppress(OSError):
            group.mkdir()
            try:
                return _joined(group, most)
            except OSError:
                group.rmdir()
    return None


def _joined(group: Path, most: int) -> Path:
    """The group, with its limit and with this process in it.

    Raises: OSError where the limit does not work there.
    """
    for file, words in (("pids.max", str(most)), ("cgroup.procs", str(os.getpid()))):
        with (group / file).open("r+", encoding="ascii") as there:  # the system makes these files, or there are none
            there.write(words)
    return group


def clear_groups() -> None:
    """Remove the groups of processes that are gone."""
    for place in PLACES:
        for group in place.glob(NAME.format("*")):
            number = group.name.rpartition("-")[2]
            with contextlib.suppress(OSError):
                if number.isdigit() and not psutil.pid_exists(int(number)):
                    group.rmdir()
