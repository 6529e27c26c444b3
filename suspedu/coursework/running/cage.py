"""The cage round a kernel, as a command of bubblewrap, and the places that a kernel may open in it and without it."""

from __future__ import annotations

import re
import site
import subprocess
import sys
from functools import cache
from pathlib import Path

from suspedu.coursework.running import walls
from suspedu.coursework.running.limits import Limits, clean_environment

HOME = "/home/student"
PACKAGE = Path(__file__).resolve().parents[2]
SYSTEM = ("/usr", "/bin", "/sbin", "/lib", "/lib32", "/lib64", "/etc/ld.so.cache", "/etc/ld.so.conf",
          "/etc/alternatives", "/etc/localtime", "/etc/passwd", "/etc/nsswitch.conf", "/nix/store")
OPEN_TO_READ = ("/etc", "/proc", "/sys", "/opt", "/dev/random", "/dev/urandom")  # in limited mode
OPEN_TO_WRITE = ("/dev/null", "/dev/zero", "/dev/full", "/dev/ptmx", "/dev/pts", "/dev/tty")
CAGE = ("--unshare-all", "--die-with-parent", "--clearenv", "--hostname", "sandbox", "--cap-drop", "ALL")
SCRATCH = ("/dev/shm", "/tmp", HOME)  # file systems in memory that only one kernel sees, of `Limits.folder` each
PROBE_SECONDS = 240  # by the clock; a start computes for a third of a second, and a refusal comes at once


def environment_folders() -> list[Path]:
    """Folders of the Python environment and of this package: all that a kernel sees beside the bare system."""
    places = [Path(sys.prefix), Path(sys.base_prefix), Path(sys.executable).resolve().parents[1], PACKAGE]
    places += [Path(p) for p in sys.path if Path(p).name in ("site-packages", "dist-packages")]
    if site.ENABLE_USER_SITE:
        places.append(Path(site.getusersitepackages()))
    found = sorted({p for p in places if p.is_dir()})
    return [p for p in found if not any(q in p.parents for q in found) and not p.is_relative_to("/usr")]


def cage_command(folder: Path | None = None, limits: Limits | None = None) -> list[str]:
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


def shown_places(folder: Path) -> list[str]:
    """Places that a kernel in the sandbox may see whole: the bare system, its environment, the folder of its sockets.

    The folders that lead to them are bare: of a home that holds the environment nothing else is seen.
    """
    return ["/proc", "/dev", *SYSTEM, *map(str, environment_folders()), str(folder)]


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
