"""Runs nbval over a batch of notebooks in a process of its own and reports what became of each cell."""

from __future__ import annotations

import contextlib
import json
import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path

from suspedu.coursework.running.groups import clear_groups
from suspedu.coursework.running.limits import Limits, clean_environment
from suspedu.coursework.running.meter import BACKSTOP
from suspedu.coursework.running.processes import kill_group
from suspedu.coursework.running.scratch import new_room, new_wires, remove

POLL = 0.05  # s between two looks at the log of a running batch
START_ALLOWANCE = 240.0  # s for pytest to start and to end, which computes for a second or two
# What our own lessons and solutions may use: pictures are large, and a table of numbers runs dozens of times in a row.
ROOMY = Limits(cell_seconds=300.0, notebook_seconds=900.0, message=32 << 20, cell_bytes=64 << 20, cell_messages=20_000)
TRANSPORT = "tcp" if sys.platform == "win32" else "ipc"  # ports are picked in a race that busy machines lose
KERNEL = (sys.executable, "-m", "suspedu.coursework.running.kernel_start", "free", "-f", "{connection_file}",
          "--HistoryManager.enabled=False")


@dataclass(frozen=True)
class Launcher:
    """How kernels start; {connection_file}, {wire} and {work} in argv and environment are filled in per kernel.

    `wire` is the private folder of the sockets, `work` the kernel's empty working folder; `plugins` are further
    pytest plugins by module name, `variables` further environment variables of the pytest process; `unseen` are
    file systems that only the kernel's sandbox sees.
    """

    argv: tuple[str, ...] = KERNEL
    environment: dict[str, str] = field(default_factory=lambda: clean_environment("{work}"))
    transport: str = TRANSPORT
    plugins: tuple[str, ...] = ()
    variables: dict[str, str] = field(default_factory=dict)
    unseen: tuple[str, ...] = ()


def trusted_launcher() -> Launcher:
    """Kernels for our own notebooks: the user's environment (fonts and compiled code are found), fixed hashes."""
    own = {"PYTHONHASHSEED": "0", "IPYTHONDIR": "{work}/.ipython"}
    return Launcher(environment={k: v for k, v in os.environ.items() if k != "MPLBACKEND"} | own)


@dataclass(frozen=True)
class Step:
    """One code cell to run; nbval compares its output with `expected`: a print, a list of outputs, None for nothing."""

    key: str
    source: str
    expected: str | list | None = None


@dataclass(frozen=True)
class Job:
    """One notebook to run, in a kernel of its own."""

    name: str
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class CellOutcome:
    """What became of a cell: outcome "passed" or "failed", the kind of fault, the print, the error, the outputs."""

    outcome: str
    fault: str
    printed: str
    error: dict | None = None
    outputs: list | None = None

    @property
    def passed(self) -> bool:
        """Whether the cell ran and its output was the expected one."""
        return self.outcome == "passed" and not self.fault


def run_batch(jobs: Sequence[Job], launcher: Launcher | None = None, limits: Limits | None = None, *,
              record: bool = False,
              on_record: Callable[[dict], None] | None = None) -> dict[str, dict[str, CellOutcome]]:
    """Outcomes of all cells of all jobs, by job name and cell key; a cell that was not reached is absent.

    Parameters: jobs, each with its own name; launcher of kernels; limits per kernel; record, whether outputs are
    kept whole; on_record, called with each line of the log as it arrives.
    Raises: RuntimeError where pytest itself could not work, with its last words.
    """
    launcher, limits = launcher or Launcher(), limits or Limits()
    room = new_room()
    wires = new_wires(room)
    lines: list[dict] = []
    try:
        plan = _plan(room, wires, jobs, launcher, limits, record)
        allowed = START_ALLOWANCE + BACKSTOP * limits.notebook_seconds * len(jobs)
        code = _run(plan, launcher, allowed, _collector(lines, on_record))
        if code and not any("outcome" in line for line in lines):
            words = (room / "pytest.txt").read_text(encoding="utf-8", errors="replace")[-800:]
            raise RuntimeError(f"the marking engine did not start: {words}")
    finally:
        for folder in (room, wires):
            remove(folder)
    return _outcomes(jobs, lines)


def _collector(lines: list[dict], on_record) -> Callable[[dict], None]:
    def collect(line: dict) -> None:
        lines.append(line)
        if on_record:
            on_record(line)
    return collect


def _outcomes(jobs: Sequence[Job], lines: list[dict]) -> dict[str, dict[str, CellOutcome]]:
    found: dict[str, dict[str, CellOutcome]] = {job.name: {} for job in jobs}
    for line in lines:
        if "key" in line and line["job"] in found:
            found[line["job"]][line["key"]] = CellOutcome(line["outcome"], line["fault"], line["printed"],
                                                          line["error"], line.get("outputs"))
    return found


def _plan(room: Path, wires: Path, jobs: Sequence[Job], launcher: Launcher, limits: Limits,
          record: bool) -> Path:
    """Write the notebooks and the plan of a batch; give the plan's path."""
    books = [room / f"{number:04d}.ipynb" for number in range(len(jobs))]
    for path, job in zip(books, jobs, strict=True):
        path.write_text(json.dumps(_notebook(job)), encoding="utf-8")
    launch = {"argv": launcher.argv, "environment": launcher.environment, "transport": launcher.transport,
              "unseen": launcher.unseen}
    plan = {"notebooks": [str(book) for book in books], "log": str(room / "log"), "places": str(room / "k"),
            "wires": str(wires), "launch": launch, "limits": asdict(limits), "record": record,
            "plugins": launcher.plugins,
            "search_path": [p for p in sys.path if p and p not in ("", str(room))] if launcher.plugins else []}
    path = room / "plan.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    return path


def _notebook(job: Job) -> dict:
    """The notebook that nbval reads: code cells only, outputs only where something is to be compared."""
    cells = []
    for number, step in enumerate(job.steps):
        outputs = step.expected if isinstance(step.expected, list) else _print(step.expected)
        count = None if step.expected is None else 1  # nbval compares a cell only where it has a count
        cells.append({"cell_type": "code", "id": f"c{number}", "metadata": {"suspedu": {"key": step.key}},
                      "source": step.source, "execution_count": count, "outputs": outputs})
    strict = any(isinstance(step.expected, list) for step in job.steps)
    metadata = {"suspedu": {"job": job.name, "strict": strict}}
    return {"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}


def _print(text: str | None) -> list[dict]:
    return [{"output_type": "stream", "name": "stdout", "text": text}] if text else []


def _run(plan: Path, launcher: Launcher, seconds: float, collect: Callable[[dict], None]) -> int:
    """Run the engine and pass on its lines until it ends or its time is over; leave no process behind."""
    environment = clean_environment(str(plan.parent), os.environ.get("PATH", "/usr/bin:/bin"))
    environment |= {"PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1", **launcher.variables}
    tail = _Tail(plan.with_name("log"))
    with plan.with_name("pytest.txt").open("wb") as words:
        command = [sys.executable, "-m", "suspedu.coursework.running.engine", str(plan)]
        engine = subprocess.Popen(command, cwd=plan.parent, env=environment, stdin=subprocess.DEVNULL, stdout=words,
                                  stderr=subprocess.STDOUT, start_new_session=True)
    try:
        while engine.poll() is None and seconds > 0:
            with contextlib.suppress(subprocess.TimeoutExpired):
                engine.wait(POLL)
            seconds -= POLL
            tail.read(collect)
    finally:
        _end(engine, tail, collect)
    return engine.returncode


def _end(engine: subprocess.Popen, tail: _Tail, collect: Callable[[dict], None]) -> None:
    """End the engine and its kernels; one may have begun after the last look."""
    if engine.poll() is None:
        engine.kill()
        kill_group(engine.pid)
        engine.wait()
    try:
        tail.read(collect)
    finally:
        for pid in tail.kernels:
            kill_group(pid)
        clear_groups()


class _Tail:
    """Reads the whole lines that were added to a file since the last look, and knows which kernels still run."""

    def __init__(self, path: Path):
        self.path, self.place, self.running = path, 0, {}

    @property
    def kernels(self) -> set[int]:
        return set(self.running.values())

    def read(self, collect: Callable[[dict], None]) -> None:
        if not self.path.exists():
            return
        with self.path.open("rb") as file:
            file.seek(self.place)
            for line in file:
                if not line.endswith(b"\n"):
                    break
                self.place += len(line)
                if (told := _sound(line)) is not None:
                    self._take(told, collect)

    def _take(self, line: dict, collect: Callable[[dict], None]) -> None:
        if "kernel" in line:
            self.running[line["job"]] = line["kernel"]
        self.running.pop(line.get("end"), None)
        collect(line)


KINDS = {"key": str, "job": str, "end": str, "kernel": int, "stopped": str, "outcome": str, "fault": str,
         "printed": str, "error": dict | None, "outputs": list | None}  # what the engine writes, and of what kind
TOLD = {"key": {"job", "outcome", "fault", "printed", "error"}, "kernel": {"job"}, "stopped": {"job"}}


def _sound(line: bytes) -> dict | None:
    """A line of the log, or nothing where it is none of the engine's: in limited mode an answer can write there too."""
    try:
        told = json.loads(line)
    except (ValueError, RecursionError):
        return None
    if not isinstance(told, dict):
        return None
    kinds = all(isinstance(told[name], KINDS[name]) for name in told.keys() & KINDS.keys())
    return told if kinds and all(needed <= told.keys() for name, needed in TOLD.items() if name in told) else None
