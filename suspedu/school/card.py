"""A set-up as a card: what a mechanic reads at the machine, with units and cautions; as a page to print."""

from __future__ import annotations

from html import escape

from suspedu.machine.adjusters import ADJUSTERS
from suspedu.ride.outcomes import OUTCOMES
from suspedu.school.machines import MACHINES, school_machine
from suspedu.school.session import CAUTION
from suspedu.school.setups import SetUp
from suspedu.spelling import readable

COUNTED = "Clicks are counted out from gently closed; a clicker is never forced against its stop."
OWN = "Of an own machine, sags and pressures are as good as what was measured; of damping, direction and order hold."
STYLE = """body { font: 14px/1.4 system-ui, sans-serif; color: #111; background: #fff; max-width: 42em;
  margin: 1.5em auto; padding: 0 1em; }
h1 { font-size: 20px; margin: 0 0 2px; } h2 { font-size: 15px; margin: 12px 0 2px; } p { margin: 2px 0; }
table { border-collapse: collapse; width: 100%; } th, td { text-align: left; padding: 3px 12px 3px 0; }
tr { border-bottom: 1px solid #bbb; } th { font-weight: normal; width: 55%; } td { font-weight: 600; }
.caution { border-left: 4px solid #111; padding-left: 8px; margin: 4px 0; }
@media print { body { margin: 0; } } @page { size: A5; margin: 12mm; }"""


def machine_words(name: str) -> str:
    """A machine's name in words, by its id.

    >>> machine_words("enduro"), machine_words("old hack")
    ('School enduro', 'old hack')
    """
    return school_machine(name).name if name in MACHINES else name


def spelled_units(text: str) -> str:
    """Units as people write them.

    >>> spelled_units("9 percent"), spelled_units("-3 mm")
    ('9 %', '−3 mm')
    """
    return readable(*text.partition(" ")[::2])


def card_parts(setup: SetUp) -> list[tuple[str, list[tuple[str, str]]]]:
    """The tables of a card: a head, and rows of label and value with unit.

    >>> card_parts(SetUp("mud", "2026-11-26", "enduro", settings={"rebound": "9 out"}))
    [('Settings', [('Rebound', '9 clicks out')])]
    """
    settings = [(ADJUSTERS[name].label, text.replace(" out", " clicks out")) for name, text in setup.settings.items()
                if name in ADJUSTERS]
    ridden = [(_capital(OUTCOMES[name].label), spelled_units(text)) for name, text in setup.outcomes.items()
              if name in OUTCOMES]
    stand = [(_capital(name), text) for name, text in setup.stand.items()]
    parts = [("Settings", settings), ("On the stand", stand), (f"Ridden in the model: {setup.ground}", ridden)]
    return [(head, rows) for head, rows in parts if rows]


def card_words(setup: SetUp) -> list[tuple[str, str]]:
    """What stands on a card in whole sentences: a head, and the words under it.

    >>> card_words(SetUp("mud", "2026-11-26", "enduro", felt="packs", changed="rebound 3 clicks in"))
    [('Changed', 'rebound 3 clicks in'), ('Felt', 'packs')]
    """
    return [(head, words) for head, words in (("Changed", setup.changed), ("Felt", setup.felt)) if words]


def card_cautions(setup: SetUp) -> list[str]:
    """What stands at the foot of every card, and what this set-up adds.

    >>> len(card_cautions(SetUp("mud", "2026-11-26", "enduro")))
    2
    """
    own = [] if setup.machine in MACHINES else [OWN]
    return [*filter(None, [setup.cautions]), *own, COUNTED, CAUTION]


def card_head(setup: SetUp) -> str:
    """The line under a card's name.

    >>> card_head(SetUp("mud", "2026-11-26", "enduro", "whoops"))
    'School enduro, 2026-11-26, whoops'
    """
    return ", ".join(filter(None, [machine_words(setup.machine), setup.date, setup.ground]))


def card_page(setup: SetUp) -> str:
    """The card as a page of HTML that stands by itself and prints on one sheet; every text is escaped.

    >>> card_page(SetUp("<b>", "2026-11-26", "enduro"))[-31:].strip()
    'safe place.</p></body></html>'
    """
    tables = "".join(f"<h2>{escape(head)}</h2><table>" + "".join(
        f'<tr><th scope="row">{escape(label)}</th><td>{escape(value)}</td></tr>' for label, value in rows) + "</table>"
        for head, rows in card_parts(setup))
    words = "".join(f"<h2>{escape(head)}</h2><p>{escape(text)}</p>" for head, text in card_words(setup))
    cautions = "".join(f'<p class="caution">{escape(text)}</p>' for text in card_cautions(setup))
    return (f'<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>{escape(setup.name)}</title>'
            f"<style>{STYLE}</style></head><body><h1>{escape(setup.name)}</h1><p>{escape(card_head(setup))}</p>{tables}{words}"
            f"<h2>Mind</h2>{cautions}</body></html>\n")


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"
