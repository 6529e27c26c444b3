"""The sandbox round a kernel: bubblewrap where it really starts, plain limits elsewhere.

Only the kernel goes in.  pytest, the expected prints and the verdict stay outside and
speak with it through sockets in one private folder.
"""

from __future__ import annotations

import os
import platform
import re
import shutil
import site
import subprocess
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from suspedu.coursework.running import calls, walls
from suspedu.coursework.running.limits import Limits, clean_environment
from suspedu.units import InputError, nearest

PROBE_SECONDS = 240  # by the clock; a start computes for a third of a second, and a refusal comes at once
CHOICES = ("auto", "sandboxed", "limited")
HOME = "/home/student"
PROBE = "import os, zmq, ipykernel, suspedu; print(os.path.realpath(suspedu.__file__), *os.listdir('/home'))"
PACKAGE = Path(__file__).resolve().parents[2]
SYSTEM = ("/usr", "/bin", "/sbin", "/lib", "/lib32", "/lib64", "/etc/ld.so.cache", "/etc/ld.so.conf",
          "/etc/alternatives", "/etc/localtime", "/etc/passwd", "/etc/nsswitch.conf", "/nix/store")
OPEN_TO_READ = ("/etc", "/proc", "/sys", "/opt", "/dev/random", "/dev/urandom")  # in limited mode
OPEN_TO_WRITE = ("/dev/null", "/dev/zero", "/dev/full", "/dev/ptmx", "/dev/pts", "/dev/tty")
CAGE = ("--unshare-all", "--die-with-parent", "--clearenv", "--hostname", "sandbox", "--cap-drop", "ALL")
AS_ROOT = "SUSPEDU_AS_ROOT"
ROOT_RISK = "an answer that breaks out of what holds it could change everything on this machine"
SCRATCH = ("/dev/shm", "/tmp", HOME)  # file systems in memory that only one kernel sees, of `Limits.folder` each
CAGED_WORDS = "sandboxed: each kernel in bubblewrap, without network or sight of your files"
LIMITED_WORDS = ("limited: plain limits on time, memory and files protect against accidents; they do not contain a "
                 "determined attacker, who could ")
UNWALLED = "read and change the files that you can"
WALLED = "use the network and your terminals and see what runs; your files he could not open"
STRONGER = "for the stronger mode mark on Linux with bubblewrap installed and user namespaces allowed"


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
        unfiltered = "" if calls.library() else f"; no system call is refused, for {calls.LIBRARY} is not installed"
        return Mode("sandboxed", f"{CAGED_WORDS}{unfiltered}{_root_words()}")
    if choice == "sandboxed":
        raise InputError(f"the sandbox does not start here: {fault}; {STRONGER}")
    _refuse_other_copy()
    return Mode("limited", f"{limited_words()} ({fault}; {STRONGER})")


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


def limited_words() -> str:
    """What the limited mode leaves open on this system."""
    return LIMITED_WORDS + (WALLED if walls.walls_version() else UNWALLED) + _root_words()


def _root_words() -> str:
    return f"; as root: {ROOT_RISK}" if is_root() else ""


@cache
def probe_fault() -> str:
    """Why the sandbox does not start here, found out by really starting one; empty where it does."""
    if sys.platform != "linux" or not shutil.which("bwrap"):
        return "bubblewrap runs on Linux only" if sys.platform != "linux" else "bubblewrap (bwrap) is not installed"
    command = [*cage(), sys.executable, "-c", PROBE]
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=PROBE_SECONDS)
    except (OSError, subprocess.TimeoutExpired) as fault:
        return f"bubblewrap failed: {fault}"
    started = done.returncode == 0 and done.stdout.strip() == f"{PACKAGE / '__init__.py'} student"
    return "" if started else f"bubblewrap failed: {(done.stderr.strip() or done.stdout.strip())[-200:]}"


@cache
def _copy_found() -> str:
    """Where a kernel without a cage finds the course; empty where it finds none."""
    done = subprocess.run([sys.executable, "-c", PROBE.replace(", *os.listdir('/home')", "")], capture_output=True,
                          text=True, timeout=PROBE_SECONDS, cwd=PACKAGE.anchor, env=clean_environment(os.devnull))
    return done.stdout.strip()


def _refuse_other_copy() -> None:
    """Refuse to mark where a kernel would run another copy of the course, or none."""
    if (found := _copy_found()) != str(PACKAGE / "__init__.py"):
        other = f"the course in '{found}'" if found else "no course at all"
        raise InputError(f"students' kernels would use {other}, not the one in '{PACKAGE}': install that one into "
                         f"'{sys.prefix}'")


def environment_folders() -> list[Path]:
    """Folders of the Python environment and of this package: all that a kernel sees beside the bare system."""
    places = [Path(sys.prefix), Path(sys.base_prefix), Path(sys.executable).resolve().parents[1], PACKAGE]
    places += [Path(p) for p in sys.path if Path(p).name in ("site-packages", "dist-packages")]
    if site.ENABLE_USER_SITE:
        places.append(Path(site.getusersitepackages()))
    found = sorted({p for p in places if p.is_dir()})
    return [p for p in found if not any(q in p.parents for q in found) and not p.is_relative_to("/usr")]


def refuse_exposed(*secret_places: Path) -> None:
    """Refuse to mark where a folder of solutions or records lies inside what every kernel can read.

    Raises: InputError naming both folders.
    """
    for place in map(Path, secret_places):
        for seen in [*environment_folders(), *map(Path, SYSTEM)]:
            if place.resolve().is_relative_to(seen.resolve()):
                raise InputError(f"'{place}' lies inside '{seen}', which students' kernels can read; move it elsewhere")


def cage(folder: Path | None = None, limits: Limits | None = None) -> list[str]:
    """The bubblewrap command up to the program: a read-only system, small scratch folders, one private folder.

    Parameters: folder, the private folder of the sockets, the only place shared with the outside.
    """
    scratch = str((limits or Limits()).folder)
    command = ["bwrap", *CAGE, *_without_user_namespaces(), "--proc", "/proc", "--dev", "/dev"]
    for place in SCRATCH:
        command += ["--size", scratch, "--tmpfs", place]
    for place in [*SYSTEM, *map(str, environment_folders())]:
        command += _shown(Path(place))
    if folder is not None:
        command += ["--bind", str(folder), str(folder)]
    for name, value in clean_environment(HOME).items():
        command += ["--setenv", name, value]
    for place in ("/proc", "/dev", "/"):  # /proc too: whoever marks as root owns the kernel's own settings in it
        command += ["--remount-ro", place]
    return [*command, "--chdir", HOME, "--"]


def open_places(caged: bool) -> walls.Places:
    """What a kernel may open by a path: in the sandbox all that it sees, else the environment and its own folders.

    The folder that it shares with the outside takes sockets only, so that nothing fills a disk there; nor is there
    shared memory to write to, beside which such a folder lies.
    """
    if not walls.walls_version():
        return walls.Places()
    if caged:
        return walls.Places(("/",), (*OPEN_TO_WRITE, "/tmp", HOME), ("{wire}",))
    seen = (*SYSTEM, *OPEN_TO_READ, *map(str, environment_folders()))
    return walls.Places(seen, ("{work}", *OPEN_TO_WRITE), ("{wire}",))


@cache
def _without_user_namespaces() -> tuple[str, ...]:
    """Arguments that keep a kernel from making user namespaces of its own, which bubblewrap knows from 0.8 on."""
    done = subprocess.run(["bwrap", "--version"], capture_output=True, text=True, timeout=PROBE_SECONDS)
    version = re.search(r"(\d+)\.(\d+)", done.stdout)
    known = version is not None and tuple(map(int, version.groups())) >= (0, 8)
    return ("--unshare-user", "--disable-userns") if known else ()


def _shown(place: Path) -> list[str]:
    """Arguments that show one place read-only: links at the top (/bin -> usr/bin) stay links."""
    if place.is_symlink() and len(place.parts) == 2:
        return ["--symlink", str(place.readlink()), str(place)]
    return ["--ro-bind", str(place), str(place)] if place.exists() else []


def processes_are_counted(mode: Mode) -> bool:
    """Whether the system's own process limit works: in the sandbox, as an ordinary user (not root), Linux 5.14 on.

    Elsewhere the count would be of all processes of that user, so the watch counts instead.
    """
    if mode.name != "sandboxed" or os.getuid() == 0:
        return False
    version = re.match(r"(\d+)\.(\d+)", platform.release())
    return bool(version) and tuple(map(int, version.groups())) >= (5, 14)
