"""A panel whose kernel is busy, restarted or gone, and the keys that leave it: in JupyterLab and Chromium."""

import shutil

import pytest

from .conftest import assert_clean, new_page, open_notebook, page_of, put_back, run_all, within
from .test_panel_page import SAMPLE, sentence, slider, told

CELLS = ("from sample import panel\nshown = panel()\nshown",
         "from suspedu.show import asking\nasking.predict_number('far', 'How far?', 'mm')", "import time")  # fmt: skip
CELL_COUNT = "(count) => document.querySelectorAll('.jp-Notebook .jp-Cell').length === count"
DIRTY = "(dirty) => window.jupyterapp.shell.currentWidget.context.model.dirty === dirty"
IDLE = "() => window.jupyterapp.shell.currentWidget.sessionContext.session?.kernel?.status === 'idle'"
LISTEN = "() => { window.got = []; document.addEventListener('keydown', (event) => window.got.push(event.key)) }"
ON_TOP = "(node) => { const box = node.getBoundingClientRect();" \
         " return document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2) === node }"  # fmt: skip
FITS = """() => { const scene = document.querySelector(".suspedu-panel .sp-picture");
  return Math.abs(scene.clientWidth - Number(scene.querySelector("img").getAttribute("width"))) < 10
    || scene.clientWidth > 1000 }"""
PICTURED = """(root) => { const view = root.closest(".jp-WindowedPanel-outer").getBoundingClientRect();
  const pane = root.querySelector(".sp-pane").getBoundingClientRect(), img = root.querySelector("img");
  const box = img.getBoundingClientRect(), within = (box) => box.top >= view.top - 1 && box.bottom <= view.bottom + 1;
  return within(box) || (pane.height > 150 && within(pane)) }"""
SEEN = "(node) => { const box = node.getBoundingClientRect(), view = node.closest('.jp-WindowedPanel-outer')" \
       ".getBoundingClientRect(); return box.top >= view.top - 1 && box.bottom <= view.bottom + 1 }"  # fmt: skip


@pytest.fixture(scope="module")
def notebook(lab_page, lab):
    """A panel and a question on a laptop's page."""
    shutil.copy(SAMPLE, lab.folder / "sample.py")
    with page_of(lab_page, lab, "alive.ipynb", CELLS, bar=False, width=1366, height=640) as page:
        yield page


@pytest.fixture
def shown(notebook):
    """The panel at its start, alive; run anew where the test before restarted its kernel."""
    root = notebook.locator(".suspedu-panel")
    if root.evaluate("(node) => node.classList.contains('sp-lost')"):
        notebook.wait_for_function(IDLE)
        run_all(notebook)
    root.locator(".sp-problem").wait_for(state="hidden")
    put_back(root)
    told(root, sentence())
    yield root
    assert_clean(notebook)


@pytest.fixture
def apart(chromium, lab):
    """The panel on a page of its own, which is left and loaded again."""
    shutil.copy(SAMPLE, lab.folder / "sample.py")
    page = new_page(chromium, width=1366, height=640)
    open_notebook(page, lab, lab.write("apart.ipynb", *CELLS))
    run_all(page)
    root = page.locator(".suspedu-panel")
    told(root, sentence())
    yield root
    assert_clean(page)
    session(page, "shutdown()")
    page.wait_for_timeout(300)
    page.close()


def session(page, deed: str) -> None:
    """Do something with the session of the notebook on the page, without waiting for its end."""
    page.evaluate(f"() => {{ window.jupyterapp.shell.currentWidget.sessionContext.{deed}.catch(() => 0) }}")


def execute(page, code: str) -> None:
    """Send code to the kernel without waiting for it."""
    page.evaluate("(code) => { window.jupyterapp.shell.currentWidget.sessionContext.session.kernel"
                  ".requestExecute({code}) }", code)  # fmt: skip


def grey(root, quiet: float) -> None:
    """The panel says within so many milliseconds that it is not live, and nothing on it can be moved."""
    root.locator(".sp-problem", has_text="Run > Run All Cells").wait_for(timeout=within(quiet))
    root.get_by_text("last picture", exact=True).wait_for()
    assert float(root.locator("img").evaluate("(node) => getComputedStyle(node).opacity")) < 0.5
    assert all(part.is_disabled() for part in root.locator("input, select, button").all())


def test_a_restart_greys_the_panel_within_a_second(shown):
    slider(shown).focus()
    shown.page.keyboard.press("End")
    told(shown, sentence(load=200.0))
    session(shown.page, "restartKernel()")
    grey(shown, 1000)
    assert sentence(load=200.0) in shown.locator(".sp-sentence").inner_text()
    assert slider(shown).input_value() == "200"
    field = shown.page.get_by_role("textbox", name="How far?")
    assert field.is_disabled()
    shown.page.get_by_text("Not live", exact=False).last.wait_for()


def test_a_kernel_shut_down_greys_the_panel_within_a_second_and_a_saved_page_still_shows_it(apart, lab):
    """On a plain server, which is not the course's own: what was seen last, and no error in its place."""
    page = apart.page
    slider(apart).focus()
    page.keyboard.press("End")
    told(apart, sentence(load=200.0))
    page.keyboard.press("Control+s")
    page.wait_for_function(DIRTY, arg=False)
    session(page, "shutdown()")
    grey(apart, 1000)
    page.goto("about:blank")
    open_notebook(page, lab, "apart.ipynb")
    apart.locator(".sp-sentence", has_text=sentence(load=200.0)).wait_for()
    grey(apart, 20_000)
    assert apart.locator("img").evaluate("(node) => node.decode().then(() => node.naturalWidth)") > 300
    assert slider(apart).input_value() == "200" and "model not found" not in page.locator("body").inner_text()


def test_a_new_run_brings_it_back(shown):
    session(shown.page, "restartKernel()")
    grey(shown, 1000)
    shown.page.wait_for_function(IDLE)
    run_all(shown.page)
    told(shown, sentence())
    slider(shown).focus()
    shown.page.keyboard.press("End")
    told(shown, sentence(load=200.0))


def test_what_takes_its_time_is_said_and_then_done(shown):
    execute(shown.page, "time.sleep(1.5)")
    slider(shown).focus()
    shown.page.keyboard.press("End")
    shown.get_by_text("being worked out", exact=False).wait_for(timeout=within(800))  # 250, and what the page needs
    assert shown.get_attribute("aria-busy") == "true"
    assert float(shown.locator("img").evaluate("(node) => getComputedStyle(node).opacity")) < 0.5
    told(shown, sentence(load=200.0))
    shown.get_by_text("being worked out", exact=False).wait_for(state="hidden")
    assert shown.get_attribute("aria-busy") == "false"


def test_modified_keys_reach_the_page_and_plain_ones_do_not(shown, lab):
    page = shown.page
    file = lab.folder / "alive.ipynb"
    before = file.stat().st_mtime_ns
    slider(shown).focus()
    page.keyboard.press("Control+s")
    page.wait_for_function(DIRTY, arg=False)
    assert file.stat().st_mtime_ns > before
    page.keyboard.press("ArrowRight")
    told(shown, sentence(load=90.0))
    page.wait_for_function(DIRTY, arg=True)  # what is seen is to be saved again
    page.evaluate(LISTEN)
    for key in ("a", "d", "Shift+A", "Control+z", "Alt+ArrowUp", "Shift+Tab"):
        page.keyboard.press(key)
    assert page.evaluate("window.got.filter((key) => key.length === 1 || key.startsWith('Arrow'))") == ["z", "ArrowUp"]


def test_in_a_field_the_keys_of_editing_stay_with_it(shown):
    page, field = shown.page, shown.page.get_by_role("textbox", name="How far?")
    cells = page.locator(".jp-Notebook .jp-Cell").count()
    field.focus()
    page.keyboard.type("12")
    page.keyboard.press("Control+a")
    page.keyboard.press("Control+x")
    page.keyboard.press("Control+v")
    page.keyboard.press("Control+z")
    assert page.locator(".jp-Notebook .jp-Cell").count() == cells
    assert page.evaluate("document.activeElement.id") == field.get_attribute("id")


def test_escape_leaves_the_panel_for_its_cell(shown):
    page = shown.page
    slider(shown).focus()
    page.keyboard.press("Escape")
    assert page.evaluate("!document.activeElement.closest('.suspedu-panel')"
                         " && Boolean(document.activeElement.closest('.jp-Notebook'))")  # fmt: skip
    cells = page.locator(".jp-Notebook .jp-Cell")
    before = cells.count()
    page.keyboard.press("b")  # the notebook's own keys act again
    page.wait_for_function(CELL_COUNT, arg=before + 1)


def test_no_room_is_left_over_when_a_pin_goes(shown):
    height = shown.evaluate("(node) => node.clientHeight")
    shown.get_by_role("button", name="Pin", exact=True).click()
    slider(shown).focus()
    shown.page.keyboard.press("End")
    shown.locator(".sp-compared", has_text="Against the pin").wait_for()
    shown.get_by_role("button", name="Unpin").click()
    shown.get_by_role("button", name="Reset").click()
    told(shown, sentence())
    assert shown.evaluate("(node) => node.clientHeight") == height


def test_picture_sentence_and_the_slider_in_use_are_seen_together(shown):
    page, reset = shown.page, shown.get_by_role("button", name="Reset")
    for width, height in ((1366, 640), (820, 1060), (1920, 960), (560, 640)):
        page.set_viewport_size({"width": width, "height": height})
        page.wait_for_function(FITS)
        page.wait_for_timeout(300)  # JupyterLab lays its cells out anew once the window rests
        shown.evaluate("(node) => node.scrollIntoView()")
        for name, load in (("Spring rate", 80.0), ("Load", 90.0)):
            slide = slider(shown, name)
            slide.focus()
            page.keyboard.press("ArrowRight")
            told(shown, sentence(rate=4.5, load=load))
            assert shown.evaluate(PICTURED)  # of a picture of storeys: the one that the slider moves
            assert shown.locator(".sp-sentence").evaluate(SEEN)
            page.wait_for_function(ON_TOP, arg=slide.element_handle(), timeout=within(2000))  # some frames later
            assert slide.evaluate(SEEN) and slide.evaluate(ON_TOP)
        assert shown.evaluate("(node) => node.scrollWidth <= node.clientWidth")
        reset.click()
        told(shown, sentence())
