"""Walls round the files of a process, held by Linux (Landlock, 5.13 on): what no rule names cannot be opened by a path.

They hold for root too, and need no rights. A kernel that runs without a sandbox then reaches the environment it runs in
and its own folders; one in the sandbox can leave sockets in its folder to the outside, and nothing else.
"""

from __future__ import annotations

import ctypes
import json
import os
import stat
import sys
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from functools import cache

# landlock(7), linux/landlock.h (printed, from memory)
CREATE_RULESET, ADD_RULE, RESTRICT_SELF = 444, 445, 446  # the same on all processors
VERSION, PATH_BENEATH = 1, 1
EXECUTE, WRITE_FILE, READ_FILE, READ_DIR, REMOVE_DIR, REMOVE_FILE = (1 << bit for bit in range(6))
MAKE_SOCK, TRUNCATE = 1 << 9, 1 << 14
READ = EXECUTE | READ_FILE | READ_DIR
FILES = {1: (1 << 13) - 1, 2: (1 << 14) - 1, 3: (1 << 15) - 1}  # rights on files by version; later ones add devices
TCP = 0b11  # to bind and to connect: from version 4
SCOPED = 0b11  # abstract sockets and signals to processes outside: from version 6
OF_A_FILE = EXECUTE | WRITE_FILE | READ_FILE | TRUNCATE


@dataclass(frozen=True)
class Places:
    """Paths that a process may read, may change, and may put sockets into (its connection file lies there)."""

    readable: tuple[str, ...] = ()
    writable: tuple[str, ...] = ()
    sockets: tuple[str, ...] = ()

    def as_text(self) -> str:
        """The places as JSON, for an argument."""
        return json.dumps(asdict(self))


class _Ruleset(ctypes.Structure):
    _fields_ = (("files", ctypes.c_uint64), ("net", ctypes.c_uint64), ("scoped", ctypes.c_uint64))


class _Beneath(ctypes.Structure):
    _pack_ = 1
    _fields_ = (("allowed", ctypes.c_uint64), ("folder", ctypes.c_int32))


@cache
def walls_version() -> int:
    """The version of these walls on this system; 0 where there are none."""
    if sys.platform != "linux":
        return 0
    return max(0, _call(CREATE_RULESET, None, ctypes.c_size_t(0), VERSION))


def hold_places(places: Places) -> bool:
    """Let this process, and all that it starts, open nothing but these places; whether that holds.

    Assumes: the process has no new privileges to gain (PR_SET_NO_NEW_PRIVS).
    """
    known = walls_version()
    if not known or not (places.readable or places.writable):
        return False
    handled = FILES.get(known, FILES[3])
    rules = _Ruleset(handled, TCP * (known >= 4), SCOPED * (known >= 6))
    size = 8 if known < 4 else 16 if known < 6 else 24
    held = _call(CREATE_RULESET, ctypes.byref(rules), ctypes.c_size_t(size), 0)
    if held < 0:
        return False
    _allow(held, places.readable, READ & handled)
    _allow(held, places.writable, handled)
    _allow(held, places.sockets, READ_FILE | READ_DIR | REMOVE_FILE | MAKE_SOCK)
    done = _call(RESTRICT_SELF, held, 0) == 0
    os.close(held)
    return done


def _allow(held: int, paths: Iterable[str], rights: int) -> None:
    """One rule for each of some paths that are there; a file takes only the rights of a file."""
    for path in paths:
        try:
            place = os.open(path, os.O_PATH | os.O_CLOEXEC)
        except OSError:
            continue
        own = rights if stat.S_ISDIR(os.fstat(place).st_mode) else rights & OF_A_FILE
        _call(ADD_RULE, held, PATH_BENEATH, ctypes.byref(_Beneath(own, place)), 0)
        os.close(place)


def _call(number: int, *arguments) -> int:
    return ctypes.CDLL(None).syscall(ctypes.c_long(number), *arguments)
