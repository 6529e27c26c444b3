"""Where the time of one move of a panel goes: compute, draw, encode in the kernel; way, decode, paint in the page.

    python tests/benchmarks/panel_stages.py [--rounds 20] [--no-browser]

Compute, draw and encode are processor time of this process. The way there and back over JupyterLab, decode and paint
are read in Chromium, where there is one: steps by key, whose picture may have been drawn ahead, so that the way can be
shorter than what the kernel spends. Medians in ms. Only shares carry over to other machines.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import tempfile
import time
from pathlib import Path

TESTS = Path(__file__).parents[1]
sys.path[:0] = [str(TESTS / "browser"), str(TESTS / "show")]

from conftest import chromium_path, command, new_page, open_notebook, run_all, running_chromium, running_lab  # noqa: E402

from suspedu.show import panels  # noqa: E402
from suspedu.show.palette_png import png  # noqa: E402

WARM_UP = 5  # moves before those that count: what a first picture prepares is not the time of a move
PANELS = {"sag": "preload", "whole_fork": "preload", "packing": "rebound", "bench": "preload"}
CELL = "from suspedu.show import panels\nshown = panels.{name}(); shown"
# Key to message, message to answer, answer to decoded picture, decoded to the frame after.
WATCH = """(root) => { window.spent = []; const img = root.querySelector('img'), input = root.querySelector('input');
  let key = 0;
  root.addEventListener('input', () => { key = performance.now(); }, true);
  new MutationObserver(() => {
    if (!key) return;
    const came = performance.now(), begun = key;
    key = 0;
    img.decode().catch(() => 0).then(() => {
      const ready = performance.now(), note = () => spent.push([came - begun, ready - came, performance.now() - ready]);
      requestAnimationFrame(() => setTimeout(note, 0));
    });
  }).observe(img, { attributes: true, attributeFilter: ['src'] }); }"""


def spent(deed) -> tuple[float, object]:
    """Processor time of a deed [ms], and what came of it."""
    begun = time.process_time()
    done = deed()
    return 1e3 * (time.process_time() - begun), done


def medians(names, rows) -> dict[str, float]:
    """The median of each column, by its name."""
    return dict(zip(names, map(statistics.median, zip(*rows, strict=True)), strict=True))


def kernel_stages(name: str, moved: str, rounds: int) -> dict[str, float]:
    """Medians of compute, draw and encode of a panel's quick picture [ms]."""
    declared = getattr(panels, name)
    shown = declared()
    control = next(each for each in shown.controls if each["name"] == moved)
    found = []
    for turn in range(WARM_UP + rounds):
        value = control["low"] + control["step"] * (turn % int((control["high"] - control["low"]) / control["step"]))
        computed, view = spent(lambda value=value: shown._view(**(shown.values | {moved: value})))
        drawing = shown._drawing(shown._frame(view, quick=True))
        drawn, pixels = spent(lambda drawing=drawing, view=view: drawing.pixels(view))
        coded, _ = spent(lambda pixels=pixels, drawing=drawing: png(pixels, drawing.frame.theme))
        found.append((computed, drawn, coded))
    return medians(("compute", "draw", "encode"), found[WARM_UP:])


def page_stages(page, lab, name: str, moved: str, rounds: int) -> dict[str, float]:
    """Medians of the way there and back, decode and paint of a panel in JupyterLab [ms]."""
    open_notebook(page, lab, lab.write(f"{name}.ipynb", CELL.format(name=name)))
    run_all(page)
    root = page.locator(".suspedu-panel")
    root.locator("img[data-serial]").wait_for()
    label = next(control.label for control in getattr(panels, name).controls if control.name == moved)
    root.evaluate(WATCH)
    root.get_by_role("slider", name=label).first.focus()
    for turn in range(WARM_UP + rounds):
        page.keyboard.press("ArrowRight" if turn % 8 < 4 else "ArrowLeft")
        page.wait_for_timeout(350)
    rows = page.evaluate("spent")[WARM_UP:]
    return medians(("there and back", "decode", "paint"), rows)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rounds", type=int, default=20)
    parser.add_argument("--no-browser", action="store_true")
    args = parser.parse_args()
    rows = {name: kernel_stages(name, moved, args.rounds) for name, moved in PANELS.items()}
    if chromium_path() and not args.no_browser:
        with tempfile.TemporaryDirectory() as folder, running_lab(Path(folder)) as lab, \
                running_chromium(chromium_path()) as browser:  # fmt: skip
            page = new_page(browser)
            for name, moved in PANELS.items():
                rows[name] |= page_stages(page, lab, name, moved, args.rounds)
                command(page, "kernelmenu:shutdown")
    for name, stages in rows.items():
        print(f"{name:<12} " + "  ".join(f"{stage} {value:6.1f}" for stage, value in stages.items()) + " ms")


if __name__ == "__main__":
    main()
