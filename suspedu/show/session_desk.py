"""The set-up session as a page: what can be turned, a lap, a tape measure, the notes, a conclusion."""

from __future__ import annotations

from html import escape

import ipywidgets as widgets

from suspedu.machine.adjusters import ADJUSTERS
from suspedu.school.faults import FAULTS
from suspedu.school.session import CAUTION, HANDS, Session, notes_text, session_setups
from suspedu.school.setup_files import FOLDER, keep
from suspedu.show.status_line import StatusLine
from suspedu.units import InputError

NAMED = {"description_width": "8.5em"}
HANDLES = {f"{name.replace('_', ' ')} (+ = {ADJUSTERS[name].step_text})": name for name in HANDS}
VERDICTS = {fault.words: name for name, fault in FAULTS.items()}


def _wide(width: str) -> widgets.Layout:
    return widgets.Layout(width=width, max_width="100%")


class SetupDesk(widgets.VBox):
    """Buttons round a `Session`; everything that is done stands in the notes below them."""

    def __init__(self, number: int = 1):
        self.session, self.kept = Session(number), 0  # notes that are in the folder already
        self.handle = widgets.Dropdown(options=HANDLES, description="Adjuster", style=NAMED, layout=_wide("25em"))
        self.steps = widgets.BoundedIntText(3, min=-12, max=12, description="Steps, + or −", style=NAMED,
                                            layout=_wide("14em"))  # fmt: skip
        self.verdict = widgets.Dropdown(options=VERDICTS, description="What is wrong?",
                                        style=NAMED, layout=_wide("25em"))  # fmt: skip
        self.said = StatusLine(name=f"Set-up desk, machine {number}")
        self.table = widgets.HTML(layout=_wide("auto"))
        rows = ((self.handle, self.steps, self._button("Turn it", self.turn)),
                (self._button("Ride a lap", self.lap), self._button("Measure on the stand", self.measure)),
                (self.verdict, self._button("Conclude", self.conclude), self._button("Keep the notes", self.keep)))
        lines = (widgets.HBox(row, layout=widgets.Layout(flex_flow="row wrap")) for row in rows)
        super().__init__([*lines, self.said, self.table])
        self.lap()

    def _button(self, text: str, deed) -> widgets.Button:
        button = widgets.Button(description=text, layout=widgets.Layout(width="auto"))
        button.on_click(lambda _: deed())
        return button

    def _say(self, deed) -> None:
        """Do something and show what it says; a slip of the hand becomes a sentence."""
        try:
            words = deed()
        except InputError as refusal:
            words = f"That does not go: {refusal}"
        self.said.value = words
        self.table.value = _notes_table(self.session)

    def turn(self) -> None:
        """Turn the chosen adjuster by the chosen steps."""
        self._say(lambda: f"Turned: {self.session.turn(self.handle.value, self.steps.value)}. Now ride.")

    def lap(self) -> None:
        """Ride a lap of the school's loop."""
        self._say(lambda: f"The rider says: {self.session.lap().words}. {CAUTION}")

    def measure(self) -> None:
        """Measure the machine on the stand."""
        self._say(lambda: f"Measured: {self.session.measured()}.")

    def conclude(self) -> None:
        """Name what is wrong."""
        self._say(lambda: self.session.conclude(self.verdict.value))

    def keep(self) -> None:
        """Write the notes that are new into the folder of set-ups."""
        def written() -> str:
            for setup in session_setups(self.session)[self.kept:]:
                keep(setup)
                self.kept += 1
            return f"Kept: {self.kept} notes, in the folder {FOLDER} of your working folder."

        self._say(written)

    @property
    def text(self) -> str:
        """The notes as plain text."""
        return f"Machine {self.session.number} on the stand\n" + notes_text(self.session)

    def _repr_mimebundle_(self, **options):
        data = super()._repr_mimebundle_(**options)
        data, metadata = data if isinstance(data, tuple) else (data, {})
        return data | {"text/plain": self.text}, metadata


def _notes_table(session: Session) -> str:
    heads = ("Note", "Changed", "Stands at", "The rider says")
    rows = ((str(count), note.change, note.clicks, note.words) for count, note in enumerate(session.notes, start=1))
    cells = "".join("<tr>" + "".join(f"<td>{escape(text)}</td>" for text in row) + "</tr>" for row in rows)
    head = "".join(f'<th scope="col">{text}</th>' for text in heads)
    return f"<table><caption>Notes</caption><thead><tr>{head}</tr></thead><tbody>{cells}</tbody></table>"


def setup_session(number: int = 1) -> SetupDesk:
    """The desk of a set-up session: the machine of a number, 1 to 999, with something wrong about it."""
    return SetupDesk(number)
