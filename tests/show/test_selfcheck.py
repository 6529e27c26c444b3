"""The self-check widget: it reports progress, shows verdicts as an escaped table, and turns faults into sentences."""

import re
import threading

from suspedu.coursework.exercise.selfmark import Checked
from suspedu.coursework.exercise.verdicts import Row
from suspedu.show import selfcheck, status_line

HOSTILE = "<script>alert('x')</script>"


def test_everything_is_escaped():
    row = Row("q1", HOSTILE, 2, 0, "error", f"{HOSTILE} & more", HOSTILE)
    html = selfcheck.table(Checked(HOSTILE, (row,), (), 5.0))
    assert "<script" not in html
    assert html.count("&lt;script&gt;") == 3  # caption, title, hint; the learner's own print is not shown


def test_table_has_heads_caption_and_words():
    rows = (Row("q1", "Rate", 2, 2, "right"), Row("q2", "Sag", 3, 0, "wrong", "Is it one leg?"))
    html = selfcheck.table(Checked("01_a", rows, (), 5.0))
    assert re.findall(r'scope="(\w+)"', html) == ["col"] * 4 + ["row"] * 2
    assert "<caption" in html and "Exercise 01_a" in html
    assert "<strong>right</strong>" in html and "2 of 2" in html and "Is it one leg?" in html


def check(monkeypatch, selfmark):
    """The widget after a check whose marking is replaced, and all that its status line said."""
    monkeypatch.setattr(selfcheck.core, "own_file", lambda number, folder, asking: "file")
    monkeypatch.setattr(selfcheck.core, "code_cells", lambda file: 2)
    monkeypatch.setattr(selfcheck.core, "check_file", selfmark)
    widget, said = selfcheck.selfmark("01"), []
    widget.status.observe(lambda change: said.append(change.new), "value")
    widget.button.click()
    widget.page._heard(None, {"kind": "saved", "path": "exercises/file"}, [])  # what the page answers
    widget.wait()
    return widget, said


def test_button_marks_and_progress_is_announced(monkeypatch):
    def selfmark(file, on_record):
        for line in ({"kernel": 1}, {"key": "a"}, {"key": "b"}):
            on_record(line)
        return Checked("01_a", (Row("q1", "Rate", 2, 2, "right"),), ("the last one counts",), 900.0)
    widget, said = check(monkeypatch, selfmark)
    assert [re.findall(r'value="(\d)"', text) for text in said][2:5] == [["0"], ["1"], ["2"]]
    assert "saved 15 minutes ago" in said[-1] and "Ctrl+S" in said[-1] and "the last one counts" in said[-1]
    assert all('role="status" aria-live="polite"' in text for text in said)
    assert "<strong>right</strong>" in widget.verdicts.value and not widget.button.disabled


def test_a_fault_becomes_a_sentence_and_the_button_works_again(monkeypatch):
    def selfmark(file, on_record):
        raise OSError("disk <full>")
    widget, said = check(monkeypatch, selfmark)
    assert "disk &lt;full&gt;" in said[-1] and "suspedu ready" in said[-1]
    assert not widget.button.disabled


def test_missing_file_is_named(tmp_path):
    widget = selfcheck.SelfCheck("99", tmp_path)
    widget.check("")
    widget.wait()
    assert "exercise &#x27;99&#x27; is not in" in widget.status.value


def test_nothing_is_marked_that_could_not_be_saved(tmp_path):
    widget = selfcheck.SelfCheck("99", tmp_path)
    widget.button.click()
    assert widget.button.disabled and "Saving" in widget.status.value
    widget.page._heard(None, {"kind": "saved", "path": "a.ipynb", "fault": "the disk is full"}, [])
    assert "nothing was marked: the disk is full" in widget.status.value
    assert not widget.button.disabled and widget.thread is None


def test_a_page_that_never_answers_is_not_waited_for_for_ever(tmp_path, monkeypatch):
    monkeypatch.setattr(status_line, "PATIENCE", 0.05)
    told, widget = threading.Event(), selfcheck.SelfCheck("99", tmp_path)
    widget.status.observe(lambda change: told.set() if "is not in" in change.new else None, "value")
    widget.button.click()
    assert told.wait(10)


def test_what_waits_for_the_instructor_is_told():
    rows = (Row("q1", "Rate", 2, 2, "right"), Row("q2", "Why", 3, 0, "by hand", by_hand=True),
            Row("q3", "How", 1, 0, "not answered yet", by_hand=True))
    said = " ".join(selfcheck.core.advice(Checked("01_a", rows, (), 5.0, "my copy.ipynb")))
    assert "2 of 2 points with the practice numbers; 3 points: words that wait for the instructor; " in said
    assert "; 1 point: words not written yet." in said
    assert "'my copy.ipynb', just saved" in said
