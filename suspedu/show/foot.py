"""The lines under a picture that leaves the page: it carries its sentence and its setting along."""

from __future__ import annotations

from dataclasses import replace

from suspedu.show.labels import text_width
from suspedu.show.layout import BOLD, EDGE, LABEL, TITLE, Frame, folded, text_at
from suspedu.show.still import settings

LINE = 18  # px from line to line


def carried(panel) -> tuple[str, ...]:
    """What a saved picture of a panel says: its sentence, its setting with the ground, and what was pinned."""
    setting = dict(settings(panel.controls, panel.values))
    pinned = dict(settings(panel.controls, panel.pinned_values)) if panel.pinned else setting
    other = [f"{label} {value}" for label, value in pinned.items() if setting[label] != value]
    title = panel.title if panel.title.endswith("?") else f"{panel.title}."
    return (f"{title} {panel.sentence} {panel.compared}".strip(),
            "Setting: " + "; ".join(f"{label} {value}" for label, value in setting.items()) + ".",
            f"Pinned, in grey: {'; '.join(other) or 'the same setting'}." if panel.pinned else "")  # fmt: skip


def note_place(frame: Frame, width: float) -> dict[str, float]:
    """Where a note of some width [px] stands: at the top, behind the last title that leaves it room."""
    edge, y = frame.width - EDGE - width, frame.full_height - EDGE - LABEL - 4
    upper = [(axes.title, cell) for axes, cell in zip(frame.axes, frame.cells(), strict=True)
             if cell[3] >= frame.full_height - EDGE - 1]  # fmt: skip
    for title, (left, _, right, _) in reversed(upper):
        free = left + BOLD * text_width(title, TITLE) + EDGE
        if free + width <= right:
            return {"x": right - width, "y": y}
    return {"x": edge, "y": y}


def with_foot(frame: Frame, texts) -> tuple[Frame, list[str]]:
    """The frame with room for the texts below its axes, and their lines."""
    lines = [line for text in texts if text for line in folded(text, frame.width - 2 * EDGE).split("\n")]
    return replace(frame, foot=LINE * len(lines) + EDGE), lines


def foot_of(figure, frame: Frame, lines) -> list:
    """The lines as texts of a figure, in the room at its foot."""
    return [text_at(figure, frame, EDGE, frame.foot - LINE * number, line, color=frame.theme.ink)
            for number, line in enumerate(lines, start=1)]  # fmt: skip
