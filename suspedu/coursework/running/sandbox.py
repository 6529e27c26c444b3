"""The sandbox round a kernel: bubblewrap where it really starts, plain limits elsewhere.

Only the kernel goes in.  pytest, the expected prints and the verdict stay outside and
speak with it through sockets in one private folder.
"""

from __future__ import annotations

import os
import platform
import re
import shutil
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from suspedu.coursework.running import calls, holds
from suspedu.coursework.running.cage import PACKAGE, SYSTEM, environment_folders
from suspedu.coursework.running.trial import Trial, trial
from suspedu.units import InputError, nearest

CHOICES = ("auto", "sandboxed", "limited")
AS_ROOT = "SUSPEDU_AS_ROOT"
ROOT_RISK = "an answer that breaks out of what holds it could change everything on this machine"
CAGED_WORDS = "sandboxed: each kernel in bubblewrap, without network or sight of your files"
LIMITED_WORDS = ("limited: plain limits on time, memory and files protect against accidents; they do not contain a "
                 "determined attacker, who could ")
UNWALLED = "read and change the files that you can"
WALLED = "use the network and your terminals and see what runs; your files he could not open"
OPEN_WIRES = "; no walls (Landlock) stand inside of it: a kernel can leave files in the folder of its sockets too"
UNFILTERED = "; no system call is refused"
STRONGER = "for the stronger mode mark on Linux with bubblewrap installed and user namespaces allowed"
OWN_PLACE = "for the stronger mode install the course into an environment of its own, in a folder of its own (README)"
REFUSED = "bubblewrap failed"
MOST_STRAYS = 3  # that are told


@dataclass(frozen=True)
class Mode:
    """How kernels are held on this machine: `name` is "sandboxed" or "limited", `words` say it to a person."""

    name: str
    words: str


def chosen_mode(choice: str = "auto") -> Mode:
    """The mode that kernels will run in.

    Parameters: choice, "auto" (the strongest that works), "sandboxed" (or refuse) or "limited".
    Raises: InputError where "sandboxed" is asked for and does not work, with the reason, and where kernels would not
    find this copy of the course: everybody would have nothing right.
    """
    if choice not in CHOICES:
        raise InputError(f"mode '{choice}' is not known{nearest(choice, CHOICES)}; there are {', '.join(CHOICES)}")
    if choice == "limited":
        _refuse_other_copy()
        return Mode("limited", f"{limited_words()} (chosen by you; {STRONGER})")
    fault = probe_fault()
    if not fault:
        return Mode("sandboxed", sandboxed_words())
    if choice == "sandboxed":
        raise InputError(f"the sandbox does not start here: {fault}")
    _refuse_other_copy()
    return Mode("limited", f"{limited_words()} ({fault})")


def refuse_root() -> None:
    """Refuse to run what others wrote as root, who owns the machine that an answer may break out to.

    Raises: InputError, unless the variable `AS_ROOT` is set, as `suspedu mark --as-root` does.
    """
    if is_root() and not os.environ.get(AS_ROOT):
        raise InputError(f"you are root: {ROOT_RISK}; mark as an ordinary user, or say that you take it: --as-root "
                         f"(on a worker of a cluster: the variable {AS_ROOT}=1)")


def is_root() -> bool:
    """Whether this process runs as root."""
    return hasattr(os, "getuid") and os.getuid() == 0


def sandboxed_words() -> str:
    """What the sandbox is on this system, and what of it does not hold."""
    found = trial(caged=True).holds
    return CAGED_WORDS + ("" if holds.WALLS in found else OPEN_WIRES) + _unfiltered(found) + _root_words()


def limited_words() -> str:
    """What the limited mode leaves open on this system."""
    found = trial(caged=False).holds
    return LIMITED_WORDS + (WALLED if holds.WALLS in found else UNWALLED) + _unfiltered(found) + _root_words()


def _unfiltered(found: frozenset[str]) -> str:
    if holds.CALLS in found:
        return ""
    return UNFILTERED + ("" if calls.library() else f", for {calls.LIBRARY} is not installed")


def _root_words() -> str:
    return f"; as root: {ROOT_RISK}" if is_root() else ""


@cache
def probe_fault() -> str:
    """Why kernels are not sandboxed here and what to do, found out by really starting one; empty where they are."""
    if sys.platform != "linux" or not shutil.which("bwrap"):
        why = "bubblewrap runs on Linux only" if sys.platform != "linux" else "bubblewrap (bwrap) is not installed"
        return f"{why}; {STRONGER}"
    why = _fault(trial(caged=True))
    return f"{why}; {STRONGER if why.startswith(REFUSED) else OWN_PLACE}" if why else ""


def _fault(tried: Trial) -> str:
    """What was wrong in a trial of the sandbox: bubblewrap, or what a kernel found inside; empty where all is right."""
    if tried.fault.startswith("bwrap"):
        return f"{REFUSED}: {tried.fault}"
    if tried.fault:
        return f"bubblewrap starts, but in it a kernel does not: {tried.fault}"
    if tried.strays:
        return f"in bubblewrap a kernel would see {', '.join(map(repr, tried.strays[:MOST_STRAYS]))}"
    if Path(tried.found).resolve() != PACKAGE / "__init__.py":
        return f"in bubblewrap a kernel would use the course in '{tried.found}', not the one in '{PACKAGE}'"
    return ""


def _refuse_other_copy() -> None:
    """Refuse to mark where a kernel would run another copy of the course, or none."""
    if (found := trial(caged=False).found) != str(PACKAGE / "__init__.py"):
        other = f"the course in '{found}'" if found else "no course at all"
        raise InputError(f"students' kernels would use {other}, not the one in '{PACKAGE}': install that one into "
                         f"'{sys.prefix}'")


def refuse_exposed(*secret_places: Path) -> None:
    """Refuse to mark where a folder of solutions or records lies inside what every kernel can read.

    Raises: InputError naming both folders.
    """
    for place in map(Path, secret_places):
        for seen in [*environment_folders(), *map(Path, SYSTEM)]:
            if place.resolve().is_relative_to(seen.resolve()):
                raise InputError(f"'{place}' lies inside '{seen}', which students' kernels can read; move it elsewhere")


def processes_are_counted(mode: Mode) -> bool:
    """Whether the system's own process limit works: in the sandbox, as an ordinary user (not root), Linux 5.14 on.

    Elsewhere the count would be of all processes of that user, so the watch counts instead.
    """
    if mode.name != "sandboxed" or os.getuid() == 0:
        return False
    version = re.match(r"(\d+)\.(\d+)", platform.release())
    return bool(version) and tuple(map(int, version.groups())) >= (5, 14)
