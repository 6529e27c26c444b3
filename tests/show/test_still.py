"""Stills in a notebook's file: what was last seen, escaped, without script, and back to life where the kernel runs."""

import base64
import io
import re
from html.parser import HTMLParser

import pytest
from PIL import Image

from suspedu.commands import saved_pages
from suspedu.show import asking, still
from suspedu.show.session_desk import setup_session

from .sample import panel

KERNEL = "kernel-1 4711"


class Read(HTMLParser):
    """Texts and attributes of a page, its tags balanced."""

    def __init__(self, page):
        super().__init__()
        self.texts, self.images, self.open, self.seen = [], [], [], []
        self.feed(page)
        assert self.open == []

    def handle_starttag(self, tag, attributes):
        self.seen.append(tag)
        if tag == "img":
            self.images.append(dict(attributes))
        else:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.texts.append(data)


def model_of(widget) -> dict:
    """A widget's part of the state that JupyterLab saves."""
    state = widget.get_state()
    buffers = [{"data": base64.b64encode(value).decode(), "encoding": "base64", "path": [name]}
               for name, value in state.items() if isinstance(value, bytes)]  # fmt: skip
    kept = {name: value for name, value in state.items() if not isinstance(value, bytes)}
    return {"model_name": state["_model_name"], "state": kept, "buffers": buffers}


def book_of(*shown, more=()) -> dict:
    """A notebook as JupyterLab saves it: each widget in an output, the state of all in the metadata."""
    state = {widget.model_id: model_of(widget) for widget in (*shown, *more)}
    outputs = [{"output_type": "execute_result", "metadata": {}, "data": bundle(widget)} for widget in shown]
    cells = [{"cell_type": "code", "outputs": [output]} for output in outputs]
    return {"cells": [{"cell_type": "markdown"}, *cells],
            "metadata": {"widgets": {saved_pages.STATE: {"state": state, "version_major": 2}}}}  # fmt: skip


def bundle(widget) -> dict:
    data = widget._repr_mimebundle_()
    return dict(data[0] if isinstance(data, tuple) else data)


def data_of(book, number=1) -> dict:
    return book["cells"][number]["outputs"][0]["data"]


def test_a_saved_panel_shows_what_was_last_seen():
    shown = panel()
    shown.pin()
    shown.move(load=150.0)
    book = book_of(shown)
    saved_pages.kept(book, KERNEL)
    data, read = data_of(book), Read(data_of(book)["text/html"])
    assert book["metadata"] == {}
    assert saved_pages.VIEW not in data
    words = " ".join(read.texts)
    for text in (shown.sentence, shown.compared, "Run > Run All Cells", "Load 150 N", "Side to the left", "37.5 mm"):
        assert text in words
    assert base64.b64decode(read.images[0]["src"].partition("base64,")[2]) == shown.picture
    assert read.images[0]["alt"] == f"{shown.sentence} {shown.compared}"
    assert base64.b64decode(data["image/png"]) == shown.picture
    assert not {"script", "iframe", "link"} & set(read.seen)


def test_the_output_itself_carries_a_still_for_other_servers():
    shown = panel(load=120.0)
    read = Read(bundle(shown)["text/html"])
    assert shown.sentence in read.texts
    picture = base64.b64decode(read.images[0]["src"].partition("base64,")[2])
    assert Image.open(io.BytesIO(picture)).size[0] == int(read.images[0]["width"])


@pytest.mark.parametrize("kernel", [KERNEL, "kernel-1 4712", "kernel-2 4711", ""])
def test_it_lives_again_only_where_its_own_process_runs(kernel):
    shown = panel()
    book = book_of(shown)
    saved_pages.kept(book, KERNEL)
    saved_pages.woken(book, kernel)
    view = data_of(book).get(saved_pages.VIEW)
    assert (view == bundle(shown)[saved_pages.VIEW]) if kernel == KERNEL else view is None
    assert book["cells"][1]["outputs"][0]["metadata"] == {}
    assert shown.sentence in data_of(book)["text/html"]


def test_a_panel_whose_kernel_went_before_the_save_stays_a_still():
    shown = panel()
    book = book_of(shown)
    book["metadata"]["widgets"][saved_pages.STATE]["state"][shown.model_id]["state"]["lost"] = True
    saved_pages.kept(book, KERNEL)
    saved_pages.woken(book, KERNEL)
    assert saved_pages.VIEW not in data_of(book)


def test_saving_twice_is_saving_once():
    book = book_of(panel())
    saved_pages.kept(book, KERNEL)
    once = repr(book)
    saved_pages.kept(book, KERNEL)
    assert repr(book) == once


def test_a_question_and_a_desk_keep_what_they_said():
    question = asking.predict("still-test", "How <far>?", ["so", "or so"])
    question.said = "Recorded: so. Now look."
    desk = setup_session(8)
    desk.measure()
    parts = [*desk.children, *(each for row in desk.children for each in getattr(row, "children", ()))]
    book = book_of(question, desk, more=parts)
    saved_pages.kept(book, KERNEL)
    asked, done = (Read(data_of(book, number)["text/html"]) for number in (1, 2))
    assert {"How <far>?", "so", "or so", question.said} <= set(asked.texts)
    assert desk.said.value in done.texts
    assert "table" in done.seen
    assert "Run > Run All Cells" in " ".join(done.texts)


def test_without_a_state_the_text_remains():
    book = book_of(setup_session(8))
    book["metadata"] = {}
    saved_pages.kept(book, "")
    assert "Machine 8 on the stand" in " ".join(Read(data_of(book)["text/html"]).texts)
    assert "suspedu" not in book["cells"][1]["outputs"][0]["metadata"]


def test_a_lesson_that_never_ran_shows_its_sentence_under_its_picture():
    shown = panel()
    data = {"image/png": base64.encodebytes(shown.still()).decode(), "text/plain": shown.text.splitlines(keepends=True)}
    book = {"cells": [{"cell_type": "code", "outputs": [{"data": data, "metadata": {}}]}], "metadata": {}}
    saved_pages.woken(book, "")
    read = Read(data_of(book, 0)["text/html"])
    assert shown.sentence in read.texts
    assert "20.0 mm" in read.texts
    assert re.fullmatch(r"data:image/png;base64,[\w+/=]+", read.images[0]["src"])


def test_a_figure_of_the_students_own_is_left_alone():
    data = {"image/png": "AAAA", "text/plain": "<Figure size 640x480 with 1 Axes>"}
    book = {"cells": [{"cell_type": "code", "outputs": [{"data": dict(data), "metadata": {}}]}], "metadata": {}}
    saved_pages.woken(book, KERNEL)
    saved_pages.kept(book, KERNEL)
    assert data_of(book, 0) == data


def test_what_comes_from_outside_is_escaped():
    state = {"title": '"><script>', "sentence": "<b>", "numbers": [["<i>", "<u>"]], "controls": [], "values": {}}
    page = still.still_of(state, b"")
    assert {"script", "b", "i", "u"}.isdisjoint(Read(page).seen)


def test_a_task_of_ones_own_is_not_called_a_prediction():
    asked = {"question": "How far?", "said": "Right: 3 mm.", "words": ["Now you", "Check", "Check again"]}
    assert "Now you. As last seen" in still.question_of(asked) and "Predict" not in still.question_of(asked)
    assert "Predict. As last seen" in still.question_of({"question": "How far?"})
