"""JupyterLab on the course in a learner's folder, as a server of the course's own.

Its settings, workspaces and configuration lie in
the learner's folder under `.suspedu`, and the learner's other Jupyter set-up is
neither read nor changed. It listens on this machine only and asks for its token.
"""

from __future__ import annotations

import json
import os
import secrets
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

from suspedu.commands import rider_path
from suspedu.files import NotWrittenError, write_whole
from suspedu.units import InputError

HOST = "127.0.0.1"
START_LIMIT = 90.0  # s; a cold disk takes about 10
STOP_LIMIT = 15.0  # s, for the server to shut its kernels down

# Widget messages on a kernel's second thread would let two of them draw on one figure.
LAB_DEFAULTS = {
    "@jupyterlab/apputils-extension:kernels-settings": {"commsOverSubshells": "disabled"},
    "@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False},
    "@jupyterlab/apputils-extension:themes": {"adaptive-theme": True},
    "@jupyter-widgets/jupyterlab-manager:plugin": {"saveState": True},  # becomes stills in `saved_pages`
}
SERVER_DEFAULTS = {
    "LabApp": {
        "news_url": None,
        "check_for_updates_class": "jupyterlab.NeverCheckForUpdate",
        "extension_manager": "readonly",
        "extra_labextensions_path": [str(Path(__file__).parent / "lab")],  # our page's manners
    },
    "ServerApp": {"contents_manager_class": "suspedu.commands.contents.CourseContents"},
    "KernelRestarter": {"time_to_dead": 0.5},  # s; a kernel that died is told of within a second
}


def first_page(folder: Path) -> str:
    """Path of the page that JupyterLab opens on: lesson 00, or the folder where there is none."""
    first = sorted((folder / "lessons").glob("00*.ipynb"))
    return f"lab/tree/lessons/{quote(first[0].name)}" if first else "lab"


def start_server(folder: Path, port: int | None, browser: bool, *, rider: bool = False) -> tuple[subprocess.Popen, str]:
    """A running JupyterLab of the course's own, on the rider's path or not, and the token that it asks for."""
    token = secrets.token_hex(24)
    command = [sys.executable, "-m", "jupyterlab", f"--ServerApp.root_dir={folder}", f"--ServerApp.ip={HOST}",
               f"--LabApp.default_url=/{first_page(folder)}", "--ServerApp.answer_yes=True", "--LabApp.log_level=ERROR",
               "--ServerApp.log_level=ERROR"]
    command += [] if browser else ["--no-browser"]
    command += [f"--ServerApp.port={port}", "--ServerApp.port_retries=0"] if port else []
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.append("--allow-root")  # containers; the server itself would refuse
    path = {rider_path.CHOSEN: "rider" if rider else ""}
    return subprocess.Popen(command, env=_environment(folder, token) | path, cwd=folder), token


def _environment(folder: Path, token: str) -> dict[str, str]:
    """The environment of the server: ours first, the learner's personal Jupyter folders out of the way."""
    home = _configure(folder / ".suspedu" / "jupyter")
    skip = ("JUPYTERLAB_SETTINGS_DIR", "JUPYTERLAB_WORKSPACES_DIR", "JUPYTER_NO_CONFIG")
    kept = {name: value for name, value in os.environ.items() if name not in skip}
    paths = [str(home), *filter(None, [kept.get("JUPYTER_CONFIG_PATH")])]
    return kept | {
        "JUPYTER_CONFIG_DIR": str(home),
        "JUPYTER_CONFIG_PATH": os.pathsep.join(paths),
        "JUPYTER_PREFER_ENV_PATH": "1",  # the kernel of this environment, not a namesake of the learner's
        "JUPYTER_TOKEN": token,  # by environment, since other users of the machine can read a command line
    }


def _configure(home: Path) -> Path:
    files = {home / "labconfig" / "default_setting_overrides.json": LAB_DEFAULTS,
             home / "jupyter_lab_config.json": SERVER_DEFAULTS}
    try:
        for file, content in files.items():
            write_whole(file, json.dumps(content, indent=1))
        write_whole(home / "migrated", b"")  # or Jupyter would copy a very old set-up of the learner's in here
    except NotWrittenError as fault:
        raise InputError(f"cannot write the server's settings into {home}: {fault.why}") from fault
    return home


def address(server: subprocess.Popen, token: str, page: str) -> str:
    """Address of a page, as soon as the server answers.

    Raises: InputError where the server ends or keeps silent.
    """
    deadline = time.monotonic() + START_LIMIT
    while time.monotonic() < deadline and server.poll() is None:
        for url in _addresses(token):
            if _answers(f"{url}api/status?token={token}"):
                return f"{url}{page}?token={token}"
        time.sleep(0.2)
    raise InputError("JupyterLab did not start; type `suspedu ready` to see what is amiss")


def _addresses(token: str) -> Iterator[str]:
    """Addresses that running servers with our token have noted down."""
    from jupyter_core.paths import jupyter_runtime_dir

    for note in Path(jupyter_runtime_dir()).glob("jpserver-*.json"):
        try:
            facts = json.loads(note.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            continue  # just being written, or just gone
        if facts.get("token") == token:
            yield facts["url"]


def _answers(url: str) -> bool:
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))  # loopback never goes through a proxy
    try:
        with opener.open(url, timeout=5) as reply:
            return reply.status == 200
    except OSError:
        return False


def require_free(port: int) -> None:
    """Refuse a port that is out of range or in use."""
    if not 1024 <= port <= 65535:
        raise InputError(f"port is {port}; allowed: 1024 to 65535")
    with socket.socket() as probe:
        if os.name != "nt":  # on Windows this option would let two servers share one port
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError as fault:
            raise InputError(f"port {port} is in use; give another one or leave --port out") from fault


def stop(server: subprocess.Popen) -> None:
    """Ask a server to end, and end it where it does not."""
    if server.poll() is None:
        server.terminate()
    try:
        server.wait(STOP_LIMIT)
    except subprocess.TimeoutExpired:
        server.kill()
