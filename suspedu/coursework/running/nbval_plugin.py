"""A small pytest plugin round nbval: our kernel, our cell keys, and one JSON line per cell as it happens.

The exit code of pytest says nothing here (nbval expects failures after a time-out); whoever
reads the lines counts the cells that passed.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from nbval.plugin import IPyNbFile, NbCellError

from suspedu.coursework.running import kernel
from suspedu.coursework.running.limits import Limits

UNCOMPARED = ("text/html", "application/javascript", "application/json", "image/svg+xml")  # never kept in git
SHOWN = 2000  # characters of a print that a line keeps when marking
ANSI = re.compile(r"\x1b\[[0-9;]*m")
LINE = re.compile(r"Cell In ?\[\d*\], line (\d+)")
PLACE = re.compile(r" \(\d+\.py, line \d+\)$")  # a syntax error names IPython's file of the moment
FAULTS = {kernel.KernelDiedError: "died", kernel.OutputFloodError: "flood", kernel.CellOverrunError: "timeout"}


class Notebook(IPyNbFile):
    """A notebook of nbval whose kernel is ours and whose cells carry their key."""

    def setup(self):
        """Start the kernel in a folder of its own."""
        self.watch = self.config.pluginmanager.get_plugin("suspedu-cells")
        plan = self.watch.plan
        work, wire = (Path(plan[spot]) / self.path.stem for spot in ("places", "wires"))
        self.kernel = kernel.BoundedKernel(plan["launch"], self.watch.limits, work, wire)
        self.watch.write({"kernel": self.kernel.pid, "job": self.job})

    def teardown(self):
        """End the kernel and say so."""
        super().teardown()
        self.watch.write({"end": self.job})

    def collect(self):
        """The code cells, with markers in comments overruled: a learner's comment decides nothing."""
        items = list(super().collect())
        strict = self.nb.metadata["suspedu"]["strict"]
        self.skip_compare += UNCOMPARED + (() if strict else ("stderr",))  # a right answer may come with a warning
        for item in items:
            facts = item.cell.metadata["suspedu"]
            item.options.update(skip=False, check=True, check_exception=False)
            item.user_properties += [("key", facts["key"]), ("job", self.job)]
            yield item

    @property
    def job(self) -> str:
        """Name of the job that this notebook was written for."""
        return self.nb.metadata["suspedu"]["job"]


class CellLog:
    """The plugin: collects notebooks and writes a line per cell."""

    __name__ = "suspedu-cells"  # the name that pytest registers it under

    def __init__(self, plan: dict):
        self.plan, self.limits = plan, Limits(**plan["limits"])
        # Half a surrogate pair, which a cell can print and nothing can store, becomes a question mark.
        self.log = Path(plan["log"]).open("a", encoding="utf-8", errors="replace")  # noqa: SIM115  (closed at the end)

    def write(self, line: dict) -> None:
        """Append one line and hand it to the system at once."""
        self.log.write(json.dumps(line, ensure_ascii=False) + "\n")
        self.log.flush()

    def pytest_collect_file(self, file_path, parent):
        """Take every notebook of the plan."""
        return Notebook.from_parent(parent, path=file_path) if file_path.suffix == ".ipynb" else None

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_setup(self, item):
        """A time-out of one cell is no excuse for the next: nbval would expect the rest to fail."""
        item.parent.timed_out = False

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_call(self, item):
        """Begin to count, and keep pytest from writing long comparisons that nobody reads."""
        item.parent.kernel.begin_cell()
        item.output_timeout = self.limits.silent_seconds
        item.format_output_compare = lambda key, left, right: None

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_makereport(self, item, call):
        """Write what became of the cell."""
        report = yield
        if call.when == "call" or (call.when == "setup" and report.failed):
            line = dict(item.user_properties) | {"outcome": report.outcome, "fault": _fault(call)}
            self.write(line | _shown(item.test_outputs or [], self.plan["record"]))
        return report

    def pytest_unconfigure(self):
        """Close the file of lines."""
        self.log.close()


def _fault(call) -> str:
    """Why a cell failed: differs, error, timeout, died, flood, or dead (its kernel was gone before)."""
    if call.excinfo is None:
        return ""
    if isinstance(call.excinfo.value, NbCellError):
        words = str(call.excinfo.value)
        return "timeout" if "Timeout" in words else "differs" if "differ" in words else "error"
    return FAULTS.get(call.excinfo.type, "dead")


def _shown(outputs: list, record: bool) -> dict:
    """What the cell printed and how it failed; the whole outputs only when recording."""
    printed = "".join(out.text for out in outputs if out.output_type == "stream" and out.name == "stdout")
    error = next((_error(out) for out in outputs if out.output_type == "error"), None)
    shown = {"printed": printed[:SHOWN], "error": error}
    return shown | ({"outputs": outputs, "printed": printed} if record else {})


def _error(output: dict) -> dict:
    """Name and words of an error, the innermost line of it that lies in a cell, and how many lines do."""
    trace = ANSI.sub("", "\n".join(output["traceback"]))[:100_000]
    lines = [int(found) for found in LINE.findall(trace)]
    said = ANSI.sub("", output["evalue"])[:300]
    return {"name": output["ename"][:80], "words": PLACE.sub("", said), "line": lines[-1] if lines else None,
            "frames": len(lines)}
