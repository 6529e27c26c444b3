"""Many short programs in one cell of one kernel: reference answers for a whole class in the time of a few cells."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import islice

from suspedu.coursework.running.limits import ONE_THREAD
from suspedu.coursework.running.runner import ROOMY, CellOutcome, Job, Launcher, Step, run_batch, trusted_launcher

AT_ONCE = 400  # programs in one cell
BEGIN, END = "\x05", "\x06"  # control characters round what a cell reports
PROGRAMS = '''
import contextlib, io, json
def _run(source):
    out, fault = io.StringIO(), None
    try:
        with contextlib.redirect_stdout(out):
            exec(compile(source, "<reference>", "exec"), {{"__name__": "__main__"}})
    except (Exception, SystemExit) as stopped:
        fault = type(stopped).__name__, str(stopped)
    return out.getvalue(), fault
print({begin!r} + json.dumps([_run(source) for source in json.loads({sources!r})]) + {end!r})
'''


def run_sources(sources: dict[str, str], launcher: Launcher | None = None) -> dict[str, CellOutcome]:
    """Outcomes by key of programs that are run one after the other, each with names of its own and its whole print.

    Parameters: sources by key; launcher of the kernel, a trusted one if left out.
    A key is missing where its cell was brought down: by an endless loop, or by one that ended the process.
    """
    rest = iter(sources.items())
    chunks = list(iter(lambda: dict(islice(rest, AT_ONCE)), {}))
    steps = tuple(Step(str(k), PROGRAMS.format(begin=BEGIN, end=END, sources=json.dumps(list(chunk.values()))))
                  for k, chunk in enumerate(chunks))
    found = run_batch([Job("reference", steps)], launcher or _one_thread(), ROOMY, record=True)["reference"]
    return {key: outcome for k, chunk in enumerate(chunks)
            for key, outcome in zip(chunk, _reported(found.get(str(k)), len(chunk)), strict=True) if outcome}


def _one_thread() -> Launcher:
    """A trusted kernel that computes on one thread, as the students' do."""
    usual = trusted_launcher()
    return replace(usual, environment=usual.environment | ONE_THREAD)


def _reported(cell: CellOutcome | None, count: int) -> list[CellOutcome | None]:
    """What a cell reports of each of its programs; where it was brought down, that, of all of them."""
    if cell is None or not cell.passed:
        return [cell] * count
    text = cell.printed.rpartition(BEGIN)[2].partition(END)[0]
    return [CellOutcome("passed" if fault is None else "failed", "" if fault is None else "error", printed,
                        fault and {"name": fault[0], "words": fault[1], "line": None, "frames": 1})
            for printed, fault in json.loads(text)]
