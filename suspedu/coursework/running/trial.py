"""A trial of how kernels are started here, in the cage or without: which copy of the course they find, what holds."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from suspedu.coursework.running import cage, holds
from suspedu.coursework.running.limits import clean_environment
from suspedu.coursework.running.scratch import new_room, new_wires, remove

PROBE = """import json, os, sys, zmq, ipykernel, suspedu
from suspedu.coursework.running.holds import strays, tell
print(os.path.realpath(suspedu.__file__))
print(json.dumps(strays(*json.loads(sys.argv[4])) if {caged} else []))
tell()"""
LONGEST = 200  # signs of a fault that are told


@dataclass(frozen=True)
class Trial:
    """What a process that was held as a kernel said: the copy of the course that it found, what holds; or its fault.

    In the sandbox, also what it saw there that no kernel is to see: `strays`.
    """

    found: str = ""
    strays: tuple[str, ...] = ()
    holds: frozenset[str] = frozenset()
    fault: str = ""


@cache
def trial(caged: bool) -> Trial:
    """Start a process as a kernel is started, in the sandbox or without, and let it try what is to be refused."""
    room = new_room()
    wire = new_wires(room)
    try:
        return _tried(caged, holds.prepared(room), wire)
    except subprocess.TimeoutExpired:
        return Trial(fault=f"there was no answer within {cage.PROBE_SECONDS} s")
    except OSError as fault:
        return Trial(fault=str(fault))
    finally:
        for folder in (room, wire):
            remove(folder)


def _tried(caged: bool, room: Path, wire: Path) -> Trial:
    places = cage.open_places(caged).as_text().replace("{wire}", str(wire)).replace("{work}", str(room / "work"))
    seen = json.dumps([cage.shown_places(wire), cage.SCRATCH])
    program = [sys.executable, "-c", PROBE.format(caged=caged), places, str(room), str(wire), seen]
    round_it = cage.cage_command(wire) if caged else []
    done = subprocess.run([*round_it, *program], capture_output=True, text=True, timeout=cage.PROBE_SECONDS,
                          cwd=cage.PACKAGE.anchor, env=None if caged else clean_environment(os.devnull))
    if done.returncode:
        return Trial(fault=_last_line(done.stderr or done.stdout) or f"it ended with code {done.returncode}")
    found, strays, *held = done.stdout.splitlines()
    return Trial(found, tuple(json.loads(strays)), frozenset(filter(None, held)))


def _last_line(said: str) -> str:
    """Where bubblewrap or Python say what was wrong."""
    return (said.strip().splitlines() or [""])[-1][-LONGEST:]
