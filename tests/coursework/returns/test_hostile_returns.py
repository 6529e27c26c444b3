"""No return, however made, stops the run, harms another's mark, leaves its own place, earns what it should not."""

import time

import make_returns
import psutil
import pytest
from conftest import GROUPS, STUDENTS, snapshot

from suspedu.coursework.running import sandbox

pytestmark = pytest.mark.timeout(1200)


def test_there_are_at_least_fifty_kinds():
    assert len(STUDENTS) == sum(map(len, GROUPS.values())) >= 50


def test_each_kind_earns_what_it_should(hostile, kind):
    found = hostile.marked.get(STUDENTS[kind.name])
    if kind.points is None:
        assert found is None
        assert kind.aside in hostile.output
        return
    points = {q.question: q.earned for q in found.questions if q.question in make_returns.FULL}
    hints = {q.question: (q.verdict, q.hint, q.printed) for q in found.questions}
    assert points == kind.points, (found.fault, found.notes, hints, found.evidence.get("stopped"))
    assert kind.fault in found.fault and bool(kind.fault) == bool(found.fault)
    assert kind.note in " ".join(found.notes)
    assert kind.hint in hints[kind.attacked][1], hints


def test_every_refusal_is_one_sentence_and_no_traceback(hostile):
    said = [m.fault for m in hostile.marked.values() if m.fault]
    said += [q.hint for m in hostile.marked.values() for q in m.questions]
    assert said
    assert all("\n" not in sentence and "Traceback" not in sentence and len(sentence) < 600 for sentence in said)
    assert "Traceback" not in hostile.output


def test_nothing_outside_was_touched(hostile, course):
    now = {"course": snapshot(course), "handed out": snapshot(hostile.desk.handed_out),
           "returns": snapshot(hostile.returns)}
    assert now == hostile.before
    assert not (hostile.root / "outside").exists()
    assert not (hostile.root / "heartbeat").exists()
    assert not hostile.visitors


def test_nothing_outlives_the_run(hostile):
    time.sleep(0.5)
    kernels = [p for p in psutil.process_iter(["cmdline"]) if "suspedu.coursework.running.kernel_start" in
               " ".join(p.info["cmdline"] or []) and str(hostile.root) in " ".join(p.info["cmdline"])]
    assert not kernels
    children = [" ".join(p.cmdline()) for p in psutil.Process().children(recursive=True)]
    assert not [line for line in children if "suspedu.coursework.running.engine" in line]


def test_mode_is_in_output_and_record(hostile):
    mode = sandbox.chosen_mode("auto")
    assert f"Mode: {mode.words}" in hostile.output
    kept = {m.evidence["mode"] for m in hostile.marked.values() if not m.fault}
    assert kept == {mode.name}


def test_a_second_run_marks_nothing_again(hostile, run_mark):
    _, output = run_mark(hostile.args)
    assert "0 marked, 0 could not be marked" in output


def test_sheets_show_hostile_text_harmlessly_and_no_solution(hostile):
    pages = {p.stem: p.read_text(encoding="utf-8") for p in hostile.desk.sheets.glob("*.html")}
    pages = {student: text for student, text in pages.items() if student in hostile.marked}
    assert pages.keys() == hostile.marked.keys()
    for student, text in pages.items():
        assert "<script" not in text and "<img" not in text and "\x1b" not in text and "\u202e" not in text
        assert "default-src 'none'" in text and len(text) < 60_000
        wrong = [q for q in hostile.marked[student].questions if q.expected and q.earned == 0]
        assert all(q.expected not in text or q.expected in q.answer + q.printed for q in wrong
                   if len(q.expected.strip()) > 3)


def test_markup_in_an_answer_is_shown_as_text(odd):
    page = odd.desk.sheets / f"{STUDENTS['markup in the answer']}.html"
    assert "&lt;script&gt;" in page.read_text(encoding="utf-8")
