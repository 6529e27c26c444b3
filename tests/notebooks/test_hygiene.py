"""What git keeps of a notebook: ids, short cells, headings in order, text and stills, nothing stray or stale."""

import base64
import itertools
import json
import re
import statistics

import pytest

from suspedu.coursework.exercise import hygiene

MOST_CELLS, MOST_LINES, MEDIAN_LINES = 40, 15, 5  # a class hour, read on one screen (guess of the course)
PANEL = re.compile(r"^(\w+ = )?panels\.\w+\(", re.MULTILINE)
FACTS = {"role", "names", "rows", "drawn", "where", "between", "question", "points", "title", "blank", "slips",
         "choice", "cell", "sealed", "property", "level", "rubric", "minutes",
         "rests_on"}
TOP = {"kernelspec", "language_info", "suspedu", "title"}


def sources(book, kind):
    return [(cell, "".join(cell["source"])) for cell in book["cells"] if cell["cell_type"] == kind]


def id_faults(book):
    ids = [cell.get("id", "") for cell in book["cells"]]
    yield from (f"id {i!r} is missing, odd or there twice" for i in ids
                if not re.fullmatch(r"[A-Za-z0-9-]{2,64}", i) or ids.count(i) > 1)


def metadata_faults(book):
    if set(book["metadata"]) - TOP or book["metadata"].get("kernelspec") != hygiene.KERNEL["kernelspec"]:
        yield f"notebook metadata {book['metadata']}"
    for cell in book["cells"]:
        if extra := set(cell["metadata"]) - set(hygiene.KEPT_METADATA):
            yield f"{cell['id']}: metadata {extra}"
        if extra := set(cell["metadata"].get("suspedu", {})) - FACTS:
            yield f"{cell['id']}: facts {extra}"


def size_faults(book):
    lengths = {cell["id"]: len(source.splitlines()) for cell, source in sources(book, "code")}
    yield from (f"{i}: {count} lines" for i, count in lengths.items() if not 1 <= count <= MOST_LINES)
    read = [lengths[cell["id"]] for cell, _ in sources(book, "code")
            if cell["metadata"].get("suspedu", {}).get("role") not in ("verdict", "numbers")]  # checks, and lists
    if len(book["cells"]) > MOST_CELLS or statistics.median(read) > MEDIAN_LINES:
        yield f"{len(book['cells'])} cells, median of {statistics.median(read)} lines"


def heading_faults(book):
    text = re.sub(r"```.*?```", "", "\n\n".join(source for _, source in sources(book, "markdown")), flags=re.DOTALL)
    levels = [len(marks) for marks in re.findall(r"^(#{1,6}) ", text, re.MULTILINE)]
    if levels[:1] != [1] or levels.count(1) != 1:
        yield f"headings {levels}: one title, at the top"
    if any(after > before + 1 for before, after in itertools.pairwise(levels)):
        yield f"headings {levels} leave out a level"


def output_faults(book):
    counts = [cell["execution_count"] for cell, _ in sources(book, "code") if cell["execution_count"] is not None]
    if counts != list(range(1, len(counts) + 1)):
        yield f"execution counts {counts} are not in order"
    for cell, _ in sources(book, "code"):
        try:
            kept = hygiene.tidy_outputs(cell["outputs"], cell["id"], cell["execution_count"])
        except (ValueError, KeyError) as fault:  # an error output has no data: it is refused as well
            yield f"{cell['id']}: {fault!r}"
            continue
        if kept != cell["outputs"]:
            yield f"{cell['id']}: an output holds more than git keeps"


def still_faults(book):
    for cell, source in sources(book, "code"):
        stills = [o["data"]["image/png"] for o in cell["outputs"] if "image/png" in o.get("data", {})]
        if PANEL.search(source) and not stills:
            yield f"{cell['id']}: a panel without a still picture"
        if any(not base64.b64decode("".join(still)).startswith(b"\x89PNG\r\n") for still in stills):
            yield f"{cell['id']}: a still that is no PNG"


CHECKS = (id_faults, metadata_faults, size_faults, heading_faults, output_faults, still_faults)


def test_notebook_is_clean(notebook):
    book = json.loads(notebook.read_text(encoding="utf-8"))
    assert [fault for check in CHECKS for fault in check(book)] == []


def test_notebook_is_in_the_one_form(notebook):
    book = json.loads(notebook.read_text(encoding="utf-8"))
    assert hygiene.written(book) == notebook.read_bytes()
    assert hygiene.tidy(book) == book


def test_lesson_has_outputs(recorded):
    """Every code cell of a lesson or solution was run, but for the tool cells."""
    book = json.loads(recorded.read_text(encoding="utf-8"))
    unrun = [cell for cell, _ in sources(book, "code") if cell["execution_count"] is None]
    assert [cell["id"] for cell in unrun if cell["metadata"].get("suspedu", {}).get("role") != "tool"] == []


def code(identity="aa", source="x = 1", outputs=(), count=1, **metadata):
    return {"cell_type": "code", "id": identity, "metadata": metadata, "source": [source], "outputs": list(outputs),
            "execution_count": count}


def shown(**data):
    return {"output_type": "display_data", "data": data, "metadata": {}}


TITLE = {"cell_type": "markdown", "id": "title", "metadata": {}, "source": ["# Title"]}
ERROR = {"output_type": "error", "ename": "E", "evalue": "", "traceback": []}
STDERR = {"output_type": "stream", "name": "stderr", "text": ["w"]}
VIEW = {"text/plain": ["x"], "application/vnd.jupyter.widget-view+json": {"model_id": "1"}}
BAD = {
    "id twice": (id_faults, [code(), code()]), "no id": (id_faults, [code("")]),
    "tags": (metadata_faults, [code(tags=["x"])]), "timing": (metadata_faults, [code(execution={"iopub": 1})]),
    "odd fact": (metadata_faults, [code(suspedu={"note": 1})]),
    "long cell": (size_faults, [code(source="x = 1\n" * 16)]), "empty cell": (size_faults, [code(source="")]),
    "median": (size_faults, [code(source="x = 1\n" * 6)]), "many cells": (size_faults, [code()] * 41),
    "two titles": (heading_faults, [TITLE]), "level left out": (heading_faults, [TITLE | {"source": ["### x"]}]),
    "count": (output_faults, [code(count=2)]), "error": (output_faults, [code(outputs=[ERROR])]),
    "stderr": (output_faults, [code(outputs=[STDERR])]), "widget": (output_faults, [code(outputs=[shown(**VIEW)])]),
    "address": (output_faults, [code(outputs=[shown(**{"text/plain": ["<A at 0x7f00>"]})])]),
    "no still": (still_faults, [code(source="panels.sag()")]),
    "no PNG": (still_faults, [code(source="panels.sag()", outputs=[shown(**{"image/png": "AAAA"})])]),
}


@pytest.mark.parametrize("kind", BAD)
def test_a_stray_thing_would_be_found(kind):
    """Each check can fail: a notebook made wrong on purpose."""
    check, cells = BAD[kind]
    book = {"cells": [TITLE, *cells], "metadata": {"kernelspec": hygiene.KERNEL["kernelspec"]}}
    assert list(check(book))
    assert not list(check(book | {"cells": [TITLE, code()]}))
