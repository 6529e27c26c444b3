"""Questions inside a lesson: a prediction that the reader records, and an explanation that unfolds afterwards.

Predictions stay with the reader: in `.suspedu-notes.json` in the working folder. Options stand in an order of the
reader's own, so that no place is the right one for all; as text they stand as they were written.
"""

from __future__ import annotations

import json
import os
import platform
import random
import uuid
from pathlib import Path

import anywidget
import traitlets

from suspedu.files import NotWrittenError, write_whole
from suspedu.show.scripts import script
from suspedu.spelling import minus, readable, readable_unit

HERE = Path(__file__).parent
NOTES = ".suspedu-notes.json"
_unfolded: dict[str, list[Unfolding]] = {}  # explanations on the page, by key: they show what was predicted


def noted(folder: Path | str = ".") -> dict:
    """Predictions recorded in a folder, key -> {"question", "answer"}; a damaged file counts as empty."""
    try:
        return _read(Path(folder) / NOTES)
    except (OSError, ValueError):
        return {}


def _read(path: Path) -> dict:
    found = json.loads(path.read_text(encoding="utf-8"))
    predictions = found.get("predictions") if isinstance(found, dict) else None
    if not isinstance(predictions, dict) or not all(isinstance(entry, dict) for entry in predictions.values()):
        raise ValueError(f"{path.name} is not a file of notes")
    return predictions


def note(key: str, question: str, answer: str, folder: Path | str = ".") -> None:
    """Record one prediction: the file is replaced in one step, a damaged one is kept aside.

    Raises: NotWrittenError or OSError where the folder cannot be written.
    """
    path = Path(folder) / NOTES
    try:
        predictions = _read(path)
    except FileNotFoundError:
        predictions = {}
    except ValueError:
        path.replace(path.with_suffix(".damaged.json"))
        predictions = {}
    predictions[key] = {"question": question, "answer": answer}
    write_whole(path, json.dumps({"predictions": predictions}, indent=1, ensure_ascii=False, sort_keys=True) + "\n")


def own_order(options, key: str, reader: str | None = None) -> list:
    """The options in an order of the reader's own, the same each time this reader meets this question.

    Parameters: options; key of the question; reader, whose order it is, by default whoever uses this machine.

    >>> [own_order("abc", "01-preload", reader) for reader in ("one", "other")]
    [['b', 'c', 'a'], ['b', 'a', 'c']]
    """
    shuffled = list(options)
    random.Random(f"{reader or platform.node() + os.environ.get('HOME', '')} {key}").shuffle(shuffled)
    return shuffled


class Question(anywidget.AnyWidget):
    """A question with options or a number field, and a button that records the answer."""

    _esm = script("asking.js")
    _css = HERE / "asking.css"
    question = traitlets.Unicode().tag(sync=True)
    options = traitlets.List().tag(sync=True)  # empty: a number is asked for
    unit = traitlets.Unicode().tag(sync=True)
    answer = traitlets.Unicode().tag(sync=True)
    said = traitlets.Unicode().tag(sync=True)
    words = traitlets.List(["Predict", "Record my prediction", "Change my prediction"]).tag(sync=True)

    def __init__(self, key: str, question: str, options=(), unit: str = ""):
        self.key, self._written = key, tuple(options)
        before = str(noted().get(key, {}).get("answer", ""))
        if options and before not in options:
            before = ""
        said = f"You predicted: {before.rstrip('.')}." if before else ""
        super().__init__(question=question, options=own_order(options, key), unit=readable_unit(unit), answer=before,
                         said=said)
        self.on_msg(lambda _widget, message, _buffers: self.record(str(message.get("answer", ""))))

    def record(self, answer: str) -> None:
        """Keep an answer, or say why it cannot be kept."""
        answer = answer.strip()
        refusal = self._refusal(answer)
        if refusal:
            self.said = refusal
            return
        self.answer = answer if self.options else readable(f"{number_in(answer, self.unit):g}", self.unit)
        try:
            note(self.key, self.question, self.answer)
            self.said = f"Recorded: {self.answer.rstrip('.')}. Now look."
        except (NotWrittenError, OSError) as fault:
            why = getattr(fault, "why", None) or fault.strerror
            self.said = f"Your prediction is {self.answer}; it could not be written down ({why})."
        for explanation in _unfolded.get(self.key, []):
            explanation.renew(self.answer)

    def _refusal(self, answer: str) -> str:
        if self.options:
            return "" if answer in self.options else "Choose one of the answers first."
        return "" if number_in(answer, self.unit) is not None else f"Type a number in {self.unit or 'figures'} first."

    @property
    def text(self) -> str:
        """The question and its options as plain text."""
        asked = [f"- {option}" for option in self._written] or [f"(a number in {self.unit or 'figures'})"]
        return "\n".join([f"{self.words[0]}: {self.question}", *asked])

    def _repr_mimebundle_(self, **options):
        data, metadata = super()._repr_mimebundle_(**options)
        return data | {"text/plain": self.text}, metadata


def number_in(text: str, unit: str = "") -> float | None:
    """The number that somebody typed, with or without its unit; None where there is none.

    >>> number_in("−3,5 mm", "mm"), number_in("some", "mm")
    (-3.5, None)
    """
    plain = text.strip().removesuffix(unit).strip()
    try:
        value = float(plain.replace(",", ".").replace("−", "-"))  # a decimal comma is what many keyboards give
    except ValueError:
        return None
    return value if abs(value) < 1e12 else None  # nan and infinity are no predictions


class Unfolding:
    """A text that unfolds, with the reader's own prediction beside it."""

    def __init__(self, key: str, text: str):
        self.key, self.text, self._shown = key, minus(text.strip()), None
        _unfolded[key] = [self]  # the newest only: running a cell again replaces its explanation

    def bundle(self, predicted: str) -> dict:
        """The forms of output: folded markdown for the page, the text itself for files and comparison."""
        own = f"*You predicted: {predicted.rstrip('.')}.*\n\n" if predicted else ""
        folded = f"<details>\n<summary>Explanation</summary>\n\n{own}{self.text}\n\n</details>"
        return {"text/markdown": folded, "text/plain": self.text}

    def _ipython_display_(self) -> None:
        from IPython.display import display

        predicted = str(noted().get(self.key, {}).get("answer", ""))
        self._shown = display(self.bundle(predicted), raw=True, display_id=uuid.uuid4().hex)

    def renew(self, predicted: str) -> None:
        """Show a prediction that has just been recorded."""
        if self._shown is not None:
            self._shown.update(self.bundle(predicted), raw=True)


def predict(key: str, question: str, options) -> Question:
    """A question with a few answers to choose from; the choice is recorded under `key`."""
    return Question(key, question, tuple(options))


def predict_number(key: str, question: str, unit: str) -> Question:
    """A question for a number in a unit; the number is recorded under `key`."""
    return Question(key, question, unit=unit)


def explain(key: str, text: str) -> Unfolding:
    """A folded explanation in markdown; unfolded, it shows what was predicted under `key`."""
    return Unfolding(key, text)
