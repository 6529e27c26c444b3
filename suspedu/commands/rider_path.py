"""The rider's path through a lesson: sections without a panel or a prediction start folded, and so does code.

One click unfolds either.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator

CHOSEN = "SUSPEDU_PATH"  # variable of the server's environment; "rider" chooses this path
FOLDED = "jp-MarkdownHeadingCollapsed"  # JupyterLab's own mark of a folded section
OPEN = re.compile(r"\b(panels\.\w+\(|asking\.predict|setup_session\(|\w+_form\()")
HEADING = re.compile(r"#{2,6} ")


def chosen() -> bool:
    """Whether this server was opened on the rider's path."""
    return os.environ.get(CHOSEN) == "rider"


def fold(book: dict) -> None:
    """Fold, in place, each section of a notebook without a panel, a form or a prediction, and the code of the others.

    >>> book = {"cells": [{"cell_type": "markdown", "metadata": {}, "source": "## For the curious: a law"},
    ...                   {"cell_type": "code", "metadata": {}, "source": "print(1)"}]}
    >>> fold(book)
    >>> book["cells"][0]["metadata"]
    {'jp-MarkdownHeadingCollapsed': True}
    """
    for head, section in _sections(book["cells"]):
        code = [cell for cell in section if cell["cell_type"] == "code"]
        if any(OPEN.search(_text(cell)) for cell in code):
            for cell in code:
                cell["metadata"].setdefault("jupyter", {}).setdefault("source_hidden", True)
        elif section:
            head["metadata"].setdefault(FOLDED, True)  # what the reader has unfolded and saved stays so


def _sections(cells: list) -> Iterator[tuple[dict, list]]:
    """Each cell that begins with a heading, and the cells below it up to the next one."""
    heads = [at for at, cell in enumerate(cells) if cell["cell_type"] == "markdown" and HEADING.match(_text(cell))]
    for at, after in zip(heads, [*heads[1:], len(cells)], strict=True):
        yield cells[at], cells[at + 1:after]


def _text(cell: dict) -> str:
    return "".join(cell["source"])
