"""One's own machine as a form: what one knows is typed in, the rest is the school's and says so."""

from __future__ import annotations

from suspedu.machine import Machine, pressure_caution
from suspedu.machine.spring_bands import FREE_BAND, RIDER_BAND
from suspedu.machine.statics import share_of_travel
from suspedu.school.machines import pressure_at_the_end
from suspedu.school.own_check import STOCK, FilledForm, checked, school_value
from suspedu.school.own_fields import CHOICES, FIELDS, GROUPS
from suspedu.school.own_files import FOLDER, own_files
from suspedu.school.own_keeping import Opened, name_slip, open_own, save_own
from suspedu.school.own_trust import TRUST, AgainstTape, doubts, sags_of, spring_told_by_tape
from suspedu.show.forms.form import Form, ended, listed, paragraph, tabled
from suspedu.show.panels.words import millimetres, number, percent, with_unit
from suspedu.spelling import readable, readable_unit

NAME, WHICH = "name", "which"
WHICH_HINT = f"those in the folder {FOLDER}; the form shows both legs alike, with a damper of the school's kinds"
NEW = ""  # the choice that opens nothing
LEAST = 0.5e-3  # m of sag below which a doubt is not worth a line
BANDS = {"free sag": FREE_BAND, "rider sag": RIDER_BAND}


def _field(key: str) -> dict:
    each = FIELDS[key]
    return {"key": key, "label": each.label, "kind": each.kind, "unit": readable_unit(each.unit),
            "hint": each.how}


def _groups() -> list[dict]:
    kept = {"title": "Name", "fields": [
        {"key": NAME, "label": "Name of the machine", "kind": "text", "hint": "by which it is chosen in every lesson"},
        {"key": WHICH, "label": "Open a machine", "kind": "choice", "hint": WHICH_HINT}]}
    return [kept, *({"title": title, "folded": group == "rare",
                     "fields": [_field(key) for key, each in FIELDS.items() if each.group == group]}
                    for group, title in GROUPS.items())]  # fmt: skip


def _choices() -> dict:
    machines = [(NEW, "a new one"), *((name, name) for name in own_files())]
    return {WHICH: machines} | {key: list(words.items()) for key, words in CHOICES.items()}


class OwnMachine(Form):
    """The form round the files of one's own machines."""

    def __init__(self):
        start = {key: next(iter(words)) for key, words in CHOICES.items()}
        super().__init__("Your own machine", _groups(), [("save", "Save"), ("new", "Start anew")], start, _choices())
        self.opened: Opened | None = None
        self._seen = NEW
        self.follow()

    @property
    def typed(self) -> dict[str, str]:
        """What stands in the form, by key of a machine's file."""
        return {key: words for key, words in self.values.items() if key in FIELDS}

    def follow(self) -> None:
        """Open another machine, or check what was typed."""
        if self.values[WHICH] != self._seen:
            self._open(self.values[WHICH])
            return
        self.said = ""
        self._check()

    def _open(self, name: str) -> None:
        try:
            opened = open_own(name) if name else None
        except Exception:
            self.put(**{WHICH: self._seen})
            raise
        self._show(opened)
        self.said = f"Opened: {name}." if name else "A new machine: what you leave empty is the school's."

    def _show(self, opened: Opened | None) -> None:
        self.opened, self._seen = opened, opened.name if opened else NEW
        blank = dict.fromkeys(self.values, "") | {key: next(iter(words)) for key, words in CHOICES.items()}
        self.options = {key: [list(pair) for pair in pairs] for key, pairs in _choices().items()}  # first the choice
        self.put(**(blank | (opened.typed if opened else {}) | {NAME: self._seen, WHICH: self._seen}))
        self._check()

    def _check(self) -> None:
        found = checked(self.values[NAME], self.typed, self.opened.table if self.opened else None)
        self.options = {key: [list(pair) for pair in pairs] for key, pairs in _choices().items()}
        slip = name_slip(self.values[NAME]) if self.values[NAME].strip() else ""
        self.lent = {key: school_value(key, self.values[STOCK]) for key in FIELDS if key not in CHOICES}
        self.problems = found.problems | ({NAME: slip} if slip else {})
        self.blocks = _told(self.values[NAME], self.typed, found)

    def press_save(self) -> None:
        """Write the machine into the working folder."""
        self._show(save_own(self.values[NAME], self.typed, self.opened))
        self.said = (f"Saved: {FOLDER}/{self.opened.name}.toml in your working folder. It now stands in the list of "
                     "machines; run a lesson's cell again where it is already open.")

    def press_new(self) -> None:
        """An empty form; what was saved stays."""
        self._open(NEW)


def _told(name: str, typed: dict, found: FilledForm) -> list[dict]:
    """What the form comes to, below it."""
    if found.machine is None:
        slips = len(found.problems)
        whole = [paragraph(ended(found.problems[""]), "caution")] if "" in found.problems else []
        return [*whole, paragraph(f"{slips} {'entry' if slips == 1 else 'entries'} to put right before it can be "
                                  "ridden or saved.")]
    machine = found.machine
    sags = sags_of(machine, machine.measured_free_sag, machine.measured_rider_sag)
    caution = pressure_caution(machine)
    head = ("", "computed", "friction may leave it at", "by tape", "the school aims at")
    return [tabled("What follows from it", head, [*(_sag_row(machine, each) for each in sags), _pressure_row(machine)]),
            *([paragraph(caution, "caution")] if caution else []), *_by_tape(machine, sags), paragraph(TRUST),
            *_doubted(name, typed, found)]


def _sag_row(machine: Machine, sag: AgainstTape) -> tuple:
    low, high = BANDS[sag.name]
    return (sag.name.capitalize(), f"{millimetres(sag.computed)}, {percent(share_of_travel(machine, sag.computed))} %",
            f"{number(sag.low, 'mm')} to {millimetres(sag.high)}", millimetres(sag.measured) if sag.measured else "–",
            f"{number(low * machine.travel, 'mm')} to {millimetres(high * machine.travel)}")


def _pressure_row(machine: Machine) -> tuple:
    return ("Air at full stroke, gauge", with_unit(pressure_at_the_end(machine), "bar", 1), "", "", "")


def _by_tape(machine: Machine, sags) -> list[dict]:
    """What the tape says to the form: agreement, or which spring would."""
    measured = [each for each in sags if each.measured]
    if not measured:
        return [paragraph("Measure both sags and type them in: they judge spring, preload and masses at once.")]
    off = [each for each in measured if not each.agrees]
    if not off:
        return [paragraph(f"The tape agrees ({' and '.join(each.name for each in measured)}), as far as friction lets "
                          "a fork settle.")]
    words = "; ".join(f"{each.name} {millimetres(each.measured)} by tape, {millimetres(each.computed)} computed"
                      for each in off)
    both = (" " + ended(f"With these masses, {spring_told_by_tape(machine, sags[0].measured, sags[1].measured)}")
            if len(measured) == 2 else " Measure the other one too: together they tell spring and preload.")
    return [paragraph(f"The tape does not agree: {words}.{both} Masses and their front shares move the sags as well.",
                 "caution")]


def _doubted(name: str, typed: dict, found: FilledForm) -> list[dict]:
    """Which unknown values matter most, and how to find them."""
    told = [one for one in doubts(name, typed, found) if abs(one.sag) >= LEAST][:4]
    if not told:
        return []
    return [listed("Measure next: of what is the school's, these move the rider sag most", (
        f"{FIELDS[one.key].label}: {_points(one)} more moves "
        f"it by {millimetres(one.sag, 1)}. {FIELDS[one.key].how[0].upper()}{FIELDS[one.key].how[1:]}."
        for one in told))]  # fmt: skip


def _points(one) -> str:
    """How much of a value was changed; of what is itself a share, in points."""
    return readable(f"{one.by:g}", FIELDS[one.key].unit.replace("percent", "points"))


def own_machine_form() -> OwnMachine:
    """The form of one's own machine, live."""
    return OwnMachine()
