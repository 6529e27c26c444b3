"""What the bench says: first what changed in the curves, then what that does on this ground."""

from __future__ import annotations

from suspedu.school.bench import (
    END,
    QUICK,
    READ,
    SLOW,
    OnBench,
    betterment,
    curve_changes,
    steps_noticed,
    told_first,
)
from suspedu.school.loop import CRASH, landing_told, meets_rim
from suspedu.show.panels.bench_parts.bars import VERDICTS, reading, readings
from suspedu.show.panels.rides.grounds import WORDS, ending, headed
from suspedu.show.panels.words import millimetres, newtons, number, percent, with_unit

WAYS = {"in": "going in", "out": "coming out"}
OUTCOME_WORDS = {
    "comfort": "shake in the hands", "harshness": "hardest hit in the hands", "body_comfort": "shake of the body",
    "body_hit": "hardest hit on the body", "load_variation": "swing of the tyre's load", "kick": "throw of the bars",
    "ride_height": "mean stroke", "deepest": "deepest stroke", "dive": "dive on the brakes"}  # fmt: skip
SAME_FORCE, SAME_SHARE = 0.5, 0.005  # N and [-]: less is not printed
ALIKE = 0.05  # of a change of force: as good as the same
MOST_TOLD = 3  # outcomes that a sentence names


def bench_sentence(now: OnBench, before: OnBench, against: str) -> str:
    """The sentence of a setting against another on the same ground."""
    if now.machine == before.machine:
        told = f"{_headed(now)}: {_stands(now)}"
    else:
        told = f"Against {against}: {_curves(now, before)} {_ridden(now, before)}"
    return " ".join(part for part in (told, *_extras(now)) if part)


def _headed(now: OnBench) -> str:
    landing = landing_told(now.ground, now.speed)
    return f"{headed(now.ground)} at {number(now.speed, 'km/h')} km/h{f' {landing}' if landing else ''}"


def _stands(now: OnBench) -> str:
    felt = now.felt
    return (f"{now.machine.name} rests {millimetres(now.rests['rider on'][0])} deep with its rider, uses "
            f"{millimetres(felt['deepest'])} and {ending(now.ride)}. Hands: shake "
            f"{reading('comfort', felt['comfort'])}, hardest hit {reading('harshness', felt['harshness'])}.")


def _curves(now: OnBench, before: OnBench) -> str:
    """What changed in the curves, in words; nothing else is said to have changed."""
    pairs = curve_changes(now, before)
    told = [*_springs(pairs), *_damping(pairs), *_others(pairs)]
    return f"{'; '.join(told)}." if told else "no curve changes that is shown here."


def _springs(pairs) -> list[str]:
    rest, middle = (pairs[name][1] - pairs[name][0] for name in ("springs", "springs half way"))
    if max(abs(rest), abs(middle)) < SAME_FORCE:
        return []
    if abs(rest - middle) <= ALIKE * max(abs(rest), abs(middle)):  # the air works about another rest: a trace
        return [f"the springs hold about {_more((rest + middle) / 2)} all along"]
    return [f"the springs hold {_more(rest)} where it rested and {_more(middle)} half way"]


def _more(force: float) -> str:
    return f"{newtons(abs(force))} {'more' if force > 0 else 'less'}" if abs(force) >= SAME_FORCE else "as much"


def _damping(pairs) -> list[str]:
    told = []
    for way, words in WAYS.items():
        shares = {speed: pairs[f"{name} {way}"][1] / pairs[f"{name} {way}"][0] - 1.0 for name, speed in READ.items()}
        parts = [f"{percent(share, sign='+')} % at {speed:g} m/s" for speed, share in shares.items()
                 if abs(share) >= SAME_SHARE]
        told += [f"damping {words} {', '.join(parts)}"] if parts else []
    return told


def _others(pairs) -> list[str]:
    found = []
    if "stop from" in pairs:
        was, becomes = map(millimetres, pairs["stop from"])
        found += [f"the end stop begins at {was} → {becomes}"] if was != becomes else []
    if abs(pairs["stop"][1] - pairs["stop"][0]) >= SAME_FORCE:
        found.append(f"the end stop holds {newtons(pairs['stop'][0])} → {newtons(pairs['stop'][1])} at {QUICK:g} m/s, "
                     f"{millimetres(END)} before the end")
    load, tyre = (pairs[name][1] / pairs[name][0] - 1.0 for name in ("load", "tyre"))
    if abs(load) >= SAME_SHARE / 5:
        found.append(f"the front wheel carries {percent(abs(load), 1)} % {'more' if load > 0 else 'less'}")
    if abs(tyre) >= SAME_SHARE:
        found.append(f"the tyre is {percent(abs(tyre))} % {'harder' if tyre > 0 else 'softer'}")
    return found


def _ridden(now: OnBench, before: OnBench) -> str:
    """What a rider would notice, the most first; or nobody would."""
    steps = steps_noticed(now, before)
    where, told = f"{WORDS[now.ground]} at {number(now.speed, 'km/h')} km/h", told_first(steps)
    if not told:
        return f"Nobody would notice that on this ground ({where}); it {ending(now.ride)}."
    words = [_noticed(name, now, before, steps[name]) for name in told[:MOST_TOLD]]
    more = f", and {len(told) - MOST_TOLD} more" if len(told) > MOST_TOLD else ""
    return f"On this ground ({where}) a rider notices: {'; '.join(words)}{more}. It {ending(now.ride)}."


def _noticed(name, now: OnBench, before: OnBench, steps: float) -> str:
    word, (was, became) = VERDICTS[betterment(name, steps)], readings(name, before.felt[name], now.felt[name])
    return (f"{OUTCOME_WORDS[name]} {was} → {became}, "
            f"{abs(steps):.1f} steps {'more' if steps > 0 else 'less'}{f', {word}' if word else ''}")


def _extras(now: OnBench) -> tuple:
    return ("The tyre is pressed down to its rim." if meets_rim(now.ride) else "",
            "No fork is made for a crash." if now.ground == CRASH else "", now.caution)


def bench_numbers(now: OnBench) -> tuple:
    """The key numbers of a setting on this ground."""
    felt = now.felt
    return (("Rider sag, from where it hangs", millimetres(now.sag, 1)),
            (f"Damping in, {SLOW:g} m/s", newtons(now.damping.at(SLOW))),
            (f"Damping in, {QUICK:g} m/s", newtons(now.damping.at(QUICK))),
            (f"Damping out, {SLOW:g} m/s", newtons(abs(now.damping.at(-SLOW)))),
            ("Deepest stroke", millimetres(felt["deepest"])),
            ("Time with the tyre in the air", f"{percent(felt['airborne'], 1)} %"),
            ("Highest pressure in a tube", with_unit(felt["pressure"], "bar", 1)))
