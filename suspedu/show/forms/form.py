"""A form in a lesson: fields in groups, buttons, a sentence for each slip, and what came of it as texts and tables.

What is typed comes here as texts; what goes back is texts too, which the page never reads as HTML.
"""

from __future__ import annotations

import base64
import threading
from pathlib import Path

import anywidget
import traitlets

from suspedu.show.scripts import script
from suspedu.spelling import minus
from suspedu.units import InputError

HERE = Path(__file__).parent
MOST = 4000  # signs of one field: what is longer was pasted by mistake


def paragraph(words: str, role: str = "plain") -> dict:
    """A paragraph of a form's answer; role "lead", "plain" or "caution"."""
    return {"kind": "text", "text": minus(words), "role": role}


def tabled(title: str, heads, rows) -> dict:
    """A table of a form's answer: its first column heads the rows."""
    return {"kind": "table", "title": title, "heads": list(heads), "rows": [list(map(minus, row)) for row in rows]}


def listed(title: str, entries) -> dict:
    """A list of a form's answer."""
    return {"kind": "list", "title": title, "entries": list(map(minus, entries))}


def pictured(png: bytes, words: str) -> dict:
    """A picture of a form's answer, with the words that stand for it."""
    return {"kind": "picture", "png": base64.b64encode(png).decode("ascii"), "text": words}


def ended(words: str) -> str:
    """Words with a stop, where they have none and are no question.

    >>> ended("too much"), ended("were the two swapped?")
    ('too much.', 'were the two swapped?')
    """
    return words if words.endswith((".", "?", "!")) else f"{words}."


def _plain(block: dict) -> str:
    """A block as plain text."""
    if block["kind"] == "table":
        return "\n".join([block["title"], *("  " + " | ".join(row) for row in (block["heads"], *block["rows"]))])
    if block["kind"] == "list":
        return "\n".join([block["title"], *(f"- {entry}" for entry in block["entries"])])
    return block["text"]


class Form(anywidget.AnyWidget):
    """Fields round something that is kept in files. A subclass says what `follow` and each `press_<button>` do.

    Parameters: title; groups, each {"title", "fields", "folded"} of fields {"key", "label", "kind", "unit", "hint"},
    kind "text", "number", "clicks", "choice" or "long"; buttons, pairs of name and words; values, texts by key;
    options, pairs of id and words by key of a choice.
    """

    _esm = script("forms/form.js")
    _css = HERE / "form.css"
    title = traitlets.Unicode().tag(sync=True)
    groups = traitlets.List().tag(sync=True)
    buttons = traitlets.List().tag(sync=True)
    options = traitlets.Dict().tag(sync=True)
    values = traitlets.Dict().tag(sync=True)
    lent = traitlets.Dict().tag(sync=True)
    lender = traitlets.Unicode("school's value").tag(sync=True)  # what a value in `lent` is called
    problems = traitlets.Dict().tag(sync=True)
    said = traitlets.Unicode().tag(sync=True)
    blocks = traitlets.List().tag(sync=True)
    busy = traitlets.List([0, 0]).tag(sync=True)
    value = traitlets.Unicode().tag(sync=True)  # all of it as text: what a saved page shows without its kernel
    lost = traitlets.Bool(False).tag(sync=True)  # set by the page: the kernel behind it is gone
    serial = traitlets.Int(0).tag(sync=True)  # of the message that is answered: what was typed after it stays

    def __init__(self, title: str, groups, buttons, values=None, options=None):
        self._lock, self.fault = threading.RLock(), None  # the last fault that was not a person's, for its author
        keys = [field["key"] for group in groups for field in group["fields"]]
        values = dict.fromkeys(keys, "") | dict(values or {})
        super().__init__(title=title, groups=list(groups), buttons=[list(each) for each in buttons], values=values,
                         options={key: [list(pair) for pair in pairs] for key, pairs in (options or {}).items()})
        self.value = self._last_shown()
        self.on_msg(lambda _widget, message, _buffers: self.heard(message))

    def heard(self, message: dict) -> None:
        """A message from the page; whatever it brings, a slip or a fault ends in a sentence."""
        with self._lock:
            given = message.get("values") or {}
            self.serial = int(message.get("serial", self.serial))
            self.values = self.values | {key: str(given[key])[:MOST] for key in self.values if key in given}
            self._do(self.follow if message["kind"] == "typed" else getattr(self, f"press_{message['name']}"))

    def _do(self, deed) -> None:
        try:
            deed()
        except InputError as slip:
            self.said = f"{str(slip)[:1].upper()}{ended(str(slip)[1:])}"
        except Exception as fault:  # anything: it would vanish in the widget's callback
            self.fault, self.said = fault, f"That could not be worked out ({type(fault).__name__})."
        finally:
            self.busy, self.value = [0, 0], self._last_shown()

    def follow(self) -> None:
        """Check what was typed."""

    def fill(self, **values: str) -> Form:
        """Type texts into fields by key, as from the page; returns the form."""
        self.heard({"kind": "typed", "values": values})
        return self

    def press(self, name: str) -> Form:
        """Press a button by its name; returns the form."""
        self.heard({"kind": "press", "name": name})
        return self

    def put(self, **values: str) -> None:
        """Show other texts in fields, whatever stands there."""
        self.values = self.values | values

    def send_file(self, name: str, kind: str, content: bytes) -> None:
        """Let the page keep a file as a download."""
        self.send({"kind": "file", "name": name, "type": kind}, [content])

    @property
    def text(self) -> str:
        """What a reader without the page gets, and what nbval compares."""
        words = [self.title, *(filter(None, [self.said]))]
        words += [f"To fill in: {'; '.join(group['title'].lower() for group in self.groups)}."]
        return "\n".join([*words, *map(_plain, self.blocks)])

    def _last_shown(self) -> str:
        """The text, with what was filled in: what was last seen."""
        named = {field["key"]: field["label"] for group in self.groups for field in group["fields"]}
        chosen = {key: dict(map(tuple, pairs)) for key, pairs in self.options.items()}
        filled = [f"{named[key]}: {chosen.get(key, {}).get(words, words)}" for key, words in self.values.items()
                  if words and key in named]
        return "\n".join([self.text, *filled])

    def _repr_mimebundle_(self, **options):
        data, metadata = super()._repr_mimebundle_(**options)
        return data | {"text/plain": self.text}, metadata
