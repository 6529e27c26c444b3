"""Marks the hostile classes on a quiet machine and with every core kept busy, and compares the marks.

By hand: python tests/coursework/returns/busy_machine.py [--quiet 1] [--busy 3]
A mark must not depend on what else the machine does: any difference, and any test that fails, ends it with code 1.
"""

from __future__ import annotations

import argparse
import contextlib
import multiprocessing
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

HERE = Path(__file__).parent
BOUND = 900  # s after which a busy loop ends by itself, whatever becomes of this script
LOOP = f"import time\nend = time.monotonic() + {BOUND}\nwhile time.monotonic() < end: pass"


@contextlib.contextmanager
def busy(loops: int):
    """So many endless loops beside what is done inside."""
    running = [subprocess.Popen([sys.executable, "-c", LOOP]) for _ in range(loops)]
    try:
        yield
    finally:
        for loop in running:
            loop.kill()
            loop.wait()


class Marks:
    """A pytest plugin that takes down what each kind came to."""

    def __init__(self):
        self.points, self.failed = {}, []

    def pytest_runtest_teardown(self, item):
        """Points by question of one kind."""
        values = getattr(item, "funcargs", {})
        if "kind" in values and "hostile" in values:
            students = item.module.STUDENTS
            found = values["hostile"].marked.get(students[values["kind"].name])
            self.points[values["kind"].name] = "-" if found is None else " ".join(
                f"{q.earned:g}" for q in found.questions if q.earned is not None)

    def pytest_runtest_logreport(self, report):
        """Names of tests that failed."""
        if report.failed:
            self.failed.append(report.nodeid)


def one_run(sender) -> None:
    """Run the hostile tests once, in a process of its own."""
    marks = Marks()
    pytest.main(["-q", "--no-header", "-n0", "-p", "no:warnings", str(HERE / "test_hostile_returns.py")],
                plugins=[marks])
    sender.send((marks.points, marks.failed))


def marked(loops: int) -> tuple[dict[str, str], list[str], float]:
    """Points by kind, tests that failed, and how long it took [s]."""
    context, began = multiprocessing.get_context("spawn"), time.monotonic()
    receiver, sender = context.Pipe(duplex=False)
    with busy(loops):
        child = context.Process(target=one_run, args=(sender,))
        child.start()
        sender.close()
        points, failed = receiver.recv()
        child.join()
    return points, failed, time.monotonic() - began


def main() -> int:
    """Run, print the table, and compare."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quiet", type=int, default=1, help="runs without load (default: 1)")
    parser.add_argument("--busy", type=int, default=3, help="runs with a loop on every core (default: 3)")
    asked = parser.parse_args()
    loads = [0] * asked.quiet + [os.cpu_count() or 1] * asked.busy
    runs = [marked(loops) for loops in loads]
    print(f"\n{'kind':42}" + "".join(f"{loops} loops".rjust(12) for loops in loads))
    for kind in runs[0][0]:
        columns = [points.get(kind, "missing") for points, _, _ in runs]
        print(f"{kind:42}" + "".join(column.rjust(12) for column in columns), "" if len({*columns}) == 1 else " DIFFER")
    print(f"{'seconds':42}" + "".join(f"{seconds:12.0f}" for _, _, seconds in runs))
    failed = sorted({name for _, names, _ in runs for name in names})
    same = all(points == runs[0][0] for points, _, _ in runs)
    print(f"{len(runs[0][0])} kinds, {len(runs)} runs: marks {'all the same' if same else 'DIFFER'}; "
          f"{len(failed)} tests failed{': ' if failed else ''}{', '.join(failed)}")
    return 0 if same and not failed and runs[0][0] else 1


if __name__ == "__main__":
    sys.exit(main())
