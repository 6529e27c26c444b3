"""Does a film play at its rate, and how long does a file of it take? The bench, in JupyterLab in Chromium.

    python tests/benchmarks/film_rate.py [--seconds 6]

Counts the pictures that come onto the page while the film plays, from the first to the last of some seconds, and times
a GIF of the whole run from the press of its button to the file. Asked: 20 pictures a second, a GIF of 10 s in 15 s.
"""

from __future__ import annotations

import argparse
import itertools
import time

from panel_latency import print_load, running_page

CELLS = ("from suspedu.ride.engine import prepare\nfrom suspedu.show import panels\nprepare(print)", "panels.bench()")
COUNT = """(root) => { window.came = []; const img = root.querySelector("img");
  img.addEventListener("load", () => came.push(performance.now())); }"""


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seconds", type=float, default=6.0)
    args = parser.parse_args()
    with running_page(*CELLS) as page:
        root = page.locator(".suspedu-panel")
        root.locator("img[data-serial]").wait_for()
        page.wait_for_timeout(1500)
        root.evaluate(COUNT)
        root.get_by_role("button", name="Play").click()
        page.wait_for_timeout(1e3 * args.seconds)
        root.get_by_role("button", name="Pause").click()
        came = page.evaluate("came")
        gaps = sorted(later - earlier for earlier, later in itertools.pairwise(came))
        print(f"{len(came)} pictures, {1e3 * (len(came) - 1) / (came[-1] - came[0]):.1f} a second (wanted: 20); from"
              f" one to the next {gaps[len(gaps) // 2]:.0f} ms in the middle, {gaps[-1]:.0f} ms at most")  # fmt: skip
        page.wait_for_timeout(1000)
        begun = time.monotonic()
        with page.expect_download(timeout=120_000):
            root.get_by_role("button", name="Save GIF").click()
        print(f"a GIF of the whole run: {time.monotonic() - begun:.1f} s (wanted: 15 for 10 s)")
    print_load()


if __name__ == "__main__":
    main()
