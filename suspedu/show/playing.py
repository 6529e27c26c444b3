"""A film that the page plays: pictures are made some ahead and sent together; none is asked for when it is due."""

from __future__ import annotations

import numpy as np

from suspedu.units import InputError

MOST = 10  # pictures of one answer: the hand is heard between two


class Playing:
    """The part of a panel that makes pictures ahead of their time; `Panel` has the rest."""

    def _play_ahead(self, message) -> None:
        """Send the next pictures of a film that runs: asked for by control, first place, step and number."""
        try:
            frames, pictures = self._next_frames(message)
            answer: dict = {"frames": frames}
        except Exception as fault:  # it would vanish in the widget's callback
            self.fault, pictures = fault, []
            answer = {"problem": str(fault) if isinstance(fault, InputError) else type(fault).__name__}
        self.send({"kind": "frames", "ticket": message["ticket"], **answer}, pictures)

    def _next_frames(self, message) -> tuple[list[dict], list[bytes]]:
        control = next(each for each in self._known if each.name == message["control"])
        values = {each.name: each.accepted(message["values"][each.name]) for each in self._known}
        implied = self._manner.implied.get(control.name, lambda _values: {})
        count = min(max(int(message["count"]), 1), MOST)
        places = float(message["first"]) + float(message["step"]) * np.arange(count)
        frames, pictures = [], []
        for place in np.clip(places, control.low, control.high).tolist():
            given = values | {control.name: place}
            frame, picture = self._played(given | implied(given))
            frames.append({"place": place, **frame})
            pictures.append(picture)
        return frames, pictures

    def _played(self, values: dict) -> tuple[dict, bytes]:
        """What the page shows for some values, and its quick picture."""
        view, pin = self._beside_the_pin(values)
        frame = self._frame(view, quick=True)
        picture = self._drawing(frame, view).png(view, pin)
        return {"values": values, "size": [frame.width, frame.full_height], **self._told(view, pin)}, picture
