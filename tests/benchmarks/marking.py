"""How fast a class is marked: 60 returns of one exercise by `suspedu mark`, against 60 single `pytest --nbval` calls.

Both in the same environment, one after the other, on the same answered copies; `mark` with all safety on, its
expected prints not yet known.  The cell with the self-mark button is taken out, since marking does not run it.
To save time the single calls are made for every twelfth copy, spread over the class, and counted twelve times.

    python tests/benchmarks/marking.py [--copies 60] [--all]

Must hold: ratio at most 0.25.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from suspedu.coursework.desk import desk, handout
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.exercise import loading, places
from suspedu.coursework.running import sandbox

MARK = "import sys; from suspedu.cli import main; sys.exit(main(['mark', *sys.argv[1:]]))"
LARGEST_RATIO = 0.25


def answered_class(root: Path, copies: int, number: str) -> list[Path]:
    """A class whose students all answered rightly; the files they return."""
    found = desk.materials([number])
    place = desk.Desk(root / "desk")
    handout.hand_out(place, [Student(str(5001 + k)) for k in range(copies)], found)
    name = next(iter(found))
    solution = loading.solution(places.notebook_of(places.solutions_folder(), name))
    right = {cell.id: cell.source for cell in solution.with_role("answer", "explain")}
    files = []
    for copy in sorted(place.handed_out.glob("*/*.ipynb")):
        book = json.loads(copy.read_text(encoding="utf-8"))
        for cell in book["cells"]:
            cell["source"] = right.get(cell["id"], cell["source"])
        book["cells"] = [c for c in book["cells"] if c["metadata"].get("suspedu", {}).get("role") != "tool"]
        path = root / "returns" / copy.parent.name / copy.name
        path.parent.mkdir(parents=True)
        path.write_text(json.dumps(book), encoding="utf-8")
        files.append(path)
    return files


def seconds(command: list[str]) -> float:
    """How long a command takes; it must end well."""
    began = time.perf_counter()
    done = subprocess.run(command, capture_output=True, text=True)
    if done.returncode:
        raise SystemExit(f"{command[:4]} failed:\n{done.stdout[-2000:]}{done.stderr[-2000:]}")
    return time.perf_counter() - began


def main() -> int:
    """Measure both ways and print the ratio; 1 where it is too large."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--copies", type=int, default=60)
    parser.add_argument("--all", action="store_true", help="make every single call instead of every twelfth")
    given = parser.parse_args()
    os.environ.setdefault(sandbox.AS_ROOT, "1")  # the answers are our own
    print(sandbox.chosen_mode("auto").words)
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        files = answered_class(root, given.copies, "01")
        marking = seconds([sys.executable, "-c", MARK, str(root / "returns"), "01", "--desk", str(root / "desk")])
        step = 1 if given.all else 12
        singles = [seconds([sys.executable, "-m", "pytest", "--nbval", "-q", "-p", "no:cacheprovider", "--rootdir",
                            str(path.parent), str(path)]) for path in files[::step]]
    single = sum(singles) / len(singles) * given.copies
    ratio = marking / single
    print(f"mark: {marking:.1f} s for {given.copies} returns ({marking / given.copies:.2f} s each)")
    print(f"pytest --nbval, one call each: {single:.1f} s ({single / given.copies:.2f} s each)")
    print(f"ratio {ratio:.3f} (must be at most {LARGEST_RATIO})")
    return int(ratio > LARGEST_RATIO)


if __name__ == "__main__":
    sys.exit(main())
