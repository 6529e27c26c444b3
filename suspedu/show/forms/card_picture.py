"""A set-up card as a picture, for a telephone or a printer."""

from __future__ import annotations

import io
import textwrap

from suspedu.school.card import card_cautions, card_head, card_parts, card_words
from suspedu.school.setups import SetUp

WIDTH, LINE, MARGIN = 5.83, 0.185, 0.35  # inches: A5 wide, a line of text, the rim
WIDE = 82  # signs of a line of text
DPI = 200


def card_png(setup: SetUp) -> bytes:
    """The card of a set-up as a PNG, as long as its lines ask for."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    lines = _lines(setup)
    height = 2 * MARGIN + LINE * sum(size / 10 for _, _, size, _ in lines)
    figure = Figure((WIDTH, height), dpi=DPI, facecolor="white")
    FigureCanvasAgg(figure)
    top = height - MARGIN
    for left, right, size, weight in lines:
        top -= LINE * size / 10
        for text, x, side in ((left, MARGIN, "left"), (right, WIDTH - MARGIN, "right")):
            plain = text.replace("$", r"\$")  # no formula in a rider's words
            figure.text(x / WIDTH, top / height, plain, size=0.85 * size, weight=weight, ha=side, color="#111111")
    out = io.BytesIO()
    figure.savefig(out, format="png", metadata={"Title": setup.name})
    return out.getvalue()


def _lines(setup: SetUp) -> list[tuple[str, str, float, str]]:
    """Left and right text, size and weight of each line."""
    rows = [*_wrapped(setup.name, 16, "bold", 38), *_wrapped(card_head(setup))]
    for head, table in card_parts(setup):
        rows += [("", "", 5, "normal"), (head, "", 12, "bold"), *((*row, 10, "normal") for row in table)]
    for head, words in card_words(setup):
        rows += [("", "", 5, "normal"), (head, "", 12, "bold"), *_wrapped(words)]
    rows += [("", "", 5, "normal"), ("Mind", "", 12, "bold")]
    return [*rows, *(line for text in card_cautions(setup) for line in _wrapped(text))]


def _wrapped(text: str, size: float = 10, weight: str = "normal", wide: int = WIDE) -> list[tuple]:
    return [(line, "", size, weight) for line in textwrap.wrap(text, wide) or [""]]
