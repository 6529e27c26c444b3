"""A lesson the next day: run, saved, its kernel gone, opened again under the course's own server, and exported."""

import json
import re

import pytest
from playwright.sync_api import expect
from suspedu.show.panels.springs.coil_spring import COIL_SPRING

from suspedu.commands.saved_pages import VIEW

from .conftest import assert_clean, menu, new_page, visit

NAME = "lessons/01_springs_preload_sag.ipynb"
HEAVY = COIL_SPRING.shown(rider_mass=115.0).sentence
OF_A_DEAD_KERNEL = re.compile("Could not restore the debugger state|Kernel is dead|Canceled future")  # JupyterLab's own
WAKE = "Run > Run All Cells"


def revisit(page, course) -> None:
    """The page closed and opened again."""
    page.goto("about:blank")
    visit(page, course, NAME)


def data_of(course) -> list[dict]:
    """The forms of all outputs in the saved file."""
    book = json.loads((course.folder / NAME).read_text())
    return [output.get("data", {}) for cell in book["cells"] for output in cell.get("outputs", ())]


@pytest.fixture(scope="module")
def page(chromium, course):
    """The lesson, run, its first panel moved to the heavy rider, saved."""
    page = new_page(chromium, width=1366, height=640)
    page.on("dialog", lambda dialog: dialog.accept())
    visit(page, course, NAME)
    still = page.locator(".suspedu-still").first
    assert COIL_SPRING.shown().sentence in still.inner_text()  # before its first run already
    assert WAKE in still.inner_text()
    menu(page, "Run", "Run All Cells")
    panel = page.locator(".suspedu-panel").first
    panel.locator("img[data-serial]").wait_for(state="attached", timeout=60_000)
    page.locator(".jp-Notebook-ExecutionIndicator[data-status='idle']").wait_for(timeout=90_000)
    panel.get_by_role("slider", name="Rider").focus()
    page.keyboard.press("End")
    panel.locator(".sp-sentence", has_text=HEAVY).wait_for()
    page.wait_for_timeout(500)
    with page.expect_response(lambda reply: reply.request.method == "PUT" and "/api/contents/" in reply.url):
        page.keyboard.press("Control+s")
    yield page
    page.complaints = [text for text in page.complaints if not OF_A_DEAD_KERNEL.match(text)]
    assert_clean(page)
    page.context.close()


def test_the_file_holds_stills_and_no_widgets(page, course):
    file = (course.folder / NAME).read_text()
    assert HEAVY in "".join("".join(data.get("text/html", "")) for data in data_of(course))
    assert not any(VIEW in data for data in data_of(course))
    assert "widgets" not in json.loads(file)["metadata"]
    assert len(file) < 600_000


def test_while_its_kernel_runs_it_lives_on(page, course):
    revisit(page, course)
    panel = page.locator(".suspedu-panel").first
    panel.locator(".sp-sentence", has_text=HEAVY).wait_for()
    assert page.locator(".suspedu-panel").count() == 4
    slider = panel.get_by_role("slider", name="Rider")
    slider.focus()
    page.keyboard.press("Home")
    lightest = COIL_SPRING.shown(rider_mass=float(slider.input_value())).sentence
    panel.locator(".sp-sentence", has_text=lightest).wait_for()
    page.keyboard.press("End")
    panel.locator(".sp-sentence", has_text=HEAVY).wait_for()
    page.wait_for_timeout(500)
    with page.expect_response(lambda reply: reply.request.method == "PUT" and "/api/contents/" in reply.url):
        page.keyboard.press("Control+s")


def test_the_export_holds_picture_sentence_and_explanation(page, course):
    reply = page.request.get(course.address(NAME, "nbconvert/html"))
    text = reply.text()
    assert reply.ok
    assert HEAVY in text
    assert text.count("Still picture, as last seen.") == 4
    assert len(re.findall(r'<img[^>]+alt="[^"]{40,}"[^>]+src="data:image/png;base64,', text)) == 4
    assert text.count("<summary>Explanation</summary>") == 5
    assert WAKE.replace(">", "&gt;") in text


def test_the_next_day_it_shows_what_was_last_seen(page, course):
    menu(page, "Kernel", "Shut Down Kernel")
    page.locator(".sp-problem", has_text=WAKE).first.wait_for(state="attached")
    revisit(page, course)
    stills = page.locator(".suspedu-still")
    shown = stills.filter(has=page.locator("img"))
    expect(shown).to_have_count(4)
    assert page.locator(".suspedu-panel").count() == 0
    assert page.get_by_text("model not found").count() == 0
    assert page.get_by_text("Error displaying widget").count() == 0
    assert HEAVY in shown.first.inner_text()
    assert WAKE in shown.first.inner_text()
    assert shown.first.locator("img").evaluate("(node) => node.decode().then(() => node.naturalWidth)") > 500
    expect(page.locator("summary", has_text="Explanation")).to_have_count(5)


def test_one_run_brings_it_to_life(page):
    menu(page, "Run", "Run All Cells")
    page.locator(".suspedu-panel img[data-serial]").first.wait_for(state="attached", timeout=60_000)
    assert COIL_SPRING.shown().sentence in page.locator(".suspedu-panel .sp-sentence").first.text_content()


def test_a_kernel_that_dies_greys_the_panels_within_a_second(page):
    page.locator(".jp-Notebook-ExecutionIndicator[data-status='idle']").wait_for(timeout=90_000)
    page.locator(".suspedu-panel").first.evaluate("(node) => node.scrollIntoView()")
    page.locator(".jp-Notebook .jp-MarkdownCell").first.click()
    page.keyboard.press("b")  # a cell of the student's own
    page.keyboard.press("Enter")
    page.keyboard.insert_text("import os, signal; os.kill(os.getpid(), signal.SIGKILL)")
    page.keyboard.press("Control+Enter")
    page.locator(".sp-problem", has_text=WAKE).first.wait_for(state="attached", timeout=1500)
