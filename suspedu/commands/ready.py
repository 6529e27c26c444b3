"""`suspedu ready`: whether this machine is ready for the course, in plain words, and what to type if not."""

from __future__ import annotations

import os
import platform
import shutil
import socket
import subprocess
import sys
import tempfile
from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib import metadata
from importlib.util import find_spec
from pathlib import Path

KERNEL_LIMIT = 60  # s; a cold disk takes about 10
DISK_NEEDED = 200e6  # bytes: the course itself takes a few, JupyterLab's workspaces and caches the rest
PYTHON = sys.executable if " " not in sys.executable else f'{"& " * (os.name == "nt")}"{sys.executable}"'
PIP = f"{PYTHON} -m pip install"
WIDGET_PARTS = ("anywidget", "@jupyter-widgets/jupyterlab-manager")


@dataclass(frozen=True)
class Finding:
    """One thing looked at: what it is, what was found, and what to type where it is not right ("" = it is)."""

    topic: str
    found: str
    remedy: str = ""

    def line(self) -> str:
        """The finding as the learner reads it.

        >>> Finding("disk", "20 GB free").line()
        'right   disk: 20 GB free'
        """
        text = f"{'WRONG' if self.remedy else 'right':7} {self.topic}: {self.found}"
        return text + (f"\n        what to do: {self.remedy}" if self.remedy else "")


def add_arguments(parser: ArgumentParser) -> None:
    """Describe the arguments of `suspedu ready`."""
    parser.add_argument("folder", metavar="FOLDER", nargs="?", type=Path, default=Path(),
                        help="the folder you work in; the present one when left out")


def run(args: Namespace) -> int:
    """Look at everything, print each finding as it is made; 0 when all is right, 1 otherwise."""
    wrong = 0
    for finding in findings(args.folder.expanduser()):
        print(finding.line(), flush=True)
        wrong += bool(finding.remedy)
    print("\nThis machine is ready for the course." if not wrong else f"\nTo be mended: {wrong}, as said above.")
    return 1 if wrong else 0


def findings(folder: Path) -> Iterator[Finding]:
    """Every finding, cheap ones first; a look that breaks is itself a finding."""
    looks: list[tuple[str, Callable[[], Finding]]] = [
        ("interpreter", interpreter), ("versions", packages), ("course", course), ("widgets", widgets),
        ("write access", lambda: write_access(folder)), ("disk", lambda: disk(folder)),
        ("own network", loopback), ("kernel", kernel),
    ]
    for topic, look in looks:
        try:
            yield look()
        except Exception as fault:  # whatever is broken here, the learner gets a sentence
            yield Finding(topic, f"could not be looked at ({type(fault).__name__}: {fault})", reinstall())


def reinstall() -> str:
    """What to type to install the course again with all that it stands on."""
    return f"install the course again with the first command of its README, or type {PIP} --upgrade suspedu"


def interpreter() -> Finding:
    """Whether this Python is new enough."""
    from packaging.specifiers import SpecifierSet

    needed = metadata.metadata("suspedu")["Requires-Python"]
    found = f"Python {platform.python_version()} at {sys.executable}"
    fits = SpecifierSet(needed).contains(platform.python_version(), prereleases=True)
    return Finding("interpreter", found, "" if fits else f"install Python {needed}, then the course again with it")


def packages() -> Finding:
    """Whether every package that the course stands on is there, within its bounds."""
    slips = list(missing_packages(metadata.requires("suspedu") or []))
    if not slips:
        return Finding("versions", "every package that the course needs is there and new enough")
    wanted = " ".join(f'"{needed}"' for needed, _ in slips)
    return Finding("versions", "; ".join(found for _, found in slips), f"{PIP} {wanted}")


def missing_packages(requirements: list[str]) -> Iterator[tuple[str, str]]:
    """Requirements that are not met here, each with what was found instead; those of extras are left out.

    >>> list(missing_packages(["numpy>=1", "numpy<1", "scipy>=9999; extra == 'test'"]))[0][0]
    'numpy<1'
    """
    from packaging.requirements import Requirement

    for text in requirements:
        needed = Requirement(text)
        if needed.marker and not needed.marker.evaluate({"extra": ""}):
            continue
        try:
            version = metadata.version(needed.name)
        except metadata.PackageNotFoundError:
            yield f"{needed.name}{needed.specifier}", f"{needed.name} is missing"
            continue
        if not needed.specifier.contains(version, prereleases=True):
            yield f"{needed.name}{needed.specifier}", f"{needed.name} is {version}, needed {needed.specifier}"


def course() -> Finding:
    """Whether the notebooks came along."""
    from suspedu.commands.laying import course_files

    notebooks = [place for place, _ in course_files() if place.endswith(".ipynb")]
    return Finding("course", f"{len(notebooks)} notebooks", "" if notebooks else reinstall())


def widgets() -> Finding:
    """Whether sliders can be shown: the Python side, and its counterpart for the browser."""
    from jupyter_core.paths import jupyter_path

    lacking = [name for name in ("ipywidgets", "anywidget") if find_spec(name) is None]
    folders = [Path(folder) for folder in jupyter_path("labextensions")]
    lacking += [f"{part} (in the browser)" for part in WIDGET_PARTS
                if not any((folder / part / "package.json").is_file() for folder in folders)]
    if lacking:
        return Finding("widgets", f"missing: {', '.join(lacking)}", f"{PIP} --force-reinstall ipywidgets anywidget")
    return Finding("widgets", "ipywidgets and anywidget, with their parts for the browser")


def write_access(folder: Path) -> Finding:
    """Whether the folder can be written in."""
    place = folder.resolve()
    try:
        with tempfile.TemporaryFile(dir=place):
            return Finding("write access", f"{place} can be written in")
    except OSError as fault:
        remedy = "go to a folder of your own (cd), or give one: suspedu ready FOLDER"
        return Finding("write access", f"{place}: {fault.strerror or fault}", remedy)


def disk(folder: Path) -> Finding:
    """Whether there is room for the course."""
    free = shutil.disk_usage(folder).free
    found = f"{free / 1e9:.3g} GB free, {DISK_NEEDED / 1e9:.3g} GB needed"
    return Finding("disk", found, "" if free >= DISK_NEEDED else "make room on this disk, or work on another one")


def loopback() -> Finding:
    """Whether a server on this machine can be reached from it, which the browser needs."""
    try:
        with socket.create_server(("127.0.0.1", 0)) as server:
            socket.create_connection(server.getsockname(), timeout=5).close()
    except OSError as fault:
        return Finding("own network", f"127.0.0.1 does not answer ({fault.strerror or fault})",
                       "let your firewall allow connections of this machine to itself")
    return Finding("own network", "127.0.0.1 answers")


def kernel() -> Finding:
    """Whether a notebook's kernel starts, computes, and is this very Python."""
    from jupyter_client.manager import start_new_kernel

    remedy = f"{PIP} --force-reinstall ipykernel, then: {PYTHON} -m ipykernel install --sys-prefix"
    try:
        manager, client = start_new_kernel(KERNEL_LIMIT, "python3", stderr=subprocess.DEVNULL)
    except Exception as fault:  # missing specification, port, permission: all the same to the learner
        return Finding("kernel", f"did not start ({fault})", remedy)
    try:
        prefix = _ask(client, "sys.prefix")
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)
    if Path(prefix).resolve() != Path(sys.prefix).resolve():
        return Finding("kernel", f"is another Python, of {prefix}", remedy)
    return Finding("kernel", "starts, computes, and is this very Python")


def _ask(client, expression: str) -> str:
    """Value of an expression in the kernel, with the course imported first."""
    wanted = {"answer": expression}
    reply = client.execute("import sys, suspedu", user_expressions=wanted, reply=True, timeout=KERNEL_LIMIT)
    content = reply["content"]
    if content["status"] != "ok":
        raise RuntimeError(f"the kernel says {content.get('evalue', content['status'])}")
    return content["user_expressions"]["answer"]["data"]["text/plain"].strip("'\"").replace("\\\\", "\\")
