"""A panel in JupyterLab in Chromium: keyboard, mouse, texts, themes, widths, and what must not happen."""

import importlib.util
import re
import shutil
from pathlib import Path

import pytest

from .conftest import assert_clean, command, page_of, put_back, told

SAMPLE = Path(__file__).parents[1] / "show" / "sample.py"
CELLS = (
    "from sample import panel\nfrom suspedu.show import asking\nshown = panel()",
    "shown",
    "asking.predict('slope', 'What does load do to the slope?', ['steeper', 'the same'])",
    "asking.predict_number('sag', 'How far does it go down?', 'mm')",
    "asking.explain('slope', 'The slope **stays**: it is the rate.')",
)

spec = importlib.util.spec_from_file_location("sample", SAMPLE)
sample = importlib.util.module_from_spec(spec)
spec.loader.exec_module(sample)


def sentence(rate=4.0, load=80.0, side="left") -> str:
    return sample.view(rate, load, side).sentence


@pytest.fixture(scope="module")
def notebook(lab_page, lab):
    """One page with the sample panel, opened and run once; each test starts from Reset."""
    shutil.copy(SAMPLE, lab.folder / "sample.py")
    with page_of(lab_page, lab, "panel.ipynb", CELLS, bar=False, width=1500, ratio=2) as page:
        page.locator(".suspedu-panel img[data-serial]").wait_for()
        yield page


@pytest.fixture
def shown(notebook):
    """The panel at its start, unpinned, and a clean page afterwards."""
    root = notebook.locator(".suspedu-panel")
    put_back(root)
    told(root, sentence())
    yield root
    assert_clean(notebook)


def slider(root, name="Load"):
    return root.get_by_role("slider", name=name)


def picture(root) -> list:
    """The picture on the page as width, height and pixels."""
    return root.locator("img").evaluate(
        "async (img) => { await img.decode(); const c = new OffscreenCanvas(img.naturalWidth, img.naturalHeight);"
        "const x = c.getContext('2d'); x.drawImage(img, 0, 0);"
        "return [c.width, c.height, Array.from(x.getImageData(0, 0, c.width, c.height).data).join()] }"
    )


def test_arrow_keys_move_by_one_step_and_the_texts_are_what_view_computes(shown):
    slider(shown).focus()
    before = picture(shown)
    shown.page.keyboard.press("ArrowRight")
    told(shown, sentence(load=90.0))
    assert slider(shown).get_attribute("aria-valuetext") == "90 N"
    assert picture(shown) != before
    shown.page.keyboard.press("ArrowLeft")
    told(shown, sentence())


STEP = """(input) => { input.stepUp(); input.dispatchEvent(new Event("input", { bubbles: true }));
  const root = input.closest(".suspedu-panel");
  return [root.querySelector(".sp-sentence").textContent, root.querySelector("img").src]; }"""


def test_the_next_step_of_a_slider_is_here_before_it_is_taken(shown):
    """What the page shows in the very moment of the step, before any message could come, is the kernel's answer."""
    slider(shown).focus()
    for load in (90.0, 100.0, 110.0, 120.0, 130.0, 140.0):  # the first rest is none: nothing was moved before
        before = shown.locator("img").get_attribute("src")
        said, image = slider(shown).evaluate(STEP)
        told(shown, sentence(load=load))
        if said == sentence(load=load):
            break
        shown.page.wait_for_timeout(1500)  # rest: the crisp picture, then the steps either way
    assert said == sentence(load=load) and image != before
    shown.page.keyboard.press("Home")
    told(shown, sentence(load=0.0))


CLICKED = """(input) => new Promise((resolve) => input.addEventListener("input", () => {
  const root = input.closest(".suspedu-panel");
  resolve([root.querySelector(".sp-sentence").textContent, root.querySelector("img").src]);
}, { once: true }))"""


def test_a_click_on_the_track_is_here_where_the_pointer_stood_before_it(shown):
    """The page shows the kernel's answer in the very moment of the click; the first stand may be cut short."""
    box = slider(shown).bounding_box()
    for load in (150.0, 40.0, 170.0, 20.0):
        before = shown.locator("img").get_attribute("src")
        shown.page.mouse.move(box["x"] + 9 + load / 200 * (box["width"] - 18), box["y"] + box["height"] / 2)
        shown.page.wait_for_timeout(1500)
        slider(shown).evaluate(f"(input) => {{ window.clicked = ({CLICKED})(input); }}")
        shown.page.mouse.down()
        said, image = shown.page.evaluate("window.clicked")
        shown.page.mouse.up()
        told(shown, sentence(load=load))
        if said == sentence(load=load):
            break
    assert said == sentence(load=load) and image != before


@pytest.mark.parametrize(("key", "load"), [("Home", 0.0), ("End", 200.0), ("PageUp", 100.0), ("PageDown", 60.0)])
def test_other_keys(shown, key, load):
    slider(shown).focus()
    shown.page.keyboard.press(key)
    told(shown, sentence(load=load))


def test_a_drag_with_the_mouse(shown):
    box = slider(shown).bounding_box()
    mouse, y = shown.page.mouse, box["y"] + box["height"] / 2
    start = box["x"] + 9 + 0.4 * (box["width"] - 18)  # 80 of 200 N; the thumb is 18 px wide
    mouse.move(start, y)
    mouse.down()
    for step in range(1, 21):
        mouse.move(start + step / 20 * 0.5 * (box["width"] - 18), y)
    mouse.up()
    told(shown, sentence(load=180.0))
    assert slider(shown).input_value() == "180"


def test_a_choice_by_keyboard(shown):
    shown.get_by_role("combobox", name="Side").select_option("right")
    told(shown, sentence(side="right"))


def test_the_crisp_picture_comes_at_rest(shown):
    slider(shown).focus()
    shown.page.keyboard.press("ArrowRight")
    told(shown, sentence(load=90.0))
    shown.page.wait_for_function("() => { const img = document.querySelector('.suspedu-panel img');"
                                 "return img.naturalWidth === 2 * img.width && img.width > 300 }")  # fmt: skip


def test_shortcuts_of_the_notebook_do_not_fire(shown):
    cells = shown.page.locator(".jp-Notebook .jp-Cell")
    before = cells.count()
    slider(shown).focus()
    for key in ("a", "b", "d", "d", "x", "m", "0", "0"):
        shown.page.keyboard.press(key)
    shown.page.keyboard.press("ArrowRight")
    told(shown, sentence(load=90.0))
    assert cells.count() == before
    assert shown.page.locator(".jp-Dialog").count() == 0


def test_pin_compares_and_unpin_lets_go(shown):
    shown.get_by_role("button", name="Pin", exact=True).click()
    assert shown.get_by_role("button", name="Unpin").get_attribute("aria-pressed") == "true"
    slider(shown, "Spring rate").focus()
    shown.page.keyboard.press("Home")
    told(shown, sentence(rate=1.0))
    shown.locator(".sp-compared", has_text="Sag 20.0 mm → 80.0 mm (+60.0 mm)").wait_for()
    row = shown.get_by_role("row", name=re.compile("^Sag"))
    assert row.get_by_role("cell").all_inner_texts() == ["80.0 mm", "20.0 mm", "+60.0 mm"]
    shown.get_by_role("button", name="Unpin").click()
    shown.locator(".sp-compared").wait_for(state="detached")


def test_reset_while_the_hand_still_moves_wins(shown):
    slider(shown).focus()
    shown.page.keyboard.press("End")
    shown.get_by_role("button", name="Reset").evaluate("(node) => node.click()")  # at once, before the rest
    shown.page.wait_for_timeout(400)
    told(shown, sentence())
    assert slider(shown).input_value() == "80"


def test_reset(shown):
    slider(shown).focus()
    shown.page.keyboard.press("End")
    told(shown, sentence(load=200.0))
    shown.get_by_role("button", name="Reset").click()
    told(shown, sentence())
    assert slider(shown).input_value() == "80"


@pytest.mark.parametrize(("kind", "start"), [("PNG", b"\x89PNG"), ("SVG", b"<?xml")])
def test_save_picture(shown, kind, start):
    with shown.page.expect_download() as caught:
        shown.get_by_role("button", name=f"Save {kind}").click()
    assert caught.value.suggested_filename == f"two-springs.{kind.lower()}"
    assert Path(caught.value.path()).read_bytes().startswith(start)


def test_a_refused_value_keeps_the_old_picture_and_says_so(shown):
    slider(shown, "Spring rate").focus()
    shown.page.keyboard.press("End")
    shown.locator(".sp-problem", has_text="ZeroDivisionError").wait_for()
    shown.get_by_text("earlier picture", exact=True).wait_for()
    assert shown.locator("img").get_attribute("alt").startswith("Earlier picture.")
    shown.page.keyboard.press("ArrowLeft")
    shown.locator(".sp-problem", has_text="the shop has no such spring").wait_for()
    shown.page.keyboard.press("ArrowLeft")
    told(shown, sentence(rate=8.0))
    assert shown.locator(".sp-problem").count() == 0


def test_everything_has_an_accessible_name(shown):
    tree = shown.aria_snapshot()
    for line in ('region "Two springs"', f'img "{sentence()}"', 'slider "Spring rate"', 'slider "Load"',
                 'combobox "Side"', 'button "Pin"', 'button "Reset"', 'button "Save PNG"', 'button "Save SVG"',
                 'table "Key numbers"', 'rowheader "Sag"'):  # fmt: skip
        assert line in tree, tree
    described = slider(shown).get_attribute("aria-describedby")
    assert shown.locator(f"#{described}").inner_text() == "more = further down"
    status = shown.get_by_role("status")
    assert status.count() == 1
    shown.locator(".sp-status[aria-busy='false']").wait_for()


def test_all_controls_are_reached_by_tab(shown):
    slider(shown, "Spring rate").focus()
    reached = []
    for _ in range(6):
        shown.page.keyboard.press("Tab")
        reached.append(shown.page.evaluate("document.activeElement.labels?.[0]?.textContent"
                                           " || document.activeElement.textContent"))  # fmt: skip
    assert reached == ["Load", "Side", "Pin", "Reset", "Save PNG", "Save SVG"]


def corner(root) -> int:
    """Brightness of the paper, 0..765."""
    return sum(map(int, picture(root)[2].split(",", 3)[:3]))


def test_the_theme_of_the_page_is_followed_live(shown):
    page = shown.page
    for theme, name, low, high in (("JupyterLab Dark", "dark", 0, 150), ("JupyterLab Light", "light", 600, 765)):
        before = shown.locator("img").get_attribute("src")
        command(page, "apputils:change-theme", theme=theme)
        page.locator(f".suspedu-panel[data-theme='{name}']").wait_for()
        page.wait_for_function("(old) => document.querySelector('.suspedu-panel img').src !== old", arg=before)
        assert low <= corner(shown) <= high
        paper = shown.evaluate("(node) => getComputedStyle(node).backgroundColor")
        assert low <= sum(map(int, re.findall(r"\d+", paper))) <= high


@pytest.mark.parametrize("width", [560, 800])
def test_narrow_pages_get_their_own_picture_and_nothing_overflows(shown, width):
    page = shown.page
    wide = page.viewport_size
    page.set_viewport_size({"width": width, "height": 1000})
    try:
        page.wait_for_function(
            "(width) => { const box = document.querySelector('.suspedu-panel .sp-picture');"
            " const img = box.querySelector('img');"
            " const drawn = Number(img.getAttribute('width'));"
            " return box.clientWidth < width && Math.abs(box.clientWidth - drawn) < 10"
            " && drawn === img.clientWidth }", arg=width)  # fmt: skip
        assert shown.evaluate("(node) => node.scrollWidth <= node.clientWidth")
        heights = set()
        for key in ("End", "Home", "PageUp"):  # fixed height: nothing jumps while a control moves
            slider(shown).focus()
            page.keyboard.press(key)
            page.wait_for_timeout(250)
            heights.add(shown.evaluate("(node) => node.clientHeight"))
        assert len(heights) == 1
    finally:
        page.set_viewport_size(wide)
        page.wait_for_timeout(300)


def test_a_prediction_by_keyboard_reaches_the_file_and_the_explanation(notebook, lab):
    notebook.get_by_role("group", name="What does load do to the slope?").get_by_label("steeper").focus()
    notebook.keyboard.press("ArrowDown")
    notebook.keyboard.press("Tab")
    notebook.keyboard.press("Enter")
    notebook.get_by_text("Recorded: the same. Now look.").wait_for()
    assert "the same" in (lab.folder / ".suspedu-notes.json").read_text()
    notebook.locator("summary", has_text="Explanation").click()
    notebook.locator("details[open]", has_text="You predicted: the same.").wait_for()
    assert "it is the rate" in notebook.locator("details").inner_text()


def test_a_number_is_predicted_in_its_unit(notebook):
    field = notebook.get_by_role("textbox", name="How far does it go down?")
    field.fill("many")
    notebook.keyboard.press("Enter")
    notebook.get_by_text("Type a number in mm first.").wait_for()
    field.fill("20")
    notebook.keyboard.press("Enter")
    notebook.get_by_text("Recorded: 20 mm. Now look.").wait_for()


def test_a_value_set_in_the_kernel_moves_the_slider(shown):
    shown.evaluate(
        "() => window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.requestExecute("
        "{code: 'shown.move(load=150)'}).done.then(() => 0)")  # fmt: skip
    told(shown, sentence(load=150.0))
    assert slider(shown).input_value() == "150"
