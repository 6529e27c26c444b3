"""Which adjuster: a complaint or two in a rider's words, and what to turn first, as a form."""

from __future__ import annotations

import asyncio

from suspedu.machine import ADJUSTERS, Machine
from suspedu.school.complaints import COMPLAINTS
from suspedu.school.machines import MACHINES, chosen_machine, machine_choices
from suspedu.school.own_trust import TRUST
from suspedu.school.setup_files import FOLDER, keep
from suspedu.school.setups import noted_setup
from suspedu.school.ways_out import GOALS, WaysOut, ways_out
from suspedu.show.forms.card_picture import card_png
from suspedu.show.forms.form import Form, paragraph, pictured
from suspedu.show.forms.ways_told import first_way, turns_told, ways_told
from suspedu.units import InputError

NONE = ""
ASKED = ("wrong", "also")


def _groups() -> list[dict]:
    fields = (("machine", "Machine", "the school's, or your own (lesson 13)"), ("wrong", "What is wrong?", ""),
              ("also", "And what else?", ""), ("how_bad", "How bad?", "one step that is noticed, or three"))
    return [{"title": "On the trail", "fields": [{"key": key, "label": label, "kind": "choice", "hint": hint}
                                                 for key, label, hint in fields]}]


def _choices() -> dict:
    wrong = [(name, each.words) for name, each in COMPLAINTS.items()]
    return {"machine": list(machine_choices().items()), "wrong": wrong, "also": [(NONE, "nothing else"), *wrong],
            "how_bad": [(name, name) for name in GOALS]}


class GivenUpError(Exception):
    """The riding was given up by hand."""


class WhichAdjuster(Form):
    """The form round `ways_out`: riding takes some seconds, shows how far it is, and can be given up."""

    found: WaysOut | None
    riding: asyncio.Task | None = None
    _given_up = False

    def __init__(self):
        start = {"machine": MACHINES[0], "wrong": "kicks-roots", "also": NONE, "how_bad": next(iter(GOALS))}
        buttons = [("ride", "Ride every change"), ("card", "Keep it, with a card")]
        super().__init__("Which adjuster?", _groups(), buttons, start, _choices())
        self.said, self.found = "Say what is wrong, then ride: some seconds.", None

    @property
    def asked(self) -> tuple[str, ...]:
        """The complaints that are asked about, by id."""
        return tuple(self.values[key] for key in ASKED if self.values[key])

    def machine(self) -> Machine:
        """The machine that is asked about, as it stands now.

        Raises: InputError, one sentence, where its file cannot be read.
        """
        return chosen_machine(self.values["machine"])

    def follow(self) -> None:
        """Another question: what was answered no longer stands below it."""
        self.options = {key: [list(pair) for pair in pairs] for key, pairs in _choices().items()}
        self.problems = {"also": "the same as above: choose another, or nothing"} if len(set(self.asked)) < len(
            self.asked) else {}
        self.press_cancel()
        self.blocks, self.said, self.found = [], "Ride it to see the answer.", None

    def press_ride(self) -> None:
        """Ride every single change and pair, and say what to do; beside the page's loop, so that a cancel is heard.

        Raises: InputError while it rides already.
        """
        if self.riding and not self.riding.done():
            raise InputError("it is riding already: wait, or cancel")
        self.said, self.blocks, self.found, self._given_up = "Riding ...", [], None, False
        asked = self.machine(), self.asked, self.values["how_bad"], self.values["machine"] not in MACHINES
        try:
            beside = asyncio.get_running_loop().create_task
            self.riding = beside(asyncio.to_thread(self._do, lambda: self._ride(*asked)))
        except RuntimeError:  # no loop runs: nobody could cancel it either
            self._ride(*asked)

    def press_cancel(self) -> None:
        """Give the riding up; what was there to be ridden can be ridden again."""
        self._given_up = True

    def _ride(self, machine: Machine, asked: tuple[str, ...], how_bad: str, own: bool) -> None:
        try:
            found = ways_out(machine, asked, how_bad, progress=self._progress)
        except GivenUpError:
            self.said = "Cancelled. Ride it to see the answer."
            return
        with self._lock:
            if not self._given_up:  # else another question was asked as the last ride ended
                self.found, self.said = found, f"Answer for {machine.name}:"
                self.blocks = [*ways_told(found), *([paragraph(TRUST)] if own else [])]

    def press_card(self) -> None:
        """Keep the way to try first as a set-up, and hand its card over to be printed."""
        way = self.found and first_way(self.found)
        if way is None:
            raise InputError("there is no cure to keep" if self.found else "ride it first")
        turns = {turn.name: ADJUSTERS[turn.name].reading(turn.end) for turn in way.option.turns}
        words, ground = (getattr(COMPLAINTS[self.asked[0]], each) for each in ("words", "ground"))
        kept = keep(noted_setup(f"against: {words}", self.values["machine"], turns, ground,
                                changed=turns_told(self.found, way)))
        picture = card_png(kept.setup)
        self.send_file(f"{kept.name}.png".replace(":", ""), "image/png", picture)
        self.blocks = [*self.blocks, pictured(picture, f"Card: {kept.name}")]
        self.said = f"Kept: {FOLDER}/{kept.file} in your working folder, and its card saved as a picture."

    def _progress(self, done: int, total: int) -> None:
        if self._given_up:
            raise GivenUpError
        if done == total or done % max(1, total // 20) == 0:  # the page need not hear of each
            self.busy = [done, total]


def which_adjuster_form() -> WhichAdjuster:
    """The form that finds what to turn, live."""
    return WhichAdjuster()
