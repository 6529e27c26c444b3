"""From slider to picture in a panel that rides: a whole ride is simulated and drawn for each move, in JupyterLab.

    python tests/benchmarks/ride_panel_latency.py [--rounds 24]

A clicker is walked through settings that were not ridden before, so that tables, ride and picture are all made anew.
Beside it, in the same run, the preload of the day-one panel, which computes statics only: the ratio says what the ride
costs.
"""

from __future__ import annotations

import argparse
import statistics

from panel_latency import moved, print_load, running_page

CELLS = ("from suspedu.ride.engine import prepare\nfrom suspedu.show import panels\nprepare(print)",
         "panels.whole_fork()", "panels.bench()")
MOVED = "Preload", "Rebound"


def measured(rounds: int) -> list[tuple[float, float]]:
    """Times [ms] from key to picture: statics, ride; moved in turn."""
    with running_page(*CELLS) as page:
        roots = [page.locator(".suspedu-panel").nth(n) for n in (0, 1)]
        for root in roots:
            root.locator("img[data-serial]").wait_for()
        page.wait_for_timeout(1500)
        sliders = [root.get_by_role("slider", name=name) for root, name in zip(roots, MOVED, strict=True)]
        return [tuple(moved(page, root, slider, key) for root, slider in zip(roots, sliders, strict=True))
                for key in ["Home"] + ["ArrowRight"] * rounds][2:]  # fmt: skip


def main() -> None:
    """Print both medians and their ratio."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rounds", type=int, default=24, choices=range(3, 25), metavar="N",
                        help="clicks that the slider is walked, at most its 24; the first is not counted")
    statics, rides = zip(*measured(parser.parse_args().rounds), strict=True)
    still, ridden = statistics.median(statics), statistics.median(rides)
    print(f"key to picture, median of {len(rides)}: ride {ridden:.0f} ms (wanted: at most 120), statics {still:.0f} ms,"
          f" ratio {ridden / still:.1f}")  # fmt: skip
    print_load()


if __name__ == "__main__":
    main()
