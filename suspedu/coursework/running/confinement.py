"""How held kernels are launched: `runner.run_batch(jobs, launcher=confined_launcher(mode))` is all a caller needs."""

from __future__ import annotations

import sys
from pathlib import Path

from suspedu.coursework.running import cage, sandbox
from suspedu.coursework.running.limits import Limits, clean_environment
from suspedu.coursework.running.runner import Launcher


def confined_launcher(mode: sandbox.Mode, limits: Limits) -> Launcher:
    """The launcher that puts kernels into the sandbox, or under plain limits where there is none."""
    count, caged = str(int(sandbox.processes_are_counted(mode))), mode.name == "sandboxed"
    open_places = cage.open_places(caged).as_text()
    inside = [sys.executable, "-m", "suspedu.coursework.running.kernel_start", limits.as_text(), count, open_places,
              "-f", "{connection_file}", "--HistoryManager.enabled=False"]
    return Launcher(argv=(*(cage.cage_command(Path("{wire}"), limits) if caged else ()), *inside),
                    environment=clean_environment("{work}"), plugins=("suspedu.coursework.running.held",),
                    unseen=cage.SCRATCH if caged else ())
