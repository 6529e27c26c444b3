"""The rooms that compute, mark and answer a command load no pictures, no widgets, no compiler, no statistics."""

import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "suspedu"
ROOMS = [room for room in ("numerics", "data", "parts", "damper", "ride", "machine", "school", "recordings",
                           "coursework", "commands", "cli")
         if (PACKAGE / room).exists() or (PACKAGE / f"{room}.py").exists()]
HEAVY = ["matplotlib", "IPython", "ipywidgets", "anywidget", "numba", "pint", "scipy.stats"]
LOAD_ALL = """
import importlib, pkgutil, sys
*rooms, heavy = sys.argv[1:]
for name in rooms:
    room = importlib.import_module("suspedu." + name)
    for module in pkgutil.walk_packages(getattr(room, "__path__", []), room.__name__ + "."):
        if module.name not in ALONE:
            importlib.import_module(module.name)
    print(name, *sorted(set(heavy.split()) & set(sys.modules)))
"""
# Modules that only ever run inside a marking kernel or a pytest of their own, where IPython is there already; and the
# loop of the ride, which loads the compiler and is imported with the first ride.
ALONE = {"suspedu.coursework.running.kernel_start", "suspedu.coursework.kernel_start", "suspedu.ride.kernel",
         "suspedu.ride.kernel_forces", "suspedu.ride.kernel_lookup", "suspedu.recordings.kernel"}


def loaded(*rooms: str, before: str = "") -> dict[str, list[str]]:
    """Which heavy packages a fresh interpreter holds after each room, loaded one on top of the other."""
    program = f"ALONE = {ALONE!r}\n{before}\n{LOAD_ALL}"
    done = subprocess.run([sys.executable, "-c", program, *rooms, " ".join(HEAVY)], capture_output=True, text=True,
                          timeout=120)
    assert done.returncode == 0, done.stderr
    return {name: heavy for name, *heavy in map(str.split, done.stdout.splitlines())}


@pytest.fixture(scope="module")
def of_all() -> dict[str, list[str]]:
    """One interpreter for all rooms, lowest first: the first that is not empty is the one to blame."""
    return loaded(*ROOMS)


@pytest.mark.parametrize("room", ROOMS)
def test_room_is_light(of_all, room):
    assert of_all[room] == []


def test_a_heavy_room_would_be_noticed():
    assert loaded("units", before="import matplotlib") == {"units": ["matplotlib"]}


def test_machines_wait_for_the_parts_of_scipy():
    """Half a second of the start of every kernel: scipy loads its rooms itself, when one is first asked for."""
    program = "import sys\nimport suspedu.machine\nprint(*{'scipy.optimize', 'scipy.special'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, timeout=120)
    assert (done.returncode, done.stdout.split()) == (0, []), done.stderr


def test_a_confined_kernel_waits_for_no_numpy():
    """A class of two hundred starts hundreds of kernels; many an answer needs no numpy."""
    program = "import sys\nimport suspedu.coursework.running.kernel_start\nprint('numpy' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, timeout=120)
    assert done.stdout.split() == ["False"], done.stderr
