"""What a page shows of a widget without its kernel: a still picture, its sentence and numbers, and how to wake it.

Plain HTML from the widget's own state, for the notebook's file; no script, and
colours of the page's theme only. Nothing is drawn here.
"""

from __future__ import annotations

import base64
from collections.abc import Mapping
from html import escape

from suspedu.spelling import readable

WAKE = "To bring it to life: Run > Run All Cells."
SEEN, ASLEEP, RECORDED = f"Still picture, as last seen. {WAKE}", f"As last seen. {WAKE}", f"Still picture. {WAKE}"
SMALL = 'style="opacity:0.75;font-size:90%;margin:4px 0"'


def still_of(state: Mapping, picture: bytes) -> str:
    """HTML of a panel: the line that wakes it, picture, sentence, setting and key numbers; everything escaped.

    Parameters: state, by the names that the page knows (title, sentence, compared, numbers, controls, values, size);
    picture, a PNG.
    """
    words = f"{state['sentence']} {state.get('compared', '')}".strip()
    address = base64.b64encode(picture).decode("ascii")
    width = (state.get("size") or [700])[0]
    image = (f'<img src="data:image/png;base64,{address}" alt="{escape(words)}" width="{int(width)}" '
             'style="max-width:100%;height:auto">')  # fmt: skip
    setting = "; ".join(f"{label} {value}" for label, value in settings(state["controls"], state["values"]))
    return (f'<section class="suspedu-still" aria-label="{escape(str(state.get("title") or "Panel"))}">'
            f"<p {SMALL}>{escape(SEEN)}</p>{image}<p>{escape(words)}</p>"
            f"<p {SMALL}>Setting: {escape(setting)}.</p>{_table(state['numbers'])}</section>")  # fmt: skip


def settings(controls, values) -> list[tuple[str, str]]:
    """Label and value in words of each control as the page describes it."""
    by_name = {control["name"]: control for control in controls}
    leaders = [_leader(control, by_name, values) for control in controls]
    return [(control["label"], _in_words(leader, values[leader["name"]]))
            for control, leader in zip(controls, leaders, strict=True)]


def _leader(control: Mapping, by_name: Mapping, values) -> Mapping:
    """The control that says where this one stands: itself, but for a slider that a choice leads elsewhere."""
    name, own = control.get("led") or (control["name"], values[control["name"]])
    return control if values[name] == own else by_name[name]


def _in_words(control: Mapping, value) -> str:
    if control["kind"] == "choice":
        return dict(map(tuple, control["options"])).get(value, str(value))
    return readable(f"{value:.{control['decimals']}f}", control["unit"])


def _table(numbers) -> str:
    lines = "".join(f'<tr><th scope="row" style="text-align:left;font-weight:normal">{escape(row[0])}</th>'
                    + "".join(f"<td>{escape(text)}</td>" for text in row[1:]) + "</tr>" for row in numbers)  # fmt: skip
    pinned = any(len(row) > 2 for row in numbers)
    heads = "".join(f'<th scope="col">{text}</th>' for text in ("now", "pinned", "change")) if pinned else ""
    return f"<table>{f'<thead><tr><td></td>{heads}</tr></thead>' if pinned else ''}<tbody>{lines}</tbody></table>"


def question_of(state: Mapping) -> str:
    """HTML of a question: what was asked, the answers to choose from, and what was said."""
    options = "".join(f"<li>{escape(option)}</li>" for option in state.get("options") or [])
    said = f"<p>{escape(state['said'])}</p>" if state.get("said") else ""
    asked = (state.get("words") or ["Predict"])[0]  # a task of one's own is none
    return (f'<section class="suspedu-still"><p {SMALL}>{escape(asked)}. {escape(ASLEEP)}</p>'
            f"<p><strong>{escape(state['question'])}</strong></p>{f'<ul>{options}</ul>' if options else ''}{said}"
            "</section>")  # fmt: skip


def box_of(told) -> str:
    """HTML of a box: its texts and tables, pairs ("text" or "html", content) from its top to its bottom."""
    parts = [content if kind == "html" else f"<p>{escape(content)}</p>" for kind, content in told if content]
    return f'<section class="suspedu-still"><p {SMALL}>{escape(ASLEEP)}</p>{"".join(parts)}</section>' if parts else ""


def words_of(text: str) -> str:
    """HTML of something of which only a text is left."""
    return f'<section class="suspedu-still"><p {SMALL}>{escape(ASLEEP)}</p><pre>{escape(text)}</pre></section>'


def recorded_of(picture: str, text: str) -> str:
    """HTML of a panel that never ran here: its recorded picture (base64), sentence and numbers."""
    sentence, *numbers = text.splitlines() or [""]
    address = "data:image/png;base64," + "".join(picture.split())
    image = f'<img src="{address}" alt="{escape(sentence)}" style="max-width:100%">'
    rows = [line.rpartition(": ")[::2] for line in numbers]
    return (f'<section class="suspedu-still"><p {SMALL}>{escape(RECORDED)}</p>{image}'
            f"<p>{escape(sentence)}</p>{_table(rows)}</section>")  # fmt: skip
