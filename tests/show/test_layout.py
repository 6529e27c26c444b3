"""What stands still in a picture: titles of axes beside each other."""

import pytest

from suspedu.show import layout, panels
from suspedu.show.theme import LIGHT


@pytest.mark.parametrize("name", ["bench", "adjusters"])
def test_titles_of_axes_beside_each_other_stand_apart(name):
    shown = getattr(panels, name)
    for width in (600, 620, 740):
        frame, view = layout.Frame(shown.axes, LIGHT, width, 600), shown.shown()
        figure = layout.figure_of(frame, view)
        bold = {text.get_text(): text.get_window_extent() for text in figure.texts if text.get_weight() == "bold"}
        for each, (left, _, right, _) in zip(shown.axes, frame.cells(), strict=True):
            if each.title:
                assert left - 1 <= bold[each.title].x0 < bold[each.title].x1 <= right + layout.GAP / 2
