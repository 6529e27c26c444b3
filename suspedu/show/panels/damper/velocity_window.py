"""Panel on velocity, which no test bench records: what a window of rows smooths away, and what it leaves of noise."""

from __future__ import annotations

from suspedu.recordings import windowed_velocity
from suspedu.show.declared import Declared
from suspedu.show.panels.words import percent, with_unit
from suspedu.show.view import Axes, Control, Curve, View
from suspedu.units import from_si, to_si


def view_velocity_window(window, noise, frequency) -> View:
    """Velocity of a sine of a frequency [1/s] through a window of rows, its stroke noisy by so much [micrometre]."""
    seen = windowed_velocity(int(window), to_si(noise, "micrometer"), frequency)
    time = from_si(seen.time, "ms")
    items = (Curve("read", time, seen.read, 0, "main", margin=False),
             Curve("true", time, seen.true, 0, "limit", margin=False),
             Curve("off", time, from_si(seen.read - seen.true, "mm/s"), 1, "second", margin=False))  # fmt: skip
    left, rough = f"{percent(seen.left, 1)} %", with_unit(seen.noise, "mm/s", 1)
    numbers = (("Window", with_unit(seen.length, "ms")), ("Greatest velocity, true", f"{seen.true.max():.2f} m/s"),
               ("Left of it by the window", left), ("Noise of the velocity", rough))  # fmt: skip
    sentence = (f"A window of {int(window)} rows leaves {left} of this velocity, and noise of {rough} in it, one "
                "standard deviation.")  # fmt: skip
    return View(items, numbers, sentence)


VELOCITY_WINDOW = Declared(
    id="velocity-window", title="Velocity through a window", view=view_velocity_window, inside=("true", "off"),
    controls=(Control("window", "Window", "rows", 5, 61, 2, 21, "of one millisecond each: more = smoother"),
              Control("noise", "Noise of the stroke", "µm", 0, 50, 5, 20, "one standard deviation"),
              Control("frequency", "Cycles", "in a second", 2, 20, 1, 8, "10 mm to either side")),
    axes=(Axes("time [ms]", "velocity [m/s]", (0, 400), (-1.6, 1.6), "Read from the stroke"),
          Axes("time [ms]", "read less true [mm/s]", (0, 400), (-450, 450), "How far it is off")))  # fmt: skip
