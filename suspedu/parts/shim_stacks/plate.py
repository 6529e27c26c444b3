"""The annular Kirchhoff plate, clamped at its bore and free outside, by finite elements along the radius.

One element between neighbouring radii carries the deflection as a Hermite cubic: its
unknowns are deflection and slope at both ends. All radii where rigidity or load change
must be nodes; then the deflection converges with the fourth power of the element size.
"""

from __future__ import annotations

import numpy as np

_POINTS, _WEIGHTS = np.polynomial.legendre.leggauss(6)
AT, SHARE = 0.5 * (_POINTS + 1.0), 0.5 * _WEIGHTS  # on 0..1; six points, since the integrand holds 1/r


def flexural_rigidity(thickness, young: float, poisson: float):
    """Resistance of a plate to bending, D = E t^3 / (12 (1 - nu^2)).

    Parameters: thickness [any shape, m]; young [Pa]; poisson [-].
    Returns: rigidity [same shape, N m].

    >>> round(float(flexural_rigidity(0.2e-3, 206e9, 0.3)), 4)
    0.1509

    Source: timoshenko-plates, equation 3 (printed, from memory)
    """
    return young * np.asarray(thickness) ** 3 / (12.0 * (1.0 - poisson**2))


def radial_mesh(breaks, elements: int):
    """Radii of the nodes: every break, and between breaks about `elements` elements spread evenly in log r.

    Parameters: breaks [n, m], radii where anything changes; elements, how many in all (at least one per span).
    Returns: radii [m].

    >>> radial_mesh((1.0, 4.0), 2).round(3).tolist()
    [1.0, 2.0, 4.0]

    Source: strang-fix, chapter 1: nodes at the jumps keep the full order (printed, from memory)
    """
    edges = np.unique(np.asarray(breaks, dtype=float))
    share = np.log(edges[1:] / edges[:-1]) / np.log(edges[-1] / edges[0])
    counts = np.maximum(1, np.ceil(elements * share - 1e-9).astype(int))
    spans = [np.geomspace(a, b, n + 1)[:-1] for a, b, n in zip(edges[:-1], edges[1:], counts, strict=True)]
    return np.concatenate([*spans, edges[-1:]])


def shape_functions(radii, at=AT):
    """Hermite cubics of every element: value, slope and second derivative for (w, w') at both ends.

    Parameters: radii [n, m]; at [k, -], places on 0..1 within each element.
    Returns: three arrays [n-1 elements, k places, 4].

    >>> value, slope, bend = shape_functions(np.array([1.0, 2.0]), np.array([0.5]))
    >>> value[0, 0].tolist()
    [0.5, 0.125, 0.5, -0.125]

    Source: strang-fix, section 1.7 (printed, from memory)
    """
    h, s = np.diff(radii)[:, None], np.asarray(at)[None, :]
    one = np.ones_like(h * s)
    value = [1 - 3 * s**2 + 2 * s**3, h * s * (1 - s) ** 2, s**2 * (3 - 2 * s), h * s**2 * (s - 1)]
    slope = [6 * s * (s - 1) / h, (1 - s) * (1 - 3 * s), 6 * s * (1 - s) / h, s * (3 * s - 2)]
    bend = [(12 * s - 6) / h**2, (6 * s - 4) / h, (6 - 12 * s) / h**2, (6 * s - 2) / h]
    return tuple(np.stack([one * part for part in parts], axis=-1) for parts in (value, slope, bend))


def stiffness(radii, rigidity, poisson: float):
    """Stiffness matrix of the whole plate, before clamping.

    U = pi int D (w''^2 + (w'/r)^2 + 2 nu w'' w'/r) r dr = u.K u / 2

    Parameters: radii [n, m]; rigidity [n-1 or scalar, N m]; poisson [-].
    Returns: K [2n, 2n] for the unknowns (w0, w0', w1, w1', ...) [N/m, N, N m].

    >>> stiffness(np.array([1.0, 2.0]), 1.0, 0.3).shape
    (4, 4)

    Source: timoshenko-plates, strain energy of a plate bent to a surface of revolution (printed, from memory)
    """
    _, slope, radial = shape_functions(radii)
    h = np.diff(radii)[:, None]
    at = radii[:-1, None] + h * AT
    tangential = slope / at[..., None]
    weight = 2.0 * np.pi * at * h * SHARE * np.broadcast_to(rigidity, h.shape[0])[:, None]
    squares = np.einsum("eg,egi,egj->eij", weight, radial, radial + 2.0 * poisson * tangential)
    squares += np.einsum("eg,egi,egj->eij", weight, tangential, tangential)
    return _assembled(0.5 * (squares + squares.transpose(0, 2, 1)))


def _assembled(blocks):
    size = 2 * len(blocks) + 2
    whole = np.zeros((size, size))
    place = 2 * np.arange(len(blocks))[:, None] + np.arange(4)
    np.add.at(whole, (place[:, :, None], place[:, None, :]), blocks)
    return whole


def pressure_load(radii, inner: float, outer: float):
    """Load vector of a unit pressure on the annulus between two radii, both of them nodes.

    f_i = int N_i 2 pi r dr

    Parameters: radii [n, m]; inner, outer [m].
    Returns: load [2n, m2 and m3] for one pascal.

    >>> load = pressure_load(np.array([1.0, 2.0]), 1.0, 2.0)
    >>> round(float(load[::2].sum() / np.pi), 9)  # the annulus has 3 pi of area
    3.0

    Source: strang-fix, section 1.7 (printed, from memory)
    """
    value, _, _ = shape_functions(radii)
    h, middle = np.diff(radii)[:, None], 0.5 * (radii[1:] + radii[:-1])
    weight = 2.0 * np.pi * (radii[:-1, None] + h * AT) * h * SHARE * ((middle > inner) & (middle < outer))[:, None]
    load = np.zeros(2 * len(radii))
    np.add.at(load, 2 * np.arange(len(h))[:, None] + np.arange(4), np.einsum("eg,egi->ei", weight, value))
    return load


def ring_load(radii, radius: float):
    """Load vector of one newton spread along a circle at a node.

    Parameters: radii [n, m]; radius [m].
    Returns: load [2n, -].

    >>> ring_load(np.array([1.0, 2.0]), 2.0).tolist()
    [0.0, 0.0, 1.0, 0.0]

    Source: strang-fix, section 1.7 (printed, from memory)
    """
    load = np.zeros(2 * len(radii))
    load[2 * int(np.argmin(np.abs(radii - radius)))] = 1.0
    return load


def clamped_deflection(radii, rigidity, poisson: float, load):
    """Deflections and slopes at the nodes of a plate clamped at its first radius.

    K u = f, w = w' = 0 at the bore

    Parameters: radii [n, m]; rigidity [n-1 or scalar, N m]; poisson [-]; load [2n or (2n, m)].
    Returns: unknowns (w, w') [same shape as load; m, -].

    >>> r = radial_mesh((0.006, 0.012), 20)
    >>> w = clamped_deflection(r, flexural_rigidity(0.2e-3, 206e9, 0.3), 0.3, ring_load(r, 0.012))[::2]
    >>> round(float(w[-1] * 206e9 * 0.2e-3**3 / 0.012**2), 4)  # the handbook's k1 for a/b = 2
    0.0877

    Source: timoshenko-plates, table 3 (printed, from memory: the coefficient)
    """
    unknowns = np.zeros(np.shape(load))
    unknowns[2:] = np.linalg.solve(stiffness(radii, rigidity, poisson)[2:, 2:], np.asarray(load)[2:])
    return unknowns


def gathered(unknowns):
    """The four unknowns of every element [n-1, 4] out of those of all nodes [2n], deflection and slope in turn.

    >>> gathered(np.arange(6.0)).tolist()
    [[0.0, 1.0, 2.0, 3.0], [2.0, 3.0, 4.0, 5.0]]
    """
    return unknowns[2 * np.arange(len(unknowns) // 2 - 1)[:, None] + np.arange(4)]


def curvatures(radii, unknowns):
    """Radial and tangential curvature `w''`, `w'/r` at both ends of every element.

    Parameters: radii [n, m]; unknowns (w, w') [2n].
    Returns: two arrays [n-1, 2], 1/m; second-order accurate, and free to jump where the rigidity does.

    >>> r = np.array([1.0, 2.0])
    >>> curvatures(r, np.array([0.5, 1.0, 2.0, 2.0]))[0].tolist()  # w = r^2/2: curvature 1 everywhere
    [[1.0, 1.0]]

    Source: timoshenko-plates, section on symmetrical bending of circular plates (printed, from memory)
    """
    _, slope, bend = shape_functions(radii, np.array([0.0, 1.0]))
    own = gathered(np.asarray(unknowns))
    ends = np.stack([radii[:-1], radii[1:]], axis=1)
    return np.einsum("egi,ei->eg", bend, own), np.einsum("egi,ei->eg", slope, own) / ends
