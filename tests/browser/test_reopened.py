"""A lesson the next day: run, saved, its kernel gone, opened again under the course's own server, and exported."""

import json
import re

import pytest
from playwright.sync_api import expect

from suspedu.commands.saved_pages import VIEW
from suspedu.coursework.exercise.places import lessons_folder
from suspedu.show.panels.springs.bushings import BUSHINGS

from .conftest import assert_clean, menu, new_page, visit, within

NAME = "lessons/01_springs_preload_sag.ipynb"
COURSE = json.loads((lessons_folder().parent / NAME).read_text(encoding="utf-8"))
PICTURES = sum("image/png" in out.get("data", {}) for cell in COURSE["cells"] for out in cell.get("outputs", ()))
EXPLANATIONS = sum("asking.explain(" in "".join(cell["source"]) for cell in COURSE["cells"])
DEPTH = BUSHINGS.controls[1]
DEEP = BUSHINGS.shown(**{DEPTH.name: DEPTH.high}).sentence
OF_A_DEAD_KERNEL = re.compile("Could not restore the debugger state|Kernel is dead|Canceled future")  # JupyterLab's own
PLACE = """() => { const book = document.querySelector('.jp-Notebook');
  const view = book.querySelector('.jp-WindowedPanel-outer');
  return [view.scrollTop, [...book.querySelectorAll('.jp-Cell')].findIndex((cell) => cell.matches('.jp-mod-active')),
    [...book.querySelectorAll('.jp-InputPlaceholder')].filter((node) => node.offsetParent).length] }"""
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
    """The lesson, run, one panel moved to its deep end, saved."""
    page = new_page(chromium, width=1366, height=640)
    page.on("dialog", lambda dialog: dialog.accept())
    visit(page, course, NAME)
    still = page.locator(".suspedu-still", has_text=BUSHINGS.shown().sentence)  # before its first run already
    assert WAKE in still.text_content()
    menu(page, "Run", "Run All Cells")
    page.progress = page.locator(".suspedu-progress", has_text=re.compile(r"\b\d of \d+ cells have run")).inner_text()
    panel = page.get_by_role("region", name=BUSHINGS.title)
    panel.locator("img[data-serial]").wait_for(state="attached", timeout=60_000)
    page.locator(".jp-Notebook-ExecutionIndicator[data-status='idle']").wait_for(timeout=90_000)
    page.place = page.evaluate(PLACE)
    panel.get_by_role("slider", name=DEPTH.label).focus()
    page.keyboard.press("End")
    panel.locator(".sp-sentence", has_text=DEEP).wait_for()
    page.wait_for_timeout(500)
    with page.expect_response(lambda reply: reply.request.method == "PUT" and "/api/contents/" in reply.url):
        page.keyboard.press("Control+s")
    yield page
    page.complaints = [text for text in page.complaints if not OF_A_DEAD_KERNEL.match(text)]
    assert_clean(page)
    page.close()


def test_after_run_all_the_reader_is_where_he_was_and_saw_the_progress(page):
    code = sum(cell["cell_type"] == "code" for cell in COURSE["cells"])
    assert page.progress.endswith(f"of {code} cells have run")
    assert page.place == [0, 0, 0]  # at the top, in the first cell, no bar of folded code in sight
    expect(page.locator(".suspedu-progress")).to_have_count(0)


def test_the_side_bar_starts_closed(page):
    expect(page.get_by_role("tree", name="filebrowser")).to_have_count(0)
    expect(page.locator("#jp-left-stack")).to_be_hidden()


def test_the_first_press_of_the_mouse_chooses_though_another_cell_is_in_use(page):
    asked = page.locator(".suspedu-question").filter(has=page.locator(".sq-option")).first
    option = asked.locator("label").nth(1)
    for _ in range(2):  # JupyterLab measures what comes into sight, and moves it once more
        option.evaluate("(node) => node.scrollIntoView({block: 'center'})")
        page.wait_for_timeout(600)
    box = option.bounding_box()
    page.mouse.move(box["x"] + 40, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.wait_for_timeout(200)  # a hand holds it down long enough for the page to be laid out anew
    page.mouse.up()
    expect(option.locator("input")).to_be_checked()
    assert page.evaluate(PLACE)[2] == 1  # the bar of its code, which takes no room


def test_the_file_holds_stills_and_no_widgets(page, course):
    file = (course.folder / NAME).read_text()
    assert DEEP in "".join("".join(data.get("text/html", "")) for data in data_of(course))
    assert not any(VIEW in data for data in data_of(course))
    assert "widgets" not in json.loads(file)["metadata"]
    assert len(file) < 600_000


def test_while_its_kernel_runs_it_lives_on(page, course):
    revisit(page, course)
    panel = page.get_by_role("region", name=BUSHINGS.title)
    panel.locator(".sp-sentence", has_text=DEEP).wait_for()
    expect(page.locator(".suspedu-panel")).to_have_count(PICTURES)
    slider = panel.get_by_role("slider", name=DEPTH.label)
    slider.focus()
    page.keyboard.press("Home")
    highest = BUSHINGS.shown(**{DEPTH.name: DEPTH.low}).sentence
    panel.locator(".sp-sentence", has_text=highest).wait_for()
    page.keyboard.press("End")
    panel.locator(".sp-sentence", has_text=DEEP).wait_for()
    page.wait_for_timeout(500)
    with page.expect_response(lambda reply: reply.request.method == "PUT" and "/api/contents/" in reply.url):
        page.keyboard.press("Control+s")


def test_the_export_holds_picture_sentence_and_explanation(page, course):
    reply = page.request.get(course.address(NAME, "nbconvert/html"))
    text = reply.text()
    assert reply.ok
    assert DEEP in text
    assert text.count("Still picture, as last seen.") == PICTURES
    assert len(re.findall(r'<img[^>]+alt="[^"]{40,}"[^>]+src="data:image/png;base64,', text)) == PICTURES
    assert text.count("<summary>Explanation</summary>") == EXPLANATIONS
    assert WAKE.replace(">", "&gt;") in text


def test_the_next_day_it_shows_what_was_last_seen(page, course):
    menu(page, "Kernel", "Shut Down Kernel")
    page.locator(".sp-problem", has_text=WAKE).first.wait_for(state="attached")
    page.get_by_text("No Kernel").first.wait_for()
    revisit(page, course)
    stills = page.locator(".suspedu-still")
    shown = stills.filter(has=page.locator("img"))
    expect(shown).to_have_count(PICTURES)
    assert page.locator(".suspedu-panel").count() == 0
    assert page.get_by_text("model not found").count() == 0
    assert page.get_by_text("Error displaying widget").count() == 0
    deep = shown.filter(has_text=DEEP)
    deep.scroll_into_view_if_needed()
    assert WAKE in deep.text_content()
    assert deep.locator("img").evaluate("(node) => node.decode().then(() => node.naturalWidth)") > 500
    expect(page.locator("summary", has_text="Explanation")).to_have_count(EXPLANATIONS)


def test_one_run_brings_it_to_life(page):
    menu(page, "Run", "Run All Cells")
    page.locator(".suspedu-panel img[data-serial]").first.wait_for(state="attached", timeout=60_000)
    page.locator(".suspedu-panel .sp-sentence", has_text=BUSHINGS.shown().sentence).wait_for(state="attached")


def test_a_kernel_that_dies_greys_the_panels_within_a_second(page):
    page.locator(".jp-Notebook-ExecutionIndicator[data-status='idle']").wait_for(timeout=90_000)
    page.locator(".suspedu-panel").first.evaluate("(node) => node.scrollIntoView()")
    page.locator(".jp-Notebook .jp-MarkdownCell").first.click()
    page.keyboard.press("b")  # a cell of the student's own
    page.keyboard.press("Enter")
    page.keyboard.insert_text("import os, signal; os.kill(os.getpid(), signal.SIGKILL)")
    page.keyboard.press("Control+Enter")
    page.locator(".sp-problem", has_text=WAKE).first.wait_for(state="attached", timeout=within(1500))
