"""The self-check inside a notebook: a button, its progress, and the verdicts as a table."""

from __future__ import annotations

import html
import threading
from pathlib import Path

import ipywidgets

from suspedu.coursework.exercise import selfmark as core
from suspedu.show.status_line import StatusLine
from suspedu.units import InputError

BEFORE = "The check saves this notebook and marks what it then holds."
CELL = "text-align:left; padding:0.2em 0.8em; border-bottom:1px solid currentColor; vertical-align:top"
COLUMNS = ("question", "points", "verdict", "hint")


class SelfCheck(ipywidgets.VBox):
    """A button that marks the saved exercise with the practice numbers and shows what came of it."""

    def __init__(self, number: str, folder: Path | None = None):
        self.number, self.folder, self.thread = number, folder, None
        self.button = ipywidgets.Button(description="Check my answers", tooltip=f"Check exercise {number}",
                                        layout=ipywidgets.Layout(width="auto"))
        self.status = ipywidgets.HTML(_status(BEFORE))
        self.verdicts = ipywidgets.HTML("")
        self.button.on_click(lambda _: self.start())
        self.page = StatusLine(name=f"Check of exercise {number}")  # its own line stays empty: the progress has a bar
        super().__init__([self.button, self.status, self.verdicts, self.page])

    def start(self) -> None:
        """Begin a check of the notebook that asks, saved first; it stays usable meanwhile."""
        if self.button.disabled:
            return
        self.button.disabled, self.done, self.verdicts.value = True, 0, ""
        self.status.value = _status("Saving the notebook ...")
        self.page.save_notebook(self.check)

    def check(self, path: str, fault: str = "") -> None:
        """Check the saved notebook of a path; "" where the page does not know its path."""
        self.button.disabled, self.done = True, 0
        if fault:
            self._end(f"The notebook could not be saved, so nothing was marked: {fault}.")
            return
        self.status.value = _status("Reading the saved file ...")
        self.thread = threading.Thread(target=self._check, args=(path,), daemon=True)
        self.thread.start()

    def wait(self) -> None:
        """Wait for a check that was started."""
        if self.thread:
            self.thread.join()

    def _end(self, words: str) -> None:
        self.status.value, self.button.disabled = _status(words), False

    def _check(self, asking: str) -> None:
        try:
            path = core.own_file(self.number, self.folder, asking)
            self.total = core.code_cells(path)
            result = core.check_file(path, self._progress)
            self.verdicts.value, self.status.value = table(result), _status(" ".join(core.advice(result)))
        except InputError as fault:
            self.status.value = _status(str(fault))
        except Exception as fault:  # a thread's traceback would reach nobody
            self.status.value = _status(f"The check could not be made ({type(fault).__name__}: {fault}); "
                                        "'suspedu ready' may tell why.")
        finally:
            self.button.disabled = False

    def _progress(self, line: dict) -> None:
        self.done += "key" in line
        words = f"Running cell {min(self.done + 1, self.total)} of {self.total} ..."
        bar = f'<progress max="{self.total}" value="{min(self.done, self.total)}" aria-label="progress"></progress> '
        self.status.value = _status(words, bar)


def _status(words: str, bar: str = "") -> str:
    """A line that screen readers announce when it changes."""
    return f'<div role="status" aria-live="polite">{bar}{html.escape(words)}</div>'


def table(result: core.Checked) -> str:
    """The verdicts as an accessible table: heads with scope, verdicts as words; everything escaped."""
    heads = "".join(f'<th scope="col" style="{CELL}">{name}</th>' for name in COLUMNS)
    rows = "".join(_line(row) for row in result.rows)
    caption = f'<caption style="text-align:left; padding:0.4em 0">Exercise {html.escape(result.exercise)}</caption>'
    return (f'<table class="suspedu-verdicts" style="border-collapse:collapse">{caption}<thead><tr>{heads}</tr></thead>'
            f"<tbody>{rows}</tbody></table>")


def _line(row) -> str:
    points = f"up to {row.possible}" if row.by_hand else f"{row.earned} of {row.possible}"
    name = html.escape(f"{row.question} {row.title}")
    verdict = f"<strong>{html.escape(row.verdict)}</strong>"
    cells = "".join(f'<td style="{CELL}">{cell}</td>' for cell in (points, verdict, html.escape(row.hint)))
    return f'<tr><th scope="row" style="{CELL}; font-weight:normal">{name}</th>{cells}</tr>'


def selfmark(number: str) -> SelfCheck:
    """The self-check of an exercise, to stand as the last line of its last cell.

    Parameters: number of the exercise, such as "01"; its notebook is found beside the running one.
    """
    return SelfCheck(number)
