"""Tasks of a lesson: right, wrong with the hint that belongs to it, no number at all; a panel as it stands."""

import pytest

from suspedu.show import asking, panels, tasks


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def ask():
    return tasks.now_you("gap", "How wide?", "mm", value=4.0, within=0.1, hint="Halve the diameter.",
                       slips=[(8.0, "That is the diameter."), (0.004, "That is in metres.")])


@pytest.mark.parametrize(("typed", "said"), [
    ("4", "Right: 4 mm."), ("4,05", "Right: 4.05 mm."), ("8", "Not 8 mm. That is the diameter."),
    ("0.004", "Not 0.004 mm. That is in metres."), ("5", "Not 5 mm. Halve the diameter."),
    ("", "Type a number in mm first."), ("nan", "Type a number in mm first."),
])
def test_a_number_is_answered_on_the_spot(typed, said, folder):
    task = ask()
    task.record(typed)
    assert task.said == said
    assert not list(folder.iterdir())  # nothing is kept: it is no mark


def test_a_task_as_text_shows_no_answer():
    data, _ = ask()._repr_mimebundle_()
    assert data["text/plain"] == "Now you: How wide?\n(a number in mm)"


def test_a_slip_that_would_pass_is_refused():
    with pytest.raises(ValueError, match="too close"):
        tasks.now_you("gap", "?", "mm", value=4.0, within=0.1, hint="", slips=[(4.15, "no")])


def test_a_panel_is_looked_at_as_it_stands():
    panel = panels.air_spring()
    task = tasks.now_you_panel("oil", "Set 100 mm of oil height.", panel, lambda now: now["oil_height"] == 100,
                               "Less air.")
    assert task.text == "Now you: Set 100 mm of oil height.\n(a setting of the panel above)"
    task.record("as it stands")
    assert task.said == "Not yet. Less air."
    panel.values = {"oil_height": 100}
    task.record("as it stands")
    assert task.said == "Right."


def test_options_stand_in_an_order_of_the_readers_own():
    """Over many readers each option stands in each place about as often; for one reader it stays."""
    options, readers = ("one", "two", "three"), [f"reader {n}" for n in range(900)]
    orders = [asking.own_order(options, "slope", reader) for reader in readers]
    for option in options:
        places = [order.index(option) for order in orders]
        assert all(250 < places.count(place) < 350 for place in range(3))  # 300, within 3.5 standard deviations of 14
    assert orders == [asking.own_order(options, "slope", reader) for reader in readers]
    assert asking.own_order(options, "slope") == asking.own_order(options, "slope")
    question = asking.predict("slope", "?", options)
    assert sorted(question.options) == sorted(options)
