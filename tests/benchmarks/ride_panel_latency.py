"""From slider to picture in a panel that rides: a whole ride is simulated and drawn for each move, in JupyterLab.

    python tests/benchmarks/ride_panel_latency.py [--rounds 24]

A clicker is walked through settings that were not ridden before, so that tables, ride and picture are all made anew.
Beside it, in the same run, the preload of the sag panel, whose next picture was made while the hand rested: the ratio
says what a ride costs that nobody could make ahead. Then both are dragged: the last picture, and the crisp
one, after the last move of the hand.
"""

from __future__ import annotations

import argparse
import statistics
from functools import partial

from panel_latency import DRAG, moved, print_drags, print_load, running_page

CELLS = ("from suspedu.ride.engine import prepare\nfrom suspedu.show import panels\nprepare(print)",
         "panels.sag()", "panels.bench()")
MOVED = "Preload", "Rebound"


def measured(rounds: int) -> tuple[list[tuple[float, float]], list[list]]:
    """Times [ms] from key to picture: statics, ride; moved in turn; then the drags of both."""
    with running_page(*CELLS) as page:
        roots = [page.locator(".suspedu-panel").nth(n) for n in (0, 1)]
        for root in roots:
            root.locator("img[data-serial]").wait_for()
        page.wait_for_timeout(1500)
        sliders = [root.get_by_role("slider", name=name) for root, name in zip(roots, MOVED, strict=True)]
        hands = list(zip(roots, sliders, strict=True))
        times = [tuple(moved(page, root, partial(slider.press, key)) for root, slider in hands)
                 for key in ["Home"] + ["ArrowRight"] * rounds][2:]  # fmt: skip
        return times, [[root.evaluate(DRAG) for _ in range(5)] for root in roots]


def main() -> None:
    """Print both medians and their ratio."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rounds", type=int, default=24, choices=range(3, 25), metavar="N",
                        help="clicks that the slider is walked, at most its 24; the first is not counted")
    times, drags = measured(parser.parse_args().rounds)
    statics, rides = zip(*times, strict=True)
    still, ridden = statistics.median(statics), statistics.median(rides)
    print(f"key to picture, median of {len(rides)}: ride {ridden:.0f} ms (wanted: at most 90), statics {still:.0f} ms,"
          f" ratio {ridden / still:.1f}")  # fmt: skip
    for name, found in zip(("sag", "bench"), drags, strict=True):
        print_drags(name, found)
    print_load()


if __name__ == "__main__":
    main()
