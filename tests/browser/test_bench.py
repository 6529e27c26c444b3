"""The bench under the hand: folds, points that are clicked, Esc, two settings that change places, a film."""

import pytest

from suspedu.show import panels
from suspedu.show.panels.bench_parts.controls import home_of

from .conftest import page_of, put_back, rested, side_bar, told

CELLS = ("from suspedu.ride import prepare\nfrom suspedu.show import panels\nprepare(print)",
         'panels.bench("preload", "rebound")')  # fmt: skip

SIZES = {(1366, 640): 400, (820, 1060): 400, (560, 900): 240, (683, 384): 60, (1500, 1000): 400}  # px of picture
TOGETHER = """([slide, least]) => {
  const root = slide.closest(".suspedu-panel"), box = (node) => node.getBoundingClientRect();
  const view = box(root.closest(".jp-WindowedPanel-outer")), at = box(slide);
  const shown = (node) => Math.min(box(node).bottom, view.bottom) - Math.max(box(node).top, view.top);
  const whole = (box) => box.top >= view.top - 1 && box.bottom <= view.bottom + 1;
  return Math.max(...[...root.querySelectorAll("img, .sp-pane")].map(shown)) >= least
    && whole(box(root.querySelector(".sp-sentence"))) && whole(at)
    && document.elementFromPoint(at.x + at.width / 2, at.y + at.height / 2) === slide
    && (view.width < 1100 || box(root.querySelector("img")).right < at.left) }"""


LEAVING = """(slide) => {
  const root = slide.closest(".suspedu-panel"), outer = root.closest(".jp-WindowedPanel-outer");
  const end = () => root.firstElementChild.getBoundingClientRect().bottom - outer.getBoundingClientRect().top;
  outer.scrollTop += end() - 150;  // what is left of the panel is lower than its picture
  return new Promise((done) => setTimeout(() => {
    const pane = root.querySelector(".sp-pane").getBoundingClientRect();
    done([pane.height, pane.bottom - outer.getBoundingClientRect().top - end()]) }, 300)) }"""


@pytest.fixture(scope="module")
def notebook(lab_page, lab):
    with page_of(lab_page, lab, "bench.ipynb", CELLS, width=1500) as page:
        page.locator(".suspedu-panel img[data-serial]").wait_for()
        yield page


@pytest.fixture
def bench(notebook):
    """The bench at its start."""
    root = notebook.locator(".suspedu-panel")
    put_back(root)
    told(root, panels.bench.shown().sentence)
    return root


def against(root, text: str) -> None:
    root.locator(".sp-sentence", has_text=f"Against the pin: {text}").wait_for()


def rows(root) -> list[str]:
    return root.locator("table.sp-numbers th[scope=row]").all_inner_texts()


def test_the_adjusters_asked_for_are_open_and_the_rest_is_folded(bench):
    assert bench.get_by_role("slider", name="Preload, each leg").is_visible()
    assert not bench.get_by_role("slider", name="Rider in riding gear").is_visible()


def test_a_fold_opens_by_keyboard_and_says_what_was_changed_in_it(bench):
    fold = bench.locator("summary", has_text="Machine, rider, damper")
    fold.focus()
    bench.page.keyboard.press("Enter")
    bench.get_by_role("slider", name="Rider in riding gear").focus()
    for _ in range(3):
        bench.page.keyboard.press("ArrowRight")
    told(bench, panels.bench.shown(rider_mass=85).sentence)
    fold.get_by_text("rider in riding gear changed").wait_for()
    fold.focus()
    bench.page.keyboard.press("Enter")
    assert not bench.get_by_role("slider", name="Rider in riding gear").is_visible()
    assert fold.get_by_text("rider in riding gear changed").is_visible()


def test_a_click_into_a_curve_explains_the_point_and_esc_goes_back(bench):
    usual, picture = rows(bench), bench.locator("img")
    box = picture.bounding_box()
    bench.page.mouse.click(box["x"] + 0.55 * box["width"], box["y"] + 0.25 * box["height"])  # the damping, going in
    bench.locator("th", has_text="Damping of both legs").wait_for()
    assert any("Base valve" in row for row in rows(bench))
    bench.get_by_role("slider", name="Preload, each leg").focus()
    bench.page.keyboard.press("Escape")
    bench.locator("th", has_text="Rider sag").wait_for()
    assert rows(bench) == usual
    assert bench.get_by_role("slider", name="Preload, each leg").evaluate("(node) => node === document.activeElement")


def test_two_settings_change_places(bench):
    bench.get_by_role("button", name="Pin", exact=True).click()
    slider = bench.get_by_role("slider", name="Rebound")
    slider.focus()
    bench.page.keyboard.press("Home")
    against(bench, "damping coming out")
    bench.get_by_role("button", name="Swap").click()
    bench.page.wait_for_function("(node) => node.value === '12'", arg=slider.element_handle())
    against(bench, "damping coming out −")


def test_on_any_page_picture_sentence_and_the_slider_in_use_are_seen_together(bench):
    page = bench.page
    side_bar(page, False)
    for (width, height), least in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        for name in ("Pace", "Rebound"):
            slide = bench.get_by_role("slider", name=name)
            slide.focus()
            page.keyboard.press("ArrowLeft")
            page.wait_for_function(TOGETHER, arg=[slide.element_handle(), least])
    side_bar(page, True)


def test_the_picture_that_stays_in_sight_leaves_with_its_panel(bench):
    bench.page.set_viewport_size({"width": 560, "height": 900})
    slide = bench.get_by_role("slider", name="Rebound")
    slide.focus()
    bench.page.keyboard.press("ArrowLeft")
    bench.page.wait_for_function(TOGETHER, arg=[slide.element_handle(), SIZES[560, 900]])
    height, beyond = slide.evaluate(LEAVING)
    assert height > 150 and beyond <= 0
    bench.page.set_viewport_size({"width": 1500, "height": 1000})


def test_the_cursor_says_where_the_picture_looks(bench):
    slider, led = bench.get_by_role("slider", name="Cursor"), bench.locator(".sp-value", has_text="deepest stroke")
    led.wait_for()
    assert slider.get_attribute("aria-valuetext") == "deepest stroke"
    slider.focus()
    bench.page.keyboard.press("ArrowRight")
    assert slider.get_attribute("aria-valuetext") == "0.25 % of the ride"  # at once, before the kernel answers
    bench.locator("th", has_text="Stroke at").wait_for()
    rested(bench)
    assert slider.get_attribute("aria-valuetext") == "0.25 % of the ride"
    assert rows(bench)[0].startswith("Stroke at")
    assert bench.get_by_label("Look at").input_value() == "cursor"
    put_back(bench)
    led.wait_for()


def test_a_key_right_after_a_reset_goes_on_from_the_start(bench):
    slider, reset = bench.get_by_role("slider", name="Rebound"), bench.get_by_role("button", name="Reset")
    slider.focus()
    bench.page.keyboard.press("Home")
    told(bench, panels.bench.shown(rebound=0).sentence)
    reset.evaluate("(button, slider) => { button.click(); slider.focus(); }", slider.element_handle())
    bench.page.keyboard.press("ArrowRight")
    assert slider.input_value() == "13"
    told(bench, panels.bench.shown(rebound=13).sentence)


def test_a_machine_that_is_chosen_comes_with_its_own_setting_and_keeps_it(bench):
    school, trail = (home_of(panels.bench.values(machine=name)) for name in ("enduro", "trail"))
    preload, choice = bench.get_by_role("slider", name="Preload, each leg"), bench.get_by_label("Machine")
    assert school["preload"].shown != trail["preload"].shown
    fold = bench.locator("summary", has_text="Machine, rider, damper")
    fold.click()
    choice.select_option("trail")
    told(bench, panels.bench.shown(machine="trail", **{name: at.shown for name, at in trail.items()}).sentence)
    rested(bench)
    assert float(preload.input_value()) == trail["preload"].shown
    fold.click()


def test_the_film_plays_and_pauses(bench):
    play, slider = bench.get_by_role("button", name="Play"), bench.get_by_role("slider", name="Cursor")
    play.click()
    bench.page.wait_for_function("(node) => Number(node.value) > 5", arg=slider.element_handle())
    rebound = bench.get_by_role("slider", name="Rebound")
    rebound.focus()
    bench.page.keyboard.press("ArrowRight")  # the film goes on from where it is
    bench.page.wait_for_function("(node) => Number(node.value) > 8", arg=slider.element_handle())
    bench.get_by_role("button", name="Pause").click()
    play.wait_for()
    bench.locator("th", has_text="Stroke at").wait_for()
    rested(bench)
    assert rows(bench)[0].startswith("Stroke at") and float(slider.input_value()) > 8
    assert rebound.input_value() == "13"


def test_a_film_is_saved_and_another_is_stopped(bench):
    button = bench.get_by_role("button", name="Save GIF")
    with bench.page.expect_download(timeout=120_000) as waiting:
        button.click()
    assert waiting.value.suggested_filename == "the-bench.gif"
    button.wait_for()
    button.click()
    bench.get_by_role("button", name="Stop the film").click()
    button.wait_for()
