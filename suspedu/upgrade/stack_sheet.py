"""A proposed stack as a sheet for the bench: shims in order, what it reaches, and cautions; as a page to print."""

from __future__ import annotations

from html import escape

from suspedu.machine import adjuster
from suspedu.parts.shim_stacks import Stack
from suspedu.school.card import STYLE
from suspedu.spelling import readable
from suspedu.upgrade.revalving import SPEEDS, Proposal
from suspedu.upgrade.shims_sold import counted_shims, shim_list, stack_height

PRESSURE = "Let out all gas and all air before anything is opened, as the maker's manual says; a charged cartridge is \
never opened."
SPRING = "The fork's spring is under load: clamp and release it only as the manual says."
TORQUE = "Torque of the clamp nut, thread lock and order of work: the maker's manual, and nothing on this sheet."
CLEAN = "Shims lie flat, clean and free of burrs; a bent one is thrown away. Count them twice, measure each."
FIRST = "First ride slowly, in a safe place, with the clickers where the manual starts."
CAUTIONS = (PRESSURE, SPRING, TORQUE, CLEAN, FIRST)


def sheet_rows(stack: Stack) -> list[tuple[str, str]]:
    """The shims from the face outwards: how many and which.

    >>> from suspedu.damper import stock_damper
    >>> sheet_rows(stock_damper("open cartridge").base.ports[1].stack)
    [('1 x', '18 x 0.12 mm'), ('1 x', '15 x 0.12 mm'), ('1 x', '11 x 0.2 mm')]
    """
    return [(f"{count} x", f"{wide:g} x {thick:g} mm") for count, wide, thick in counted_shims(stack)]


def stack_line(stack: Stack) -> str:
    """The shims in one line, as a workshop writes them from the face.

    >>> from suspedu.damper import stock_damper
    >>> stack_line(stock_damper("open cartridge").base.ports[1].stack)
    '18x0.12 15x0.12 11x0.2'
    """
    return " ".join(f"{wide:g}x{thick:g}" for wide, thick in shim_list(stack))


def reach_told(found: Proposal) -> str:
    """What a proposal reaches and what no stack can, as sentences.

    Parameters: found, the proposal.
    """
    says = f"From {SPEEDS[0]:.2g} to {SPEEDS[-1]:.2g} m/s it stays within {100 * found.says:.0f} % of the wanted force."
    if found.missed is None:
        return says
    misses = f"It misses by more than a tenth between {_between(found.missed)}."
    if found.beyond is None:
        return f"{says} {misses} The drawer has stacks hard enough and soft enough for it, but none of that shape."
    return f"{says} {misses} Between {_between(found.beyond)} are speeds at which no stack of this drawer reaches it."


def strain_told(found: Proposal) -> str:
    """Whether a proposed stack is bent further than it bears for ever, and how it was before; nothing where it is not.

    Parameters: found, the proposal.
    """
    if found.stress <= 1.0:
        return ""
    return (f"At {SPEEDS[-1]:.2g} m/s it is bent to {found.stress:.1f} times its fatigue limit (the present one: "
            f"{found.stress_before:.1f}): moved so fast often, it cracks some day.")


def _between(ends: tuple[float, float]) -> str:
    return f"{ends[0]:.2g} and {ends[1]:.2g} m/s"


def sheet_facts(found: Proposal) -> list[tuple[str, str]]:
    """What else stands on the sheet: height before and after, stress, clamp.

    Parameters: found, the proposal.
    """
    before, after = (f"{1e3 * stack_height(each):.2f}" for each in (found.before, found.stack))
    clamp = f"{1e3 * float(found.stack.clamp_diameter):g}"
    return [("Clamp, as it is", readable(clamp, "mm")), ("Height before", readable(before, "mm")),
            ("Height now", readable(after, "mm")),
            (f"Bending stress at {SPEEDS[-1]:.2g} m/s, over the fatigue limit",
             f"{found.stress:.2f} (before {found.stress_before:.2f})")]


def stack_page(found: Proposal, title: str = "Stack") -> str:
    """The sheet as a page of HTML that stands by itself and prints on one sheet; every text is escaped.

    Parameters: found, the proposal; title.
    """
    name = adjuster(found.target.stack).label
    wanted = (f"Wanted: {100 * found.target.slow:.0f} % of the present force when slow, "
              f"{100 * found.target.quick:.0f} % when quick.")
    told = [text for text in (wanted, reach_told(found), strain_told(found), "Computed, not measured.") if text]
    tables = [("As it is, from the face", sheet_rows(found.before)),
              ("To build, from the face", sheet_rows(found.stack)), ("Measures", sheet_facts(found))]
    body = "".join(f"<h2>{escape(head)}</h2><table>{_rows(rows)}</table>" for head, rows in tables)
    cautions = "".join(f'<p class="caution">{escape(text)}</p>' for text in CAUTIONS)
    return (f'<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>{escape(title)}</title>'
            f"<style>{STYLE}</style></head><body><h1>{escape(title)}</h1><p>{escape(name)}, each leg alike. "
            f"{escape(' '.join(told))}</p>{body}<h2>Mind</h2>{cautions}</body></html>\n")


def _rows(rows: list[tuple[str, str]]) -> str:
    return "".join(f'<tr><th scope="row">{escape(label)}</th><td>{escape(value)}</td></tr>' for label, value in rows)
