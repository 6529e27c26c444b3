"""Forces of the inner loop in scalar arithmetic: springs and stops, friction, tyre, limbs, and all of the fork."""

from suspedu.ride.kernel_lookup import along, bilinear, column, held, inlined


@inlined
def pushed(squeeze, stop):
    """Force of a stop that is squeezed, at rest."""
    return squeeze * (stop.rate + stop.stiffening * squeeze * squeeze) if squeeze > 0.0 else 0.0


@inlined
def lossy(stroke, velocity, stop):
    """What a bumper's loss adds to its force: elastic force times loss and velocity; together they never pull."""
    still = pushed(stroke - stop.place, stop)
    return max(still * stop.loss * velocity, -still) if still > 0.0 else 0.0


@inlined
def elastic(stroke, fork):
    """Springs, both legs' top-out springs and bumpers at rest, and metal on metal."""
    first, second = fork.top_outs
    here, there = fork.bumpers
    return (along(fork.spring, stroke) - pushed(first.place - stroke, first) - pushed(second.place - stroke, second)
            + pushed(stroke - here.place, here) + pushed(stroke - there.place, there)
            + pushed(stroke - fork.metal.place, fork.metal))


@inlined
def level(stroke, load, braking, rub):
    """What friction stands for at a stroke, load and braking force: seals, pressure, and bushings under a beam."""
    slid = held(rub.slid, stroke)
    if rub.sliding == 0.0:
        return slid
    overlap, cross = rub.overlap + stroke, rub.across * (load - rub.hanging) - rub.along * braking
    upper = (cross * (rub.below - stroke) + rub.couple * braking) / overlap
    lower = upper + cross
    return slid + rub.sliding * (abs(upper) + abs(lower))


@inlined
def rubbed(stroke, velocity, load, braking, rubs):
    """Friction of both legs, and its level."""
    first, second = rubs
    high = level(stroke, load, braking, first)
    force = high * held(first.shape, velocity)
    if len(second.slid.values) > 2:
        other = level(stroke, load, braking, second)
        return force + other * held(second.shape, velocity), high + other
    return force, high


@inlined
def tyre_forces(squash, rate, tyre):
    """Force of the tyre on the ground, and what of it is elastic: it never pulls, and begins smoothly."""
    if not squash > 0.0:
        return 0.0, 0.0
    past = max(squash - tyre.rim, 0.0)
    borne = tyre.rate * squash + tyre.rim_rate * past * past
    return max(borne + tyre.damping * min(squash * tyre.brought_in, 1.0) * rate, 0.0), borne


@inlined
def limb_force(squeeze, rate, limbs):
    """Force of arms and legs on the rider, and what of it is lost to heat."""
    lost = limbs.damping * rate
    return limbs.rate * squeeze + limbs.end_rate * max(squeeze - limbs.range, 0.0) + lost, lost


@inlined
def fork_forces(stroke, velocity, load, braking, fork):
    """Of the fork: whole force, what of it damper, end stop, friction and bumper loss are, and friction's level."""
    j, part = column(fork.speeds, velocity)
    damping = bilinear(fork.damping, stroke, j, part)
    end_stop = bilinear(fork.end_stop, stroke, j, part) if stroke > fork.end_stop.row_low else 0.0
    friction, high = rubbed(stroke, velocity, load, braking, fork.rubs)
    lost = lossy(stroke, velocity, fork.bumpers[0]) + lossy(stroke, velocity, fork.bumpers[1])
    return elastic(stroke, fork) + damping + end_stop + friction + lost, damping, end_stop, friction, lost, high
