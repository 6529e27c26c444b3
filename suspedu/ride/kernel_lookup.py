"""The inner loop's look-ups in tables, compiled into it: which cell, what part of the way, and the value there."""

from numba import njit


def inlined(function):
    """Compiled into its caller: a call would count every array in its arguments up and down, at more than its price."""
    return njit(nogil=True, error_model="numpy", forceinline=True)(function)


@inlined
def cell(place, count):
    """Index of the grid cell that holds `place` (in steps), kept inside the grid; nan gives 0."""
    if not place > 0.0:
        return 0
    return int(place) if place < count - 1 else count - 2


@inlined
def column(speeds, velocity):
    """Column to the left of a velocity, and what part of the way to the next; outside less than 0 or more than 1."""
    if not (velocity < 1e6 and velocity > -1e6):  # written so that nan falls in too: the run is lost, and stops
        return 0, velocity
    size = velocity if velocity > 0.0 else -velocity
    last, j = len(speeds.inverse) - 1, speeds.first[int((velocity / (size + speeds.bend) + 1.0) * speeds.scale)]
    while j < last and velocity >= speeds.nodes[j + 1]:
        j += 1
    return j, (velocity - speeds.nodes[j]) * speeds.inverse[j]


@inlined
def bilinear(surface, stroke, j, b):
    """Bilinear value at a column and its part: held at the ends of the stroke, extended in a straight line over it."""
    a = min(max((stroke - surface.row_low) * surface.row_scale, 0.0), surface.rows - 1.0)
    i = cell(a, surface.rows)
    a -= i
    k = i * surface.columns + j
    low = surface.values[k] + b * (surface.values[k + 1] - surface.values[k])
    k += surface.columns
    return low + a * (surface.values[k] + b * (surface.values[k + 1] - surface.values[k]) - low)


@inlined
def along(table, place):
    """Linear value of a table, extended in a straight line."""
    b = (place - table.low) * table.scale
    j = cell(b, len(table.values))
    return table.values[j] + (b - j) * (table.values[j + 1] - table.values[j])


@inlined
def held(table, place):
    """Linear value of a table, held at its ends."""
    b = min(max((place - table.low) * table.scale, 0.0), len(table.values) - 1.0)
    j = cell(b, len(table.values))
    return table.values[j] + (b - j) * (table.values[j + 1] - table.values[j])


@inlined
def stroke_and_slope(way, travel):
    """Stroke at a wheel travel and its slope: quadratic pieces that join smoothly, straight past the ends."""
    b = travel * way.scale
    j = cell(b, len(way.slopes))
    b -= j
    inside = min(max(b, 0.0), 1.0)
    rise = way.slopes[j + 1] - way.slopes[j]
    slope = way.slopes[j] + inside * rise
    past = inside * (way.slopes[j] + 0.5 * inside * rise) + (b - inside) * slope
    return way.strokes[j] + way.size * past, slope
