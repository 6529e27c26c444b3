"""Notes of set-ups as a form: what stood how, where, and what was felt; two compared, a card to print, a table."""

from __future__ import annotations

from dataclasses import replace

from suspedu.machine.adjusters import ADJUSTERS
from suspedu.machine.changing import has, setting
from suspedu.school.card import card_page, machine_words, spelled_units
from suspedu.school.loop import LOOP
from suspedu.school.machines import MACHINES, chosen_machine, machine_choices
from suspedu.school.noticed import steps
from suspedu.school.setup_files import FOLDER, Kept, keep, setups_csv, shelf, stands
from suspedu.school.setups import (
    LONGEST,
    SETTINGS,
    Difference,
    SetUp,
    comparable,
    compared,
    date_slip,
    noted_setup,
    standing,
    today,
)
from suspedu.show.forms.card_picture import card_png
from suspedu.show.forms.form import Form, listed, paragraph, pictured, tabled
from suspedu.show.panels.rides.grounds import WORDS
from suspedu.units import InputError

NEW, NOWHERE = "", ""
NOTED = ("name", "machine", "ground", "felt", "date", "changed")
SHOWN = 12  # set-ups in the list below the form; the table has all
BLANK = {**dict.fromkeys(NOTED, ""), "ground": NOWHERE, "machine": MACHINES[0], "open": NEW, "against": NEW}


def _groups() -> list[dict]:
    note = (("name", "Name of the set-up", "text", "by which you find it again"),
            ("date", "Date", "text", "today if empty"), ("machine", "Machine", "choice", ""),
            ("ground", "Ground", "choice", "ridden in the model as you keep it"),
            ("open", "Open a set-up", "choice", "kept with its name and date as they are, it is replaced"),
            ("against", "Compare with", "choice", ""), ("changed", "What was changed", "text", ""),
            ("felt", "What was felt", "long", ""))  # fmt: skip
    settings = [{"key": name, "label": ADJUSTERS[name].label, "unit": ADJUSTERS[name].unit,
                 "kind": "clicks" if ADJUSTERS[name].kind == "clicks" else "number", "hint": ADJUSTERS[name].more}
                for name in SETTINGS]
    return [{"title": "The set-up", "fields": [dict(zip(("key", "label", "kind", "hint"), each, strict=True))
                                               for each in note]},
            {"title": "Settings: what is left empty stands as in the machine's file", "fields": settings}]


def _choices(kept: dict[str, Kept]) -> dict:
    files = [(file, f"{each.setup.date} {each.name}") for file, each in kept.items()]
    return {"machine": list(machine_choices().items()), "ground": [(NOWHERE, "none"), *((g, WORDS[g]) for g in LOOP)],
            "open": [(NEW, "a new one"), *files], "against": [(NEW, "nothing"), *files]}


class Notes(Form):
    """The form round the folder of set-ups, which is read anew whenever something is asked of it.

    Only a set-up that was opened by hand is replaced; what was kept last is compared, and stays as it is.
    """

    def __init__(self):
        buttons = [("keep", "Ride and keep"), ("png", "Card as PNG"), ("page", "Card as HTML"), ("csv", "All as CSV")]
        self.shelf, self.opened, self._seen = shelf(), None, NEW
        super().__init__("Notes of set-ups", _groups(), buttons, BLANK, _choices(self.shelf.kept))
        self.lender = "as it stands"
        self.follow()

    def _typed(self) -> dict[str, str]:
        return {name: self.values[name] for name in SETTINGS}

    def follow(self) -> None:
        """Open a set-up, compare, or check what was typed."""
        self._read()
        if self.values["open"] != self._seen:
            self._show(self.shelf.kept.get(self.values["open"]))
        self._check()
        self.said, self.blocks = "", self._told()

    def _read(self) -> None:
        """The folder as it stands now; what a set-up names stays a choice though it is no longer here."""
        self.shelf, choices = shelf(), _choices(shelf().kept)
        setup = self.opened.setup if self.opened else None
        for key, words in (("machine", setup and setup.machine), ("ground", setup and setup.ground)):
            if words and words not in dict(choices[key]):
                choices[key].append((words, words))
        self.options = {key: [list(pair) for pair in pairs] for key, pairs in choices.items()}

    def _show(self, opened: Kept | None, by_hand: bool = True) -> None:
        self.opened, self._seen = opened, opened.file if opened and by_hand else NEW
        self._read()
        setup = opened.setup if opened else SetUp("-", today(), MACHINES[0])
        kept = {"name": setup.name if opened else "", "date": setup.date if opened else "", "machine": setup.machine,
                "ground": setup.ground, "changed": setup.changed, "felt": setup.felt, "open": self._seen}
        self.put(**dict.fromkeys(SETTINGS, ""), **kept)
        self.put(**{name: _figure(setup.settings[name], name) for name in SETTINGS if name in setup.settings})

    def _check(self) -> None:
        if self.opened and self.values["machine"] == self.opened.setup.machine not in machine_choices():
            self.lent, self.problems = {}, self._slips()
            return
        machine, problems = chosen_machine(self.values["machine"]), self._slips()
        for name, text in self._typed().items():
            try:
                standing(machine, {name: text})
            except InputError as slip:
                problems[name] = str(slip)
        self.lent = {name: ADJUSTERS[name].reading(setting(machine, name)) for name in SETTINGS if has(machine, name)}
        self.problems = problems

    def _slips(self) -> dict[str, str]:
        """What is wrong with name and date, as far as they are typed."""
        date, long = self.values["date"].strip(), len(self.values["name"].strip()) > LONGEST
        wrong = {"date": date_slip(date) if date else "", "name": f"at most {LONGEST} signs" if long else ""}
        return {key: words for key, words in wrong.items() if words}

    def _now(self) -> SetUp:
        """The set-up that stands in the form, ridden; of a machine that is not here, as it was kept."""
        name, machine, ground, felt, date, changed = (self.values[key] for key in NOTED)
        if self.opened and machine == self.opened.setup.machine and machine not in machine_choices():
            return replace(self.opened.setup, name=name.strip(), felt=felt.strip(), date=date.strip() or today(),
                           changed=changed.strip())
        return noted_setup(name, machine, self._typed(), ground, felt, date, changed)

    def press_keep(self) -> None:
        """Ride it and write it down."""
        before, opened = self.opened, self._seen != NEW
        stood = before is not None and stands(before)
        kept = keep(self._now(), before if opened else None)
        self._show(kept, by_hand=opened and kept.file == before.file)
        self._check()
        self.said, self.blocks = _where(kept, before, stood), self._told()

    def press_png(self) -> None:
        """The card as a picture, shown and handed over."""
        setup = self._now()
        picture = card_png(setup)
        self.send_file(f"{setup.name}.png", "image/png", picture)
        self.said, self.blocks = "The card is saved as a picture.", [pictured(picture, f"Card: {setup.name}")]

    def press_page(self) -> None:
        """The card as a page to print."""
        setup = self._now()
        self.send_file(f"{setup.name}.html", "text/html", card_page(setup).encode())
        self.said = "The card is saved as a page: open it and print."

    def press_csv(self) -> None:
        """All set-ups as a table."""
        self._read()
        if not self.shelf.kept:
            raise InputError("there is no set-up yet: keep one first")
        text = "\ufeff" + setups_csv(each.setup for each in self.shelf.kept.values())
        self.send_file("set-ups.csv", "text/csv", text.encode())
        self.said = f"Saved as a table: {len(self.shelf.kept)} set-ups."

    def _told(self) -> list[dict]:
        """What stands below the form: the comparison if one is asked for, and the list."""
        bad = self.shelf.broken
        broken = [listed("Files that are no set-ups, and were left alone", bad)] if bad else []
        kept = list(self.shelf.kept.values())
        rows = [(each.setup.date, each.name, machine_words(each.setup.machine), each.setup.ground or "–",
                 each.setup.changed or "–", each.setup.felt or "–") for each in kept[:SHOWN]]
        heads = ("date", "name", "machine", "ground", "changed", "felt")
        listing = tabled(f"Kept: {len(kept)}", heads, rows) if rows else paragraph("Nothing is kept yet.")
        return [*self._comparison(), listing, *broken]

    def _comparison(self) -> list[dict]:
        other = self.shelf.kept.get(self.values["against"])
        if other is None or self.opened is None:
            return [paragraph("Open one set-up to compare it.")] if other else []
        one = self.opened
        lines = compared(other.setup, one.setup)
        if not lines:
            return [paragraph(f"{one.name} and {other.name} stand alike, as far as it was written down.", "lead")]
        rows = [(spelled_units(line.label), spelled_units(line.first), spelled_units(line.second), _felt(line))
                for line in lines]
        heads = ("", other.name, one.name, "more, in steps one notices")
        return [paragraph(_judged(other, one, lines), "lead"), tabled("Side by side", heads, rows)]


def _where(kept: Kept, before: Kept | None, stood: bool) -> str:
    """Where a set-up stands now, and what became of the one in the form before; stood, whether its file did till then.
    """
    place = f"{FOLDER}/{kept.file} in your working folder"
    if before is None or (kept.setup.name, kept.setup.date) != (before.setup.name, before.setup.date):
        return f"Kept: {place}."
    if kept.file == before.file:
        return f"Replaced: {place}; what it held is gone." if stood and kept.text != before.text else f"Kept: {place}."
    left = "stays as it was" if stood else "was changed or taken away meanwhile, and is left as it is"
    return f"Kept: {place}. {before.file} {left}."


def _figure(text: str, name: str) -> str:
    """A setting without the unit that stands behind its field."""
    return text.removesuffix(" out").removesuffix(f" {ADJUSTERS[name].unit}")


def _felt(line: Difference) -> str:
    return "" if line.steps is None else steps(line.steps)


def _judged(one: Kept, other: Kept, lines: list[Difference]) -> str:
    """What two rides tell, or why they cannot be held against each other."""
    first, second = one.setup, other.setup
    if not comparable(first, second):
        return ("Settings only: the two were not ridden over the same ground on the same machine, so their rides "
                "cannot be compared.")
    noticed = [line for line in lines if line.steps is not None and abs(line.steps) >= 1.0]
    if not noticed:
        return f"Over {WORDS.get(first.ground, first.ground)} nobody would notice the difference."
    told = ", ".join(f"{line.label[:1].lower()}{line.label[1:]} {steps(line.steps)}" for line in noticed)
    where = WORDS.get(first.ground, first.ground)
    return f"Over {where}, from {one.name} to {other.name}, in steps one notices: {told}."


def notes_form() -> Notes:
    """The notes of set-ups, live."""
    return Notes()
