"""Shim stacks as plates in contact: limits, hand-made cases, kinks, preload, and a plain solver on the same problem."""

from functools import partial
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, minimize

from suspedu.parts.shim_stacks import FATIGUE_LIMIT, Port, Shim, Stack, bent_stack, lift_curve
from suspedu.parts.shim_stacks.complementarity import contact_forces
from suspedu.parts.shim_stacks.contact import balance, contact_stack
from suspedu.parts.shim_stacks.plate import clamped_deflection, flexural_rigidity, pressure_load, ring_load
from suspedu.units import InputError

bending_curve = partial(lift_curve, stretching=False)  # this file is about bending; `test_stretched_stacks` stretches
PORT = Port(0.012, 0.018)


def stack_of(*shims, clamp=10.0):
    return Stack(tuple(Shim(*(1e-3 * number for number in shim)) for shim in shims), clamp * 1e-3)


TWO_STAGE = stack_of((20, 0.15), (20, 0.15), (12, 0.1), (18, 0.15), (16, 0.15), (14, 0.15))
PRELOADED = stack_of((20, 0.15), (20, 0.15), (12, 0.1), (18, 0.2, 15), (18, 0.15), (16, 0.15))
TAPER = stack_of((20, 0.15), (20, 0.15), (18, 0.1), (16, 0.1), (14, 0.1), (12, 0.1))


def lift_at(stack, pressure=5e5, **options) -> float:
    return float(bending_curve(stack, PORT, **options)(pressure))


def seat_slack(problem, pressure):
    return float(problem.compliance[-1] @ balance(problem, pressure) + problem.slack_rates[-1, 0] * pressure)


def test_stack_that_nowhere_parts_equals_the_conforming_one():
    """Unequal thicknesses of one diameter, each shim its own plate: contact must find the conforming answer.

    Contact acts at nodes, pressure between them too; what a plate bends within one element is 1e-5 of the lift.
    """
    stack = stack_of((20, 0.1), (20, 0.25), (20, 0.15), (20, 0.2))
    problem = contact_stack(stack, PORT, merge=False)
    assert len(problem.plates) == 4 and np.all(balance(problem, 5e5)[:-1] >= 0)
    assert seat_slack(problem, 5e5) == pytest.approx(lift_at(stack, conforming=True), rel=1e-5)


def test_under_a_ring_load_it_equals_the_conforming_one_exactly():
    """A ring force acts at a node, as contact does, so nothing is left to the mesh."""
    stack = stack_of((20, 0.1), (20, 0.25), (20, 0.15))
    problem = contact_stack(stack, PORT, merge=False)
    force = balance(problem, 0.0, 25.0)
    slack = problem.compliance @ force + problem.slack_rates @ (0.0, 25.0)
    alone = contact_stack(stack_of((20, 0.1)), PORT)
    cubes = np.array([0.1, 0.25, 0.15]) ** 3
    assert slack[-1] == pytest.approx(25.0 * alone.slack_rates[-1, 1] * cubes[0] / cubes.sum(), rel=1e-9)


@pytest.mark.parametrize("stack", [TWO_STAGE, PRELOADED, TAPER], ids=["two-stage", "preloaded", "taper"])
def test_merging_equal_shims_changes_nothing(stack):
    """Two alike shims that are pressed from both sides share the load in the ratio of their rigidities: no tension
    between them anywhere, so one plate of both rigidities is exact, here to the mesh's 1e-4 of the lift."""
    merged, single = contact_stack(stack, PORT), contact_stack(stack, PORT, merge=False)
    for pressure in (2e5, 1.2e6, 4e6):
        assert seat_slack(merged, pressure) == pytest.approx(seat_slack(single, pressure), rel=1e-4, abs=1e-10)


def test_contact_never_pulls_and_never_overlaps():
    for stack in (TWO_STAGE, PRELOADED, TAPER):
        problem = contact_stack(stack, PORT)
        for pressure in (0.0, 3e5, 1e6, 5e6):
            force = balance(problem, pressure)
            slack = problem.compliance @ force + problem.slack + problem.slack_rates[:, 0] * pressure
            assert np.all(force >= 0)
            assert np.all(slack > -1e-12)  # a picometre
            assert np.abs(force * slack).max() <= 1e-13 * max(1.0, force.max())  # a tenth of a picometre per newton


def test_contact_is_never_stiffer_than_conforming():
    """Conforming glues the shims' curves together, which can only stiffen: a check with no number in it."""
    assert lift_at(TAPER) > lift_at(TAPER, conforming=True)
    assert lift_at(TAPER) == pytest.approx(lift_at(TAPER, conforming=True), rel=0.05)


def test_shim_touching_at_its_edge_alone_is_two_springs():
    """A thin face shim parts from a thick short one everywhere but at its edge: two plates and one unknown ring force.

    `R = w_free(edge) / (c_face(edge, edge) + c_short(edge, edge))`, `lift = w_free(rim) - R c_face(rim, edge)`
    """
    problem = contact_stack(stack_of((20, 0.1), (14, 0.3)), PORT)
    force, radii = balance(problem, 5e5), problem.radii
    edge, rim = (int(np.flatnonzero(radii == radius)[0]) for radius in (0.007, 0.009))
    assert [problem.places[k][2] for k in np.flatnonzero(force)] == [edge]
    face, short = (flexural_rigidity(t * 1e-3, 206e9, 0.3) for t in (0.1, 0.3))
    from_edge = clamped_deflection(radii, face, 0.3, ring_load(radii, radii[edge]))[::2]
    free = clamped_deflection(radii, face, 0.3, 5e5 * pressure_load(radii, 0.006, 0.009))[::2]
    give = clamped_deflection(radii[:edge + 1], short, 0.3, ring_load(radii[:edge + 1], radii[edge]))[-2]
    ring = free[edge] / (from_edge[edge] + give)
    assert force.max() == pytest.approx(ring, rel=1e-9)
    assert lift_at(stack_of((20, 0.1), (14, 0.3))) == pytest.approx(free[rim] - ring * from_edge[rim], rel=1e-9)


def test_two_stage_stack_kinks_where_the_gap_closes():
    """Up to the kink the back shims do nothing; the kink comes when the face shims alone have bent by the gap."""
    back = [(18, 0.15), (16, 0.15), (14, 0.15)]
    face = stack_of((20, 0.15), (20, 0.15))
    curve, front = bending_curve(stack_of((20, 0.15), (20, 0.15), (10, 0.1), *back), PORT), bending_curve(face, PORT)
    kink = float(curve.pressure[1])
    assert curve(0.99 * kink) == pytest.approx(float(front(0.99 * kink)), rel=1e-6)  # two meshes
    assert curve(1.5 * kink) < 0.95 * float(front(1.5 * kink))
    assert curve.rates[-1] < 0.7 * curve.rates[0]  # much stiffer once all shims work
    assert float(front(kink)) == pytest.approx(0.1e-3, rel=1e-4)


def test_gap_scales_the_kink_and_nothing_else():
    thin, thick = (bending_curve(stack_of((20, 0.15), (10, g), (18, 0.15)), PORT) for g in (0.05, 0.15))
    assert thick.pressure[1] == pytest.approx(3 * thin.pressure[1], rel=1e-3)
    assert thick.rates[0] == pytest.approx(thin.rates[0], rel=1e-9)
    assert thick(5e7) > thin(5e7)


def test_spacer_on_a_clamp_of_its_own_size_only_makes_a_gap():
    assert lift_at(stack_of((20, 0.15), (10, 0.2)), 1e6) == pytest.approx(lift_at(stack_of((20, 0.15)), 1e6), rel=1e-9)


def test_ring_shim_preloads_the_stack():
    """Nothing opens below the crack pressure; a thicker ring cracks later; a ring as thick as its centre shim idles."""
    curve = bending_curve(PRELOADED, PORT)
    assert curve.crack_pressure > 1e5 and curve(0.99 * curve.crack_pressure) < 1e-9
    assert curve(1.2 * curve.crack_pressure) > 1e-5
    cracks = [bending_curve(stack_of((20, 0.2), (12, 0.1), (18, t, 15), (18, 0.2)), PORT).crack_pressure
              for t in (0.15, 0.2, 0.3)]
    assert np.all(np.diff(cracks) > 0) and cracks[1] == pytest.approx(2 * cracks[0], rel=0.02)
    idle = stack_of((20, 0.2), (12, 0.1), (18, 0.1, 15), (18, 0.2))
    assert bending_curve(idle, PORT).crack_pressure == 0.0


def test_crack_pressure_is_where_the_seat_lets_go():
    problem, crack = contact_stack(PRELOADED, PORT), bending_curve(PRELOADED, PORT).crack_pressure
    assert balance(problem, 0.98 * crack)[-1] > 0
    assert balance(problem, 1.02 * crack)[-1] == 0.0


@pytest.mark.parametrize("stack", [TWO_STAGE, PRELOADED], ids=["two-stage", "preloaded"])
def test_curve_meets_the_contact_solution_between_its_points(stack):
    """The straight pieces were found from few solutions; fresh ones in between must lie on them, within 0.1 %."""
    problem, curve = contact_stack(stack, PORT), bending_curve(stack, PORT)
    pressures = np.geomspace(2e4, 1.9e7, 60)
    fresh = np.array([seat_slack(problem, p) for p in pressures])
    assert curve(pressures) == pytest.approx(fresh, rel=1e-3, abs=1e-8)


@given(st.lists(st.tuples(st.integers(105, 220), st.sampled_from([0.1, 0.15, 0.2, 0.3])), max_size=6),
       st.floats(0.05, 0.3), st.booleans())
@settings(max_examples=40)
def test_any_stack_lifts_steadily_and_another_shim_never_softens_it(behind, gap, crossover):
    """Any order of shims behind the face shim, with gaps: the lift never falls, and one more shim never adds lift."""
    shims = [(22, 0.15), *([(11, gap)] if crossover else []), *((d / 10, t) for d, t in behind)]
    curve, more = (lift_curve(stack_of(*list_), PORT) for list_ in (shims, [*shims, (15, 0.2)]))
    at = np.linspace(0.0, 3e7, 80)
    assert np.all(np.diff(curve(at)) >= 0) and curve(1e6) > 0
    assert np.all(more(at) <= curve(at) * (1 + 3e-4) + 3e-9)


def test_mesh_hardly_matters():
    for stack in (TWO_STAGE, PRELOADED, TAPER):
        lifts = [seat_slack(contact_stack(stack, PORT, n), 1.5e6) for n in (24, 48)]
        assert lifts[0] == pytest.approx(lifts[1], rel=2e-3)


def test_plain_minimiser_finds_the_same_forces():
    """The dual problem given to a general-purpose minimiser of scipy with plain bounds, on a coarse mesh."""
    problem = contact_stack(TWO_STAGE, PORT, 6)
    slack = problem.slack + problem.slack_rates[:, 0] * 1.5e6
    scale = np.sqrt(np.diag(problem.compliance))
    matrix, start = problem.compliance / np.outer(scale, scale), slack / scale
    start = start / np.abs(start).max()
    plain = minimize(lambda f: 0.5 * f @ matrix @ f + start @ f, np.zeros(len(start)), bounds=[(0, None)] * len(start),
                     jac=lambda f: matrix @ f + start, method="L-BFGS-B",
                     options={"maxiter": 20000, "maxfun": 40000, "ftol": 1e-15, "gtol": 1e-10})
    ours = contact_forces(matrix, start)
    assert (matrix @ ours)[-1] == pytest.approx((matrix @ plain.x)[-1], rel=1e-4)
    assert 0.5 * ours @ matrix @ ours + start @ ours <= plain.fun + 1e-12


def test_primal_problem_by_a_general_minimiser():
    """The same physics without compliances: least potential energy under "no overlap", by scipy's trust-constr."""
    problem = contact_stack(stack_of((20, 0.15), (12, 0.05), (18, 0.15)), PORT, 5)
    stiff = [np.linalg.inv(inverse[::2, ::2]) for inverse in problem.inverses]
    sizes = np.cumsum([0, *(len(k) for k in stiff)])
    whole = np.zeros((sizes[-1], sizes[-1]))
    for k, (a, b) in zip(stiff, pairwise(sizes), strict=True):
        whole[a:b, a:b] = k
    free = np.zeros(sizes[-1])
    free[:sizes[1]] = (problem.inverses[0] @ problem.loads[:, 0])[::2] * 1.5e6
    unit = 1e-4  # in tenths of a millimetre and of the energy, so that the minimiser sees numbers near one
    energy = np.trace(whole) * unit**2 / len(whole)
    hessian, pull = whole * unit**2 / energy, whole @ free * unit / energy
    limits = LinearConstraint(problem.incidence, -problem.slack / unit, np.inf)
    found = minimize(lambda w: 0.5 * w @ hessian @ w - pull @ w, np.zeros(len(free)), jac=lambda w: hessian @ w - pull,
                     hess=lambda w: hessian, constraints=[limits], method="trust-constr",
                     options={"gtol": 1e-10, "xtol": 1e-12, "barrier_tol": 1e-10, "maxiter": 3000})
    lift = float(problem.incidence[-1] @ found.x) * unit
    assert seat_slack(problem, 1.5e6) == pytest.approx(lift, rel=1e-3)


def test_shape_and_stress_for_the_drawing():
    bent = bent_stack(TWO_STAGE, PORT, 2e6)
    assert bent.deflection.shape == (6, len(bent.radii)) and bent.heights.tolist()[:3] == [0.0, 0.15e-3, 0.3e-3]
    assert np.array_equal(bent.deflection[0], bent.deflection[1])  # one layer
    assert np.isnan(bent.deflection[2, -1]) and np.isnan(bent.radial_stress[5, -1])
    lift = np.interp(0.009, bent.radii, bent.deflection[0])
    assert lift == pytest.approx(float(lift_curve(TWO_STAGE, PORT)(2e6)), rel=1e-3)
    tops = bent.heights[:, None] + bent.deflection + bent.thickness[:, None]
    assert np.all(tops[1, bent.radii < 0.009] <= (bent.heights[3] + bent.deflection[3])[bent.radii < 0.009] + 1e-9)


def test_stress_against_the_closed_form_and_the_fatigue_limit():
    """One shim, pressure over all of it: k2 of the handbook's row a/b = 2 is 1.040 (printed: carvill, p. 55), 1 %."""
    bent = bent_stack(stack_of((20, 0.3)), Port(0.010, 0.020), 4e5)
    assert bent.peak_stress == pytest.approx(1.040 * 4e5 * (0.010 / 0.3e-3) ** 2, rel=0.01)
    assert bent.fatigue_share == pytest.approx(bent.peak_stress / FATIGUE_LIMIT)
    assert np.nanargmax(bent.radial_stress[0]) == 0 and bent.radial_stress[0, 0] > 0  # clamp, face side, in tension
    assert abs(bent.radial_stress[0, -1]) < 0.01 * bent.peak_stress  # free edge


def test_equal_shims_share_the_stress_of_one_by_their_number():
    one, four = (bent_stack(stack_of(*[(20, 0.15)] * n), PORT, 3e5) for n in (1, 4))
    assert one.peak_stress == pytest.approx(4 * four.peak_stress, rel=1e-9)


def test_large_deflection_is_flagged():
    small, large = (bent_stack(stack_of((20, 0.15)), PORT, p) for p in (1e5, 1e6))
    assert not small.large_deflection and large.large_deflection
    assert 0.5 < large.deflection_ratio / (10 * small.deflection_ratio) < 0.9  # ten times, had it not stretched
    assert small.bending_share > 0.97 > large.bending_share


def test_contacts_balance_the_load_on_the_last_shim():
    """Every newton on the back shims comes through a listed contact, between shims of the list."""
    bent = bent_stack(TAPER, PORT, 5e5)
    assert all(0 <= front < back < 6 and newton > 0 for front, back, _, newton in bent.contacts)
    at_rest = bent_stack(PRELOADED, PORT, 0.0)
    assert any(front == -1 for front, *_ in at_rest.contacts)  # the seat carries the preload


def test_negative_pressure_is_refused():
    with pytest.raises(InputError, match="pressure under the stack"):
        bent_stack(TAPER, PORT, -1e5)
