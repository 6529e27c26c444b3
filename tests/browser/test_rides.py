"""The bench and the set-up desk under the hand: by keyboard, in JupyterLab and Chromium."""

import re

import pytest

from suspedu.school import CAUTION, FAULTS, Session
from suspedu.show import panels
from suspedu.show.session_desk import HANDLES

from .conftest import command, page_of, told

MACHINE = 8
CELLS = ("from suspedu.show import panels\npanels.bench()",
         f"from suspedu.show.session_desk import setup_session\nsetup_session({MACHINE})")  # fmt: skip


@pytest.fixture(scope="module")
def notebook(lab_page, lab):
    with page_of(lab_page, lab, "rides.ipynb", CELLS) as page:
        page.locator(".suspedu-panel img[data-serial]").wait_for()
        yield page


def press(page, *keys: str) -> None:
    for key in keys:
        page.keyboard.press(key)


def test_another_ground_chosen_by_keyboard_changes_picture_and_sentence(notebook):
    panel = notebook.locator(".suspedu-panel")
    before = panel.locator("img").get_attribute("src")
    panel.get_by_label("Ground").focus()
    press(notebook, *"who")  # a native list finds an option by its letters
    expected = panels.bench.shown(ground="whoops")
    told(panel, expected.sentence)
    assert panel.locator("img").get_attribute("src") != before
    shown = {row.get_by_role("rowheader").inner_text(): row.get_by_role("cell").inner_text()
             for row in panel.get_by_role("row").all()}  # fmt: skip
    assert shown == dict(expected.numbers)


def test_the_desk_is_worked_by_keyboard_and_keeps_notes(notebook):
    """One adjuster turned, a lap, a measure, a conclusion; the same session in the library says the same words."""
    desk = notebook.get_by_role("group", name=f"Set-up desk, machine {MACHINE}")
    says, session = desk.get_by_role("status"), Session(MACHINE)
    first = session.lap()
    desk.get_by_label("Adjuster").select_option(next(text for text, name in HANDLES.items() if name == "rebound"))
    desk.get_by_label("Steps").fill("-9")
    press(notebook, "Tab", "Enter")
    says.filter(has_text=f"Turned: {session.turn('rebound', -9)}.").wait_for()
    desk.get_by_role("button", name="Ride a lap").focus()
    press(notebook, "Enter")
    second = session.lap()
    says.filter(has_text=f"{second.words}. {CAUTION}").wait_for()
    rows = [row.get_by_role("cell").all_inner_texts() for row in desk.locator("tbody tr").all()]
    assert rows == [[str(i), note.change, note.clicks, note.words] for i, note in enumerate((first, second), start=1)]
    press(notebook, "Tab", "Enter")
    says.filter(has_text=f"Measured: {session.measured()}").wait_for()
    for key, fault in zip(("ArrowDown", "ArrowUp"), list(FAULTS)[1::-1], strict=True):  # wrong, then right
        desk.get_by_label("What is wrong?").focus()
        press(notebook, key, "Tab", "Enter")
        says.filter(has_text=session.conclude(fault)).wait_for()


@pytest.mark.parametrize("name", ["Ride a lap", "Adjuster", "What is wrong?", "Steps"])
def test_no_shortcut_of_the_notebook_fires_from_the_desk(notebook, name):
    desk = notebook.locator(".suspedu-box")
    at = desk.get_by_role("button", name=name) if name == "Ride a lap" else desk.get_by_label(name)
    cells = notebook.locator(".jp-Cell")
    before = cells.count()
    at.focus()
    press(notebook, "a", "b", "d", "d", "x")
    command(notebook, "notebook:deselect-all")  # answered after anything that the keys might have set off
    assert cells.count() == before
    assert at.evaluate("(node) => node === document.activeElement")


def test_everything_on_the_desk_fits_and_can_be_read_in_the_dark(notebook):
    desk = notebook.locator(".suspedu-box")
    command(notebook, "apputils:change-theme", theme="JupyterLab Dark")
    notebook.set_viewport_size({"width": 700, "height": 1000})
    notebook.locator(".suspedu-panel[data-theme='dark']").wait_for()
    assert desk.evaluate("(node) => node.scrollWidth <= node.clientWidth")
    for choice in desk.locator("select").all():  # the longest option is not cut
        assert choice.evaluate("(node) => { const box = node.cloneNode(true); box.style.width = 'auto';"
                               " node.after(box); const wide = box.offsetWidth; box.remove();"
                               " return wide <= node.offsetWidth + 1 }")  # fmt: skip
    shades = desk.locator("select").first.evaluate(
        "(node) => [getComputedStyle(node).color, getComputedStyle(node).backgroundColor]")  # fmt: skip
    bright, dark = (sum(map(float, re.findall(r"[\d.]+", shade)[:3])) for shade in shades)
    assert bright - dark > 300  # of 765
