"""What a notebook's file holds of its widgets: stills of what was last seen, and where a live one is to be found.

JupyterLab brings the state of all widgets with each save. Here it becomes plain
HTML in the outputs, and goes. A view that only its kernel can fill is noted in
the output's metadata, and put back for as long as that kernel runs.
"""

from __future__ import annotations

import base64
from collections.abc import Iterator

from suspedu.show import still

VIEW = "application/vnd.jupyter.widget-view+json"
STATE = "application/vnd.jupyter.widget-state+json"
REFERENCE = "IPY_MODEL_"


def kept(book: dict, kernel: str) -> None:
    """Turn the widgets of a notebook that is being saved into stills; `kernel` names the process that they live in."""
    models = (book["metadata"].pop("widgets", None) or {}).get(STATE, {}).get("state", {})
    for output in _outputs(book):
        if VIEW in output.get("data", {}):
            _keep(output, models, kernel)


def woken(book: dict, kernel: str) -> None:
    """Bring a notebook that is being opened to life where its kernel still runs; stills elsewhere."""
    for output in _outputs(book):
        data, noted = output.get("data", {}), output.get("metadata", {}).pop("suspedu", {})
        data.pop(VIEW, None)
        if kernel and noted.get("kernel") == kernel:
            data[VIEW] = noted["view"]
        elif "text/html" not in data and "image/png" in data and not _text(data).startswith("<"):
            data["text/html"] = still.recorded_of(data["image/png"], _text(data))


def _outputs(book: dict) -> Iterator[dict]:
    return (output for cell in book["cells"] for output in cell.get("outputs", ()))


def _text(data: dict) -> str:
    return "".join(data.get("text/plain", ""))


def _keep(output: dict, models: dict, kernel: str) -> None:
    data = output["data"]
    view = data.pop(VIEW)
    tree = list(_tree(view.get("model_id", ""), models))
    if page := _page(tree):
        data["text/html"] = page
        if picture := _picture(tree[0]):
            data["image/png"] = base64.b64encode(picture).decode("ascii")
    elif "text/html" not in data:
        data["text/html"] = still.words_of(_text(data))
    if kernel and not any(model["state"].get("lost") for model in tree):
        output.setdefault("metadata", {})["suspedu"] = {"view": view, "kernel": kernel}


def _tree(identity: str, models: dict) -> Iterator[dict]:
    """A model and all that stands in it, from the top to the bottom of the page."""
    model = models.get(identity.removeprefix(REFERENCE))
    if model is not None:
        yield model
        for child in model["state"].get("children") or ():
            yield from _tree(child, models)


def _page(tree: list[dict]) -> str:
    """HTML of what a widget shows; nothing for one without words of its own."""
    if not tree:
        return ""
    state = tree[0]["state"]
    if "sentence" in state and (picture := _picture(tree[0])):
        return still.still_of(state, picture)
    if "question" in state:
        return still.question_of(state)
    if "blocks" in state:  # a form: all of it as text
        return still.words_of(str(state["value"]))
    return still.box_of([_told(model) for model in tree])


def _told(model: dict) -> tuple[str, str]:
    """What a part of a box tells: ("html", ...) or ("text", ...), with nothing in it for a control."""
    state = model["state"]
    if state.get("_model_name") == "HTMLModel":
        return "html", str(state.get("value", ""))
    return "text", str(state.get("value", "")) if state.get("_model_module") == "anywidget" else ""


def _picture(model: dict) -> bytes:
    found = [each["data"] for each in model.get("buffers", ()) if each["path"] == ["picture"]]
    return base64.b64decode(found[0]) if found else b""
