"""The rooms that compute and mark load no pictures, no widgets and no compiler."""

import subprocess
import sys

import pytest

HEAVY = ["matplotlib", "IPython", "ipywidgets", "anywidget", "numba"]
LOAD_ALL = """
import importlib, pkgutil, sys
room = importlib.import_module(sys.argv[1])
for module in pkgutil.walk_packages(getattr(room, "__path__", []), room.__name__ + "."):
    if module.name not in ALONE:
        importlib.import_module(module.name)
print(*sorted(set(sys.argv[2:]) & set(sys.modules)))
"""
# Modules that only ever run inside a marking kernel or a pytest of their own, where IPython is there already.
ALONE = {"suspedu.coursework.running.kernel_start"}


def loaded(room: str, program: str = LOAD_ALL) -> str:
    """Which of the heavy packages a fresh interpreter holds after importing a room with all its modules."""
    command = [sys.executable, "-c", f"ALONE = {ALONE!r}\n{program}", room, *HEAVY]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


@pytest.mark.parametrize("room", ["suspedu.damper", "suspedu.ride", "suspedu.machine", "suspedu.coursework",
                                  "suspedu.parts", "suspedu.cli"])
def test_room_is_light(room):
    assert loaded(room) == ""


def test_a_heavy_room_would_be_noticed():
    assert loaded("suspedu.units", "import matplotlib\n" + LOAD_ALL) == "matplotlib"
