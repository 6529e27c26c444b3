"""mypy finds nothing in the rooms that compute; the package says that it is typed."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TYPED = ["units.py", "sources.py", "numerics.py", "changes.py", "files.py", "data", "parts", "damper", "ride",
         "machine"]


def mypy(*paths: str) -> subprocess.CompletedProcess:
    """mypy with the project's own settings and its usual cache: most of the time goes into reading numpy's types."""
    command = [sys.executable, "-m", "mypy", "--config-file", str(ROOT / "pyproject.toml")]
    return subprocess.run([*command, *paths], cwd=ROOT, capture_output=True, text=True, timeout=280)


def test_rooms_that_compute_are_clean():
    done = mypy(*(f"suspedu/{name}" for name in TYPED))
    assert done.returncode == 0, done.stdout + done.stderr


def test_a_wrong_type_is_found(tmp_path):
    """A part is made with a text where its quantity belongs: mypy knows what `part` and `quantity` make."""
    wrong = tmp_path / "wrong.py"
    wrong.write_text("from suspedu.units import part, quantity\n\n\n@part\nclass Ring:\n"
                     "    width: float = quantity('mm', 1, 9)\n\n\nRing('4 mm')\n", encoding="utf-8")
    done = mypy(str(wrong))
    assert done.returncode == 1 and "incompatible type" in done.stdout


def test_package_says_that_it_is_typed():
    assert (ROOT / "suspedu/py.typed").exists()
