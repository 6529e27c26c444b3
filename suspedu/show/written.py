"""What a lesson writes for its reader: sources and tables, as text that wraps between words and as plain lines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from suspedu.sources import cite
from suspedu.spelling import minus

PRACTICE = "†"  # stands behind what the trade does and nobody has printed
LEGEND = f"{PRACTICE} common practice of the trade, which nobody has printed as far as we know."


class Written:
    """A text in markdown for the page, and the same in plain lines for files and comparison."""

    def __init__(self, markdown: str, plain: str):
        self.markdown, self.plain = markdown, plain

    def __repr__(self) -> str:
        return self.plain

    def _repr_markdown_(self) -> str:
        return self.markdown


def references(*keys: str, practice: bool = True) -> Written:
    """References of a lesson by their keys, and the legend of the mark for practice without a source.

    >>> references("merritt", practice=False)
    Merritt, H. E.: Hydraulic Control Systems. Wiley, 1967.
    """
    lines = [cite(key) for key in keys] + [LEGEND] * practice
    return Written("\n".join(f"- {line}" for line in lines), "\n".join(lines))


def ruled_table(heads: Sequence[str], rows: Iterable[Sequence], numbers: bool = True) -> Written:
    """A table: the first column to the left, all others to the right where they are numbers.

    >>> ruled_table(("fork", "stroke"), [("soft", "71 mm"), ("stiff", "-5 mm")])
    fork   stroke
    soft    71 mm
    stiff   −5 mm
    """
    cells = [[minus(str(cell)) for cell in row] for row in (heads, *rows)]
    wide = [max(map(len, column)) for column in zip(*cells, strict=True)]
    plain = ["  ".join(text.rjust(width) if at and numbers else text.ljust(width)
                       for at, (text, width) in enumerate(zip(row, wide, strict=True))).rstrip() for row in cells]
    bars = [[text.replace("|", "\\|") for text in row] for row in cells]
    ruled = [bars[0], ["---", *["---:" if numbers else "---"] * (len(heads) - 1)], *bars[1:]]
    return Written("\n".join(f"| {' | '.join(row)} |" for row in ruled), "\n".join(plain))
