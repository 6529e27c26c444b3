"""A trial of how kernels are started here, in the cage or without: which copy of the course they find, what holds."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from suspedu.coursework.running import cage, holds
from suspedu.coursework.running.limits import clean_environment
from suspedu.coursework.running.scratch import new_room, new_wires, remove

PROBE = """import os, zmq, ipykernel, suspedu
print(os.path.realpath(suspedu.__file__), *(os.listdir('/home') if {caged} else []))
from suspedu.coursework.running.holds import tell
tell()"""


@dataclass(frozen=True)
class Trial:
    """What a process that was held as a kernel said: the copy of the course that it found, what holds; or its fault."""

    found: str = ""
    holds: frozenset[str] = frozenset()
    fault: str = ""


@cache
def trial(caged: bool) -> Trial:
    """Start a process as a kernel is started, in the sandbox or without, and let it try what is to be refused."""
    room = new_room()
    wire = new_wires(room)
    try:
        return _tried(caged, holds.prepared(room), wire)
    except (OSError, subprocess.TimeoutExpired) as fault:
        return Trial(fault=str(fault))
    finally:
        for folder in (room, wire):
            remove(folder)


def _tried(caged: bool, room: Path, wire: Path) -> Trial:
    places = cage.open_places(caged).as_text().replace("{wire}", str(wire)).replace("{work}", str(room / "work"))
    program = [sys.executable, "-c", PROBE.format(caged=caged), places, str(room), str(wire)]
    round_it = cage.cage_command(wire) if caged else []
    done = subprocess.run([*round_it, *program], capture_output=True, text=True, timeout=cage.PROBE_SECONDS,
                          cwd=cage.PACKAGE.anchor, env=None if caged else clean_environment(os.devnull))
    found, *held = done.stdout.splitlines() or [""]
    words = "" if done.returncode == 0 else (done.stderr.strip() or done.stdout.strip())[-200:]
    return Trial(found, frozenset(filter(None, held)), words)
