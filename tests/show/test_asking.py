"""Predictions are kept with the reader, whatever state the file is in; explanations show them."""

import json

import pytest

from suspedu.show import asking

OPTIONS = ("steeper", "the same", "flatter")


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(asking, "_unfolded", {})
    return tmp_path


def ask():
    return asking.predict("slope", "What does preload do to the slope?", OPTIONS)


def test_a_choice_is_recorded_and_found_again(folder):
    question = ask()
    question.record("the same")
    assert json.loads((folder / ".suspedu-notes.json").read_text())["predictions"]["slope"]["answer"] == "the same"
    assert question.said == "Recorded: the same. Now look."
    assert ask().answer == "the same"
    assert ask().said == "You predicted: the same."
    assert [path.name for path in folder.iterdir()] == [".suspedu-notes.json"]  # no draft left


@pytest.mark.parametrize("wrong", ["", "sideways"])
def test_no_choice_is_not_recorded(folder, wrong):
    question = ask()
    question.record(wrong)
    assert question.said == "Choose one of the answers first."
    assert not list(folder.iterdir())


@pytest.mark.parametrize(("typed", "kept"), [
    ("70", "70 mm"), (" 70,5 ", "70.5 mm"), ("-3", "−3 mm"), ("−3", "−3 mm"), ("94 mm", "94 mm"), ("1,5mm", "1.5 mm")])
def test_a_number_is_recorded_with_its_unit(typed, kept):
    question = asking.predict_number("sag", "How far?", "mm")
    question.record(typed)
    assert question.answer == kept
    assert asking.noted()["sag"] == {"question": "How far?", "answer": kept}


@pytest.mark.parametrize("typed", ["", "a lot", "nan", "inf", "1e99"])
def test_what_is_no_number_is_not_recorded(typed):
    question = asking.predict_number("sag", "How far?", "mm")
    question.record(typed)
    assert question.said == "Type a number in mm first."
    assert asking.noted() == {}


@pytest.mark.parametrize("damage", ["", "{", "[]", '{"predictions": 3}', '{"predictions": {"a": 1}}', "\x00\x01"])
def test_a_damaged_file_is_kept_aside_and_nothing_is_lost(folder, damage):
    path = folder / ".suspedu-notes.json"
    path.write_text(damage)
    assert asking.noted() == {}
    ask().record("flatter")
    assert asking.noted()["slope"]["answer"] == "flatter"
    assert (folder / ".suspedu-notes.damaged.json").read_text() == damage


def test_a_folder_that_cannot_be_written_is_told(folder, monkeypatch):
    def refuse(*_args, **_kwargs):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("suspedu.files.os.open", refuse)
    question = ask()
    question.record("flatter")
    assert "could not be written down (you have no permission;" in question.said
    assert question.answer == "flatter"


def test_other_predictions_stay():
    asking.note("first", "?", "yes")
    ask().record("steeper")
    assert asking.noted()["first"]["answer"] == "yes"


def test_a_question_as_text():
    data, _ = ask()._repr_mimebundle_()
    assert data["text/plain"] == "Predict: What does preload do to the slope?\n- steeper\n- the same\n- flatter"
    number, _ = asking.predict_number("sag", "How far?", "mm")._repr_mimebundle_()
    assert number["text/plain"] == "Predict: How far?\n(a number in mm)"


def test_an_explanation_is_folded_and_shows_the_prediction():
    why = asking.explain("slope", "It **stays**.\n")
    plain = why.bundle("")
    assert plain["text/plain"] == "It **stays**."
    assert plain["text/markdown"].startswith("<details>")
    assert "predicted" not in plain["text/markdown"]
    told = why.bundle("steeper")
    assert "*You predicted: steeper.*" in told["text/markdown"]
    assert told["text/plain"] == "It **stays**."  # the same for every reader: nbval compares it


def test_a_prediction_recorded_later_reaches_the_explanation():
    shown = []

    class Handle:
        def update(self, bundle, raw):
            shown.append(bundle["text/markdown"])

    why = asking.explain("slope", "It stays.")
    why._shown = Handle()
    ask().record("flatter")
    assert len(shown) == 1
    assert "You predicted: flatter." in shown[0]
