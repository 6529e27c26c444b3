"""Lesson 01 and its exercise as a student meets them: JupyterLab, Chromium, keyboard and mouse."""

import re
import shutil
from pathlib import Path

import pytest
from playwright.sync_api import expect

from suspedu.show import panels

from .conftest import assert_clean, command, open_notebook, page_of, sized, told

COURSE = Path(__file__).parents[2]
NAME = "01_springs_preload_sag.ipynb"
EXPLANATIONS = (COURSE / "lessons" / NAME).read_text(encoding="utf-8").count("asking.explain(")
GROUND = {"ground": "flat landing"}  # of the bench in this lesson
START = panels.bench.values(**GROUND)
PRELOAD = next(control for control in panels.bench.controls if control.name == "preload")


@pytest.fixture(scope="module")
def lesson(lab_page, lab):
    """Lesson 01, opened and run from top to bottom once."""
    (lab.folder / "lessons").mkdir(exist_ok=True)
    shutil.copy(COURSE / "lessons" / NAME, lab.folder / "lessons" / NAME)
    with page_of(lab_page, lab, f"lessons/{NAME}", bar=False, width=1500) as page:
        page.locator(".suspedu-panel img[data-serial]").first.wait_for()
        yield page


@pytest.fixture
def panel(lesson):
    """The bench at its start, unpinned."""
    root = lesson.locator(".suspedu-panel").first
    root.scroll_into_view_if_needed()
    if root.get_by_role("button", name="Unpin").count():
        root.get_by_role("button", name="Unpin").click()
    root.get_by_role("button", name="Reset").click()
    told_of(root)
    yield root
    assert_clean(lesson)


def told_of(root, **changed) -> None:
    """Wait until sentence and alternative text are what the library computes for these values."""
    told(root, panels.bench.shown(**(GROUND | changed)).sentence)


def numbers(root) -> dict:
    """The key numbers on the page, by their label."""
    rows = [row for row in root.get_by_role("row").all() if row.get_by_role("rowheader").count()]
    return {row.get_by_role("rowheader").inner_text(): row.get_by_role("cell").all_inner_texts() for row in rows}


def slider(root):
    return root.get_by_role("slider", name=PRELOAD.label)


def picture(root) -> str:
    return root.locator("img").get_attribute("src")


def test_the_lesson_runs_and_its_panels_are_alive(lesson):
    expect(lesson.locator(".suspedu-panel")).to_have_count(4)
    assert not lesson.get_by_text("Traceback").count()
    expect(lesson.locator("summary", has_text="Explanation")).to_have_count(EXPLANATIONS, timeout=60_000)


def test_the_preload_slider_moves_by_keyboard(panel):
    before = picture(panel)
    slider(panel).focus()
    for _ in range(4):
        panel.page.keyboard.press("ArrowRight")
    moved = START["preload"] + 4 * PRELOAD.step
    told_of(panel, preload=moved)
    assert picture(panel) != before
    shown = {label: cells[0] for label, cells in numbers(panel).items()}
    assert shown == dict(panels.bench.shown(**GROUND, preload=moved).numbers)


def test_the_preload_slider_moves_by_mouse(panel):
    before, box = picture(panel), slider(panel).bounding_box()
    mouse, y = panel.page.mouse, box["y"] + box["height"] / 2
    share = (START["preload"] - PRELOAD.low) / (PRELOAD.high - PRELOAD.low)
    mouse.move(box["x"] + 9 + share * (box["width"] - 18), y)  # the thumb is 18 px wide
    mouse.down()
    mouse.move(box["x"] + box["width"] - 1, y, steps=12)
    mouse.up()
    told_of(panel, preload=PRELOAD.high)
    assert float(slider(panel).input_value()) == PRELOAD.high
    assert picture(panel) != before


def test_a_pin_compares_and_reset_returns(panel):
    panel.get_by_role("button", name="Pin", exact=True).click()
    slider(panel).focus()
    panel.page.keyboard.press("End")
    panel.locator(".sp-sentence", has_text="Against the pin: the springs hold about").wait_for()
    now, before = (dict(panels.bench.shown(**GROUND, preload=value).numbers)
                   for value in (PRELOAD.high, START["preload"]))  # fmt: skip
    rows = numbers(panel)
    sag = "Rider sag, from where it hangs"
    assert rows[sag][:2] == [now[sag], before[sag]]
    kept = "Damping in, 0.25 m/s"
    assert rows[kept] == [now[kept], before[kept], "same"]
    panel.get_by_role("button", name="Reset").click()
    told_of(panel)
    assert float(slider(panel).input_value()) == START["preload"]


def test_a_prediction_is_recorded_and_stands_by_the_explanation(lesson, lab):
    lesson.get_by_label("it gets steeper: the fork is stiffer").check()
    lesson.get_by_role("button", name=re.compile("Record", re.IGNORECASE)).first.click()
    lesson.get_by_text("Recorded: it gets steeper: the fork is stiffer").wait_for()
    assert "it gets steeper" in (lab.folder / "lessons" / ".suspedu-notes.json").read_text()


ANSWERS = {
    "rate_of_wire = ...": "rate_of_wire = shear_modulus * wire**4 / (8 * coil_diameter**3 * turns) / 1000",
    "def coil_force(x)": "def coil_force(x): return rate * (x + preload)",
    "sag_share = ...": "sag_share = (hanging - (pressed + lifted) / 2) / travel",
    "rate_needed = ...": "rate_needed = 1 / 0",
}
HINT = "That is one leg; a fork has two, side by side."


def opened(page, lab, name: str):
    """An exercise on the lab's page, whatever was open there."""
    sized(page, height=1400)
    open_notebook(page, lab, name)
    return page


def test_the_exercise_is_filled_in_and_marked(lab_page, lab):
    """Right, a known slip, right, an error, and one left open: each gets its own verdict."""
    (lab.folder / "exercises").mkdir(exist_ok=True)
    shutil.copy(COURSE / "exercises" / NAME, lab.folder / "exercises" / NAME)
    page = opened(lab_page, lab, f"exercises/{NAME}")
    for blank, answer in ANSWERS.items():
        write(page, blank, answer)
    command(page, "docmanager:save")
    table = marked_by_its_button(page)
    rows = [row.inner_text().split("\t") for row in table.get_by_role("row").all()[1:]]
    assert [(row[1].strip(), row[2].strip()) for row in rows] == [
        ("2 of 2", "right"), ("0 of 3", "wrong"), ("2 of 2", "right"), ("0 of 3", "error"),
        ("0 of 1", "not answered yet"), ("up to 2", "not answered yet"),
    ]  # fmt: skip
    assert HINT in rows[1][3]
    assert_clean(page)


def test_a_renamed_copy_is_marked_itself_and_saved_first(lab_page, lab):
    """Beside the untouched exercise lies a copy of another name, with a right answer that nobody saved."""
    folder = lab.folder / "renamed"
    folder.mkdir()
    for name in (NAME, "my answers.ipynb"):
        shutil.copy(COURSE / "exercises" / NAME, folder / name)
    page = opened(lab_page, lab, "renamed/my answers.ipynb")
    blank, answer = next(iter(ANSWERS.items()))
    write(page, blank, answer)
    table = marked_by_its_button(page)
    cells = table.get_by_role("row").nth(1).inner_text().split("\t")
    assert (cells[1].strip(), cells[2].strip()) == ("2 of 2", "right")
    said = page.get_by_text("'my answers.ipynb'", exact=False).inner_text()
    assert re.search(r"2 of \d+ points with the practice numbers; \d+ points?: words not written yet", said)
    assert answer in (folder / "my answers.ipynb").read_text()
    assert_clean(page)


def marked_by_its_button(page):
    """The table of verdicts, once the exercise's own button was pressed."""
    page.locator(".jp-CodeCell", has_text="selfcheck.selfmark").locator(".cm-content").click()
    page.keyboard.press("Control+Enter")
    page.get_by_role("button", name="Check my answers").click()
    table = page.locator("table.suspedu-verdicts")
    table.wait_for(timeout=90_000)
    return table


def write(page, blank: str, answer: str) -> None:
    """Replace the whole source of the cell that holds a blank, by hand."""
    cell = page.locator(".jp-CodeCell .cm-content", has_text=blank).first
    cell.scroll_into_view_if_needed()
    cell.click()
    page.keyboard.press("Control+a")
    page.keyboard.insert_text(answer)
