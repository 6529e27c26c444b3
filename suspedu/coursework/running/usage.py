"""What the processes of one kernel use together: memory, and files wherever they lie, also those without a name."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import psutil

BLOCK = 512  # bytes, the unit of `st_blocks` (stat(2))
DEEPEST = 64  # folders in a folder; a path of more than 4096 bytes cannot be looked at from outside at all
UNNAMED = ("/memfd:", "/dev/shm/")  # shared memory, by the words behind an open file of a process (proc(5))
DELETED = " (deleted)"


@dataclass(frozen=True)
class Files:
    """Files of a kernel: bytes, how many, and how deep their folders go."""

    size: int = 0
    count: int = 0
    depth: int = 0

    def __add__(self, other: Files) -> Files:
        return Files(self.size + other.size, self.count + other.count, max(self.depth, other.depth))


def resident(processes: Iterable[psutil.Process]) -> int:
    """Bytes of memory that some processes hold."""
    total = 0
    for process in processes:
        with suppress(psutil.Error):  # it ended between the two looks
            total += process.memory_info().rss
    return total


def held_files(folder: Path, most: int) -> Files:
    """Files and folders below a folder; links are not followed, and it looks no further than `most` or `DEEPEST`."""
    size = count = depth = 0
    waiting = [(str(folder), 1)]
    while waiting and count <= most and depth <= DEEPEST:
        path, depth_here = waiting.pop()
        depth = max(depth, depth_here)
        for entry in _entries(path):
            with suppress(OSError):  # it vanished between the two looks
                found = entry.stat(follow_symlinks=False)
                size, count = size + found.st_size, count + 1
                waiting += [(entry.path, depth_here + 1)] if stat.S_ISDIR(found.st_mode) else []
    return Files(size, count, depth)


def _entries(path: str) -> list[os.DirEntry]:
    try:
        with os.scandir(path) as entries:
            return list(entries)
    except OSError:
        return []


def unnamed_files(processes: Iterable[psutil.Process]) -> Files:
    """Open files of some processes that stand in no folder of theirs: deleted ones, shared memory (Linux)."""
    found = {}
    for process in processes:
        for entry in _entries(f"/proc/{process.pid}/fd"):
            with suppress(OSError):
                words = str(Path(entry.path).readlink())
                if words.endswith(DELETED) or words.startswith(UNNAMED):
                    what = entry.stat()
                    found[what.st_dev, what.st_ino] = what.st_blocks * BLOCK
    return Files(sum(found.values()), len(found))


def inside_sandbox(processes: Iterable[psutil.Process], places: Iterable[str]) -> int:
    """How many files stand in file systems that only the sandbox sees, by their own account: deleted ones too (Linux).

    Their size is held by the system itself.
    """
    for process in processes:
        root = Path(f"/proc/{process.pid}/root")
        with suppress(OSError):
            if not (root / ".").samefile("/"):
                return sum(_told(root, place) for place in places)
    return 0


def _told(root: Path, place: str) -> int:
    """Files by the account of one file system of a sandbox; none before it is mounted."""
    inside = root / place.lstrip("/")
    if inside.stat().st_dev == (root / ".").stat().st_dev:
        return 0
    told = os.statvfs(inside)
    return told.f_files - told.f_ffree
