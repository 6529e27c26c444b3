"""Forms in JupyterLab in Chromium: typed, put right, saved, found after a restart; from a complaint to its card."""

import json

import pytest

from suspedu.machine import load
from suspedu.school.own_files import FOLDER
from suspedu.school.setup_files import shelf

from .conftest import page_of, run_all

CELLS = ("from suspedu.show.forms import notes_form, own_machine_form, which_adjuster_form", "own_machine_form()",
         "which_adjuster_form()", "notes_form()")  # fmt: skip
MOST = 15  # actions from a complaint to a printed card


@pytest.fixture(scope="module")
def notebook(lab_page, lab):
    with page_of(lab_page, lab, "forms.ipynb", CELLS, bar=False) as page:
        yield page


def form(page, title: str):
    found = page.get_by_role("region", name=title, exact=True)
    found.wait_for()
    return found


def said(shown, words: str) -> None:
    shown.get_by_role("status").filter(has_text=words).wait_for(timeout=120_000)


def test_an_own_machine_with_a_slip_is_put_right_saved_and_found_after_a_restart(notebook, lab):
    shown = form(notebook, "Your own machine")
    shown.get_by_label("Name of the machine").fill("hack")
    travel = shown.get_by_label("Travel of the fork")
    travel.fill("30")
    shown.locator(".sf-slip", has_text="was a decimal point shifted?").wait_for()
    assert travel.get_attribute("aria-invalid") == "true"
    shown.get_by_role("button", name="Save").click()
    said(shown, "allowed: 80 to 350 mm")
    travel.fill("290")
    shown.get_by_role("button", name="Save").click()
    said(shown, f"Saved: {FOLDER}/hack.toml")
    assert load(lab.folder / FOLDER / "hack.toml").travel == pytest.approx(0.29)
    notebook.evaluate("() => window.jupyterapp.shell.currentWidget.context.sessionContext.session.kernel.restart()")
    run_all(notebook)
    again = form(notebook, "Your own machine")
    again.get_by_label("Open a machine").select_option("hack", timeout=60_000)
    said(again, "Opened: hack.")
    assert again.get_by_label("Travel of the fork").input_value() == "290"
    assert again.get_by_label("Wheelbase").get_attribute("placeholder") == "1480"


def test_from_a_complaint_to_a_printed_card_by_keyboard_alone(notebook, lab):
    shown, keys = form(notebook, "Which adjuster?"), 0
    shown.get_by_label("What is wrong?").focus()
    for key in ("b", "Tab", "Tab", "b", "Tab", "Enter"):  # 'blows through', nothing else, badly, ride
        notebook.keyboard.press(key)
        keys += 1
    said(shown, "Answer for School enduro")
    assert "'Blows through mid-stroke'" in shown.inner_text()
    with notebook.expect_download() as download:
        for key in ("Tab", "Enter"):  # keep it, with a card
            notebook.keyboard.press(key)
            keys += 1
    said(shown, "its card saved as a picture")
    assert keys < MOST and download.value.suggested_filename == "against blows through mid-stroke.png"
    assert shown.get_by_role("img", name="Card: against: blows through mid-stroke").is_visible()
    assert [each.setup.name for each in shelf(lab.folder).kept.values()] == ["against: blows through mid-stroke"]


def test_riding_is_given_up_by_its_button_and_done_again(notebook):
    shown = form(notebook, "Which adjuster?")
    shown.get_by_label("What is wrong?").select_option("packs")
    said(shown, "Ride it to see the answer.")
    shown.get_by_role("button", name="Ride every change").click()
    cancel = shown.get_by_role("button", name="Cancel")
    cancel.click()
    said(shown, "Cancelled.")
    cancel.wait_for(state="hidden")
    assert shown.get_by_text("Answer for").count() == 0


def test_plain_keys_stay_in_a_form_and_modified_ones_reach_the_page(notebook, lab):
    cells = notebook.locator(".jp-Notebook .jp-Cell").count()
    field = form(notebook, "Notes of set-ups").get_by_label("Name of the set-up")
    field.fill("")
    field.press_sequentially("dd a b")
    notebook.wait_for_timeout(300)
    assert field.input_value() == "dd a b" and notebook.locator(".jp-Notebook .jp-Cell").count() == cells
    notebook.keyboard.press("Control+s")
    notebook.wait_for_function("() => !window.jupyterapp.shell.currentWidget.context.model.dirty", timeout=20_000)
    book = json.loads((lab.folder / "forms.ipynb").read_text())  # on a plain server the file itself keeps what is seen
    kept = book["metadata"]["widgets"]["application/vnd.jupyter.widget-state+json"]["state"].values()
    assert any("Name of the set-up: dd a b" in model["state"].get("value", "") for model in kept)
    notebook.keyboard.press("Escape")
    assert notebook.evaluate("() => !document.activeElement.closest('.suspedu-form')")


def test_a_setup_is_kept_and_compared(notebook, lab):
    shown = form(notebook, "Notes of set-ups")
    for name, rebound in (("slow", "4"), ("quick", "20")):
        shown.get_by_label("Open a set-up").select_option("")  # its answer comes later: what is typed meanwhile stays
        shown.get_by_label("Name of the set-up").fill(name)
        shown.get_by_label("Ground").select_option("whoops")
        shown.get_by_label("Rebound").fill(rebound)
        shown.get_by_role("button", name="Ride and keep").click()
        said(shown, f"{name}.toml")
    slow = next(file for file, each in shelf(lab.folder).kept.items() if each.setup.name == "slow")
    shown.get_by_label("Compare with").select_option(slow)
    shown.get_by_text("Side by side").wait_for()
    assert "from slow to quick" in shown.inner_text() or "nobody would notice" in shown.inner_text()
