"""The engine: rest stays rest, straight laws give the linear theory, the order is four, and errors speak."""

import dataclasses
import functools
import os
import subprocess
import sys
import threading
from pathlib import Path
from zlib import crc32

import numpy as np
import pytest
from scipy import signal
from scipy.integrate import solve_ivp

from suspedu.parts.tyre import Tyre, contact_length
from suspedu.ride import engine, loop_tables
from suspedu.ride.ground import Ground, ground_over_time, ground_path
from suspedu.ride.linear import LinearVehicle, state_matrices
from suspedu.ride.profile import STEP
from suspedu.ride.simulate import simulate, simulate_many, start_state
from suspedu.ride.terrain import Terrain, flat, rock_garden, rough_ground, square_edge, whoops
from suspedu.ride.vehicle import Vehicle, airborne_stroke, elastic_force, settled_stroke
from suspedu.units import STANDARD_GRAVITY, InputError


def test_at_rest_it_stays_at_rest(vehicle, fork):
    ride = simulate(vehicle, fork, flat())
    assert np.ptp(ride.stroke) < 1e-9  # rounding only
    assert ride.tyre_force == pytest.approx(95.0 * STANDARD_GRAVITY, rel=1e-9)


def test_static_and_hanging_stroke_balance_their_loads(vehicle, fork):
    assert elastic_force(settled_stroke(vehicle, fork), fork) == pytest.approx(
        80.0 * STANDARD_GRAVITY * np.cos(vehicle.rake), rel=1e-9)
    assert elastic_force(airborne_stroke(fork), fork) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("rake", [0.0, 26.5])
def test_linear_laws_reproduce_the_linear_theory(rake, linear_fork):
    """Against scipy.signal.lsim; a rake counts as rate and damping over cos^2."""
    cosine = np.cos(np.radians(rake))
    vehicle = Vehicle(80.0, 15.0, np.radians(rake), Tyre(pressure=1e5, casing_rate=65e3, damping=100.0, width=0.052))
    ride = simulate(vehicle, linear_fork(), rough_ground("A", length=60.0), 6.0)  # smooth: the wheel stays down
    linear = LinearVehicle(80.0, 15.0, 9000 / cosine**2, 900 / cosine**2, 130e3, 100.0)
    A, B = state_matrices(linear)
    _, states, _ = signal.lsim((A, B, np.eye(4), np.zeros((4, 1))), ride.ground.climb[::2], ride.time)
    swing = (ride.stroke - ride.static_stroke) * cosine
    assert ride.tyre_force.min() > 0 and ride.stroke.min() > 0.001
    assert swing == pytest.approx(states[:, 0], abs=2e-3 * np.abs(states[:, 0]).max())  # lsim holds input linear
    assert ride.sprung_velocity == pytest.approx(states[:, 1], abs=2e-3 * np.abs(states[:, 1]).max())


def test_a_wrong_rake_law_is_seen(linear_fork):
    """Wrong on purpose: one cosine instead of two is off by far more than the tolerance above."""
    vehicle = Vehicle(80.0, 15.0, np.radians(26.5), Tyre(pressure=1e5, casing_rate=65e3, damping=100.0, width=0.052))
    ride = simulate(vehicle, linear_fork(), rough_ground("A", length=60.0), 6.0)
    cosine = np.cos(np.radians(26.5))
    A, B = state_matrices(LinearVehicle(80.0, 15.0, 9000 / cosine, 900 / cosine, 130e3, 100.0))
    _, states, _ = signal.lsim((A, B, np.eye(4), np.zeros((4, 1))), ride.ground.climb[::2], ride.time)
    off = np.abs((ride.stroke - ride.static_stroke) * cosine - states[:, 0]).max()
    assert off > 2e-2 * np.abs(states[:, 0]).max()


def test_order_of_the_integrator_is_four(vehicle, linear_fork):
    """Let go from 20 mm out of balance on flat ground: smooth, so the error falls 16 times per halving."""
    fork, start = linear_fork(), start_state(vehicle, linear_fork())
    start[0] += 0.02

    def end(step):
        still = np.zeros(2 * round(0.4 / step) + 1)
        return engine.run(Ground(step, still, still, still, still), vehicle, fork, list(start))[0][-1, :6]

    best = end(1.25e-4)
    errors = [np.abs(end(step) - best).max() for step in (4e-3, 2e-3, 1e-3)]
    assert np.log2(np.divide(errors[:-1], errors[1:])) == pytest.approx([4.0, 4.0], abs=0.25)


def test_within_a_tenth_of_a_millimetre_of_a_strict_reference(vehicle, fork):
    """DOP853 at rtol 1e-10 over the steepest terrain of all, the rock garden."""
    from suspedu.ride import kernel

    terrain = rock_garden(length=18.0)
    ride = simulate(vehicle, fork, terrain)
    path = ground_path(terrain, vehicle.tyre.radius, float(contact_length(vehicle.weight, vehicle.tyre)))
    speed, pieces, starts = terrain.speed, path.c.T.tolist(), path.x.tolist()  # read plainly: the curve takes 20 us
    bike, laws = loop_tables.bike_numbers(vehicle, fork.travel), loop_tables.fork_numbers(fork, vehicle)

    def law(time, state):
        s = min(speed * time, terrain.length)
        k = min(int(s / STEP), len(pieces) - 1)
        (a, b, c, d), x = pieces[k], s - starts[k]
        height, slope = ((a * x + b) * x + c) * x + d, (3 * a * x + 2 * b) * x + c
        return kernel.rates(tuple(state.tolist()), (height, slope * speed, 0.0), bike, laws)[:6]

    strict = solve_ivp(law, (0, ride.time[-1]), ride.record[0, :6], method="DOP853", rtol=1e-10, atol=1e-12,
                       t_eval=ride.time, max_step=0.01)
    assert np.abs(strict.y.T - ride.record[:, :6])[:, [0, 2, 4]].max() < 1e-4
    assert ride.tyre_force.min() == 0.0  # rough indeed: the wheel left the ground


def _digest(before="", **environment) -> str:
    """Bits of a ride as another interpreter computes them: over rocks with stiff seals, so that steps fall in parts."""
    code = f"""
import sys
sys.path.insert(0, {str(Path(__file__).parent)!r})
{before}
import hashlib
import numpy as np
from conftest import TYRE, make_school_fork
from suspedu.parts.friction import SealFriction
from suspedu.ride.simulate import simulate
from suspedu.ride.terrain import rock_garden
from suspedu.ride.vehicle import Vehicle
fork = make_school_fork(seals=(SealFriction(sliding=60.0, stiction=1.5, slow=0.001),))
ride = simulate(Vehicle(80.0, 15.0, 0.46, TYRE), fork, rock_garden(length=17.0))
print(hashlib.sha256(ride.record.tobytes()).hexdigest())
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False, timeout=120,
                          env={**os.environ, **environment})
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


@functools.cache
def usual_digest() -> str:
    return _digest()


def test_compiled_and_as_plain_python_the_same_bits():
    assert usual_digest() == _digest(NUMBA_DISABLE_JIT="1")


def test_one_evaluation_of_the_law_is_its_own_source(vehicle, fork):
    """The function that the loop calls, against the Python function it was compiled from."""
    from suspedu.ride import kernel

    bike, laws = loop_tables.bike_numbers(vehicle, fork.travel), loop_tables.fork_numbers(fork, vehicle)
    for velocity in (-3.0, -0.004, 0.0, 0.02, 5.0):
        state, now = (0.01, 0.3, 0.11, 0.3 + velocity, 0.0, 0.1), (0.12, 0.5, 2.0)
        assert kernel.rates(state, now, bike, laws) == kernel.rates.py_func(state, now, bike, laws)


def test_where_no_cache_can_be_written_it_compiles_all_the_same(monkeypatch):
    """Neither the package's folder nor the user's takes a cache: the function that makes the loop, with a short one."""
    from numba.core.caching import CacheImpl

    from suspedu.ride import kernel

    monkeypatch.setattr(CacheImpl, "_locator_classes", [])
    assert kernel.compiled(lambda x: 2.0 * x)(3.5) == 7.0


def test_the_compiled_loop_is_kept_on_disk(tmp_path):
    """In a place of one's own, as where the package's folder is closed to writing.

    What lies beside the sources is taken over and not made again, as in a kernel that marks."""
    from suspedu.ride import kernel

    counted = "import atexit; from suspedu.ride.kernel import integrate; " \
              "atexit.register(lambda: print(sum(integrate.stats.cache_hits.values())))"
    usual, line = usual_digest(), kernel.integrate.py_func.__code__.co_firstlineno
    beside = [*(Path(engine.__file__).parent / "__pycache__").glob(f"kernel.*integrate-{line}.*.nbc")]
    made = _digest(before=counted, NUMBA_CACHE_DIR=str(tmp_path))
    assert made == f"{usual}\n{len(beside[:1])}"
    before = {path: path.stat().st_mtime_ns for path in tmp_path.rglob("*.nb?")}
    assert [path for path in before if path.suffix == ".nbi" and "integrate" in path.name]
    taken = _digest(before=counted, NUMBA_CACHE_DIR=str(tmp_path))
    assert taken == f"{usual_digest()}\n1"
    assert {path: path.stat().st_mtime_ns for path in tmp_path.rglob("*.nb?")} == before  # not made again


def test_other_sources_are_another_key_on_disk(monkeypatch):
    """What the loop closes over is part of the key under which the compiler looks for it."""
    from numba.core.registry import cpu_target

    from suspedu.ride import kernel

    def key(made_of):
        return kernel._loop(made_of)._cache._index_key((), cpu_target.target_context.codegen())

    here = kernel.sources()
    monkeypatch.setattr(kernel, "crc32", lambda data: crc32(data + b"# another line"))
    assert key(here) == key(here) != key(kernel.sources())


def test_import_of_the_room_is_light():
    """Neither numba nor any picture library before a ride is asked for."""
    code = ("import sys; import suspedu.ride, suspedu.ride.simulate, suspedu.ride.outcomes, suspedu.ride.search; "
            "print([m for m in ('numba', 'matplotlib', 'IPython', 'ipywidgets') if m in sys.modules])")
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "[]\n"


def test_engine_says_that_it_gets_ready():
    code = "from suspedu.ride.engine import prepare; prepare(print); prepare(print)"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert said.splitlines() == ["Getting the ride engine ready: once on this machine, a few seconds.",
                                 "The ride engine is ready."]


def test_many_settings_equal_one_by_one(vehicle, school_fork):
    forks = [school_fork(rebound=factor) for factor in (0.5, 1.0, 2.0, 4.0)]
    told = []
    many = simulate_many([vehicle], forks, whoops(), keep=lambda ride: ride.record.copy(),
                         progress=lambda *at: told.append(at))
    assert told == [(1, 4), (2, 4), (3, 4), (4, 4)]
    for fork, record in zip(forks, many, strict=True):
        assert np.array_equal(record, simulate(vehicle, fork, whoops()).record)


def test_two_threads_may_ride_at_once(vehicle, fork):
    """JupyterLab may call two sliders from two threads."""
    alone, found = simulate(vehicle, fork, whoops()).record, []

    def ride_once():
        found.append(simulate(vehicle, fork, whoops()).record)

    threads = [threading.Thread(target=ride_once) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(found) == 4 and all(np.array_equal(record, alone) for record in found)


def test_a_diverging_run_is_stopped_and_said(vehicle, linear_fork):
    too_steep = linear_fork(rate=1e8)  # far past the stability limit of a step of 2 ms on 15 kg
    with pytest.raises(InputError, match="run diverged, so it shows nothing"):
        simulate(vehicle, too_steep, square_edge(), step=2e-3)


def test_one_diverging_setting_among_many_is_none_and_all_is_a_sentence(vehicle, fork, linear_fork):
    forks = [fork, linear_fork(rate=1e8)]
    kept = simulate_many([vehicle], forks, square_edge(), step=2e-3, keep=lambda ride: ride.stroke.max())
    assert kept[0] > 0 and kept[1] is None
    with pytest.raises(InputError, match="diverged"):
        simulate_many([vehicle], forks[1:], square_edge(), step=2e-3, keep=lambda ride: 0)


@pytest.mark.parametrize("ask, sentence", [
    (lambda v, f: simulate(v, f, flat(), 0.0), "speed is 0 m/s.*stands still"),
    (lambda v, f: simulate(v, f, flat(), -5.0), "speed is −5 m/s.*minus sign"),
    (lambda v, f: whoops(spacing=8.0, count=20), "whoops take 164 m with the run-in, longer than the run of 64 m"),
    (lambda v, f: Vehicle(-80.0, 15.0, 0.4, v.tyre), "sprung mass on the front is −80 kg.*minus sign"),
    (lambda v, f: Vehicle(80.0, 15.0, 0.4, None), "the machine has no tyre"),
    (lambda v, f: simulate(v, f, flat(), drop_height=-1.0), "drop height is −1 m"),
    (lambda v, f: simulate(v, f, Terrain("cliff", np.array([0.0, np.nan]), 5.0)), "'cliff' holds heights"),
    (lambda v, f: simulate(v, dataclasses.replace(f, spring_force=f.spring_force - 8e3), flat()), "cannot carry"),
    (lambda v, f: dataclasses.replace(f, strokes=f.strokes**2), "not an even, rising grid"),
    (lambda v, f: dataclasses.replace(f, velocities=f.velocities[::-1]), "velocities of the damping table do not rise"),
    (lambda v, f: dataclasses.replace(f, air_pressures=(f.strokes,) * 2), "air_pressures has 2 entries and seals 1"),
    (lambda v, f: dataclasses.replace(f, damping_force=f.damping_force[:-1]), "damping table has the shape"),
    (lambda v, f: dataclasses.replace(f, damping_force=f.damping_force + 40), "pushes 40 N at rest.*gas force"),
    (lambda v, f: dataclasses.replace(f, stop_force=f.damping_force), "stop table must begin at the stroke"),
    (lambda v, f: simulate_many([v] * 2, [f] * 3, flat(), keep=id), "2 vehicles and 3 forks do not pair up"),
    (lambda v, f: simulate(v, f, flat(), step=0.1), "time step is 100 ms"),
])
def test_impossible_requests_get_a_sentence(vehicle, fork, ask, sentence):
    with pytest.raises(InputError, match=sentence):
        ask(vehicle, fork)


def test_braking_takes_the_distance_of_the_physics(vehicle):
    from suspedu.ride.terrain import hard_braking

    ground = ground_over_time(hard_braking(7.0, 18.0, 4.0), 18.0, 0.345, 0.09, 5e-4)
    lost = np.trapezoid(ground.slowing, dx=ground.step / 2)
    assert lost == pytest.approx(14.0, rel=1e-6)  # m/s, from 18 to 4


def test_static_braking_load_is_load_transfer_and_jacking(vehicle, school_fork):
    """After the brake has settled: axle load by moments about the rear wheel, fork by virtual work."""
    from suspedu.ride.terrain import hard_braking

    ride = simulate(vehicle, school_fork(seals=()), hard_braking(5.0, 25.0, 4.0))
    held = np.flatnonzero(ride.slowing == 5.0)[-1]
    load = 95.0 * STANDARD_GRAVITY + 190.0 * 5.0 * 0.9 / 1.48
    assert ride.tyre_force[held] == pytest.approx(load, rel=2e-3)  # nearly at rest again
    along = (load - 15.0 * STANDARD_GRAVITY) * np.cos(vehicle.rake) + 0.75 * 190.0 * 5.0 * np.sin(vehicle.rake)
    assert ride.fork_force[held] == pytest.approx(along, rel=2e-3)
