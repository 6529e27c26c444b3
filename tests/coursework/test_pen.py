"""What an examiner decides by hand: it counts, it is told, and nothing of it can be taken back unseen."""

import shlex
import sqlite3
import time
from argparse import ArgumentParser
from dataclasses import replace

import pytest

from suspedu.commands import pen as command
from suspedu.coursework.book import classbook
from suspedu.coursework.book.class_figures import figures
from suspedu.coursework.book.marks_table import Wording, mark_rows
from suspedu.coursework.book.sheet_page import return_sheet, write_sheets
from suspedu.coursework.desk import backups, handout, pen
from suspedu.coursework.desk import desk as desks
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.lateness import DAY, Due, in_time, moment
from suspedu.coursework.desk.marked import Marked, Scored
from suspedu.coursework.exercise.verdicts import SET
from suspedu.units import InputError

DEMO = "90_demo"


def handed_in(student, saved=0.0, earned=1.0, answer="rate = 1", digest="d"):
    return Marked(student, DEMO, "j", digest, "f", saved, "now",
                  questions=(Scored("q1", "Rate", earned, 2, "wrong", answer=answer),
                             Scored("q4", "Words", None, 2, "by hand", answer="words")))


@pytest.fixture
def place(tmp_path):
    """A desk with two students who handed in, one who did not, and one who left."""
    place = desks.Desk(tmp_path / "desk")
    with place.record(must_exist=False) as record:
        record.add_students([Student("1"), Student("2"), Student("3"), Student("5")])
        record.set_asked(DEMO, [("q1", "Rate", 2, False), ("q4", "Words", 2, True)])
        record.add_handout([("1", DEMO, 3), ("2", DEMO, 4)])
        for number in "12":
            record.write(handed_in(number))
        pen.take_leave(record, "5")
    return place


def typed(place, *words):
    parser = ArgumentParser()
    command.add_arguments(parser)
    return command.run(parser.parse_args([*words, "--desk", str(place.folder)]))


def test_points_that_are_set_count_and_their_reason_is_read(place, capsys):
    assert typed(place, "points", "1", "90", "q1", "2", "--reason", "the unit was given", "--name", "Examiner") == 0
    assert "1 -> 2 of 2 set by Examiner: the unit was given" in capsys.readouterr().out
    with place.record() as record:
        one, other = record.marked()
        assert (one.earned, one.questions[0].verdict, other.earned) == (2.0, SET, 1.0)
        assert one.questions[0].hint.startswith("Examiner, ") and one.questions[0].hint.endswith("the unit was given")
        assert "the unit was given" in return_sheet(Student("1"), [one])
        record.write(handed_in("1", answer="rate = 2"))  # another answer: nobody has decided about it
        assert next(record.marked("1")).earned == 1.0


@pytest.mark.parametrize(("words", "said"), [
    (("points", "1", "90", "q1", "3", "--reason", "r", "--name", "n"), "allowed for 'q1': 0 to 2"),
    (("points", "1", "90", "q1", "nan", "--reason", "r", "--name", "n"), "allowed for 'q1': 0 to 2"),
    (("points", "1", "90", "q7", "1", "--reason", "r", "--name", "n"), "known there: q1, q4"),
    (("points", "9", "90", "q1", "1", "--reason", "r", "--name", "n"), "no answer of student '9'"),
    (("points", "1", "90", "q1", "1", "--reason", " ", "--name", "n"), "with a reason and a name"),
    (("points", "1", "91", "q1", "1", "--reason", "r", "--name", "n"), "no exercise '91'"),
    (("due", "90", "tomorrow"), "type it as 2026-12-01"), (("due", "90", "2026-12-01", "--late", "200"), "0 to 100"),
    (("weight", "90", "-1"), "allowed: 0 to 100"), (("weight", "90", "nan"), "allowed: 0 to 100"),
    (("points", "1", "90", "q1", "two", "--reason", "r", "--name", "n"), "is 'two'; give a number"),
    (("points", "1", "90", "q1", "1", "--reason", "r", "--name", "n", "--date", "Friday"), "type it as 2026-12-01"),
    (("points", "3", "90", "q7", "1", "--reason", "r", "--name", "n"), "known there: q1, q4"),
    (("leave", "4"), "no student: '4'"),
    (("leave", "5"), "student 5 has left the class already ('suspedu pen back 5'"),
    (("back", "1"), "nobody of that number left"),
    (("restore", "yesterday"), "there is no copy 'yesterday'")])
def test_a_slip_is_one_sentence_and_changes_nothing(place, words, said):
    with place.record() as record:
        before = record.trail()
    with pytest.raises(InputError) as refusal:
        typed(place, *words)
    assert said in str(refusal.value) and "\n" not in str(refusal.value)
    with place.record() as record:
        assert record.trail() == before


def test_points_for_an_oral_count_where_nothing_was_handed_in(place, capsys):
    typed(place, "due", "90", "2026-01-01")
    typed(place, "points", "3", "90", "q1", "1,5", "--reason", "oral", "--name", "Examiner", "--date", "2026-11-20")
    typed(place, "points", "3", "90", "q4", "1", "--reason", "on paper", "--name", "Examiner")
    said = "student 3, 90_demo, q1: 0 -> 1.5 of 2 set by Examiner on 2026-11-20 (nothing was handed in): oral"
    assert said in capsys.readouterr().out
    with place.record() as record:
        one = next(record.marked("3"))
        assert (one.earned, one.possible, one.off, one.fault) == (2.5, 4, 0.0, "")
        assert one.questions[0].hint == "Examiner, 2026-11-20: oral"
        sheet = return_sheet(Student("3"), [one])
        assert "Nothing was handed in." in sheet and "Examiner, 2026-11-20: oral" in sheet
        assert "fingerprint" not in sheet
        found = figures(record)
        assert found.marks["3", DEMO] == (2.5, 4) and not found.missing(DEMO) and not found.unreadable
        assert mark_rows(found, Wording())[1][2][3:5] == ["2.5", "marked"]
        record.write(handed_in("3"))
        assert next(record.marked("3")).earned == 1.0  # nobody has decided about what came then
        assert record.trail()[-1][1] == "student 3, 90_demo: 1 of 4, in place of points that were set without a file"


def test_who_was_asked_one_question_counts_in_no_figure_of_the_others(place):
    typed(place, "points", "3", "90", "q1", "2", "--reason", "oral", "--name", "Examiner")
    with place.record() as record:
        record.set_asked(DEMO, [("q1", "Rate", 2, False), ("q2", "Other", 3, False)])
        assert {q.question: q.item.count for q in figures(record).questions} == {"q1": 3, "q2": 0}


def test_a_decimal_comma_is_read_wherever_a_number_is_typed(place):
    typed(place, "points", "1", "90", "q1", "0,5", "--reason", "r", "--name", "n")
    typed(place, "weight", "90", "1,5")
    typed(place, "due", "90", "2026-12-01", "--late", "12,5")
    with place.record() as record:
        assert (next(record.marked("1")).earned, record.weights()[DEMO]) == (0.5, 1.5)
        assert record.dues()[DEMO, ""].off_a_day == 0.125


def test_going_back_is_told_where_the_later_lines_cannot_be_read(place):
    typed(place, "weight", "90", "2")
    copy = backups.copies(place.copies)[-1].stem.removeprefix("record ")
    typed(place, "restore", copy)
    typed(place, "restore", copy)  # what is taken away now is the line on the first time
    with place.record() as record:
        assert "it takes away 1 later line (" in record.trail()[-1][1] and record.weights() == {}
    (place.folder / "record.sqlite").write_bytes(b"no record" * 1000)
    typed(place, "restore", copy)
    with place.record() as record:
        assert "what was written later cannot be read" in record.trail()[-1][1]


def test_late_is_late_by_begun_days_and_a_students_own_deadline_goes_first():
    due, own = Due(1000.0, 0.1), Due(1000.0 + 3 * DAY, 0.1)
    marks = [handed_in(n, 1000.0 + 1.5 * DAY) for n in "12"]
    late, excused = in_time(marks, {(DEMO, ""): due, (DEMO, "2"): own})
    assert late.earned == pytest.approx(0.8) and "2 days late: 20 % of the points off" in late.notes[-1]
    assert excused.earned == 1.0 and not excused.notes
    assert [Due(0.0).taken(saved) for saved in (0.0, 1.0)] == [0.0, 1.0]  # where nothing else is said, late is nothing


def test_a_file_without_a_date_is_not_late_and_that_is_said():
    due = {(DEMO, ""): Due(1000.0, 0.1)}
    for saved in (0.0, time.time() + 3 * 365 * DAY, -5.0):
        one, = in_time([handed_in("1", saved)], due)
        assert (one.off, one.notes) == (0.0, ("when it was saved is unknown, so nothing is taken off for being late",))
        assert list(in_time([handed_in("1", saved)], {})) == [handed_in("1", saved)]


def test_a_day_ends_with_its_midnight():
    assert moment("2026-12-01") - moment("2026-12-01 00:00") == DAY  # no clock is changed in that night
    assert time.strftime("%H:%M", time.localtime(moment("2026-12-01 18:30"))) == "18:30"


def test_weights_and_deadlines_reach_the_table(place):
    typed(place, "due", "90", "2025-12-31", "--late", "10")
    typed(place, "weight", "90", "3")
    with place.record() as record:
        record.write(handed_in("1", moment("2026-01-02 12:00")))
        heads, rows = mark_rows(figures(record), Wording())
    saved_after = 0.8
    assert heads[3] == "90_demo (of 4, counts 3 times)"
    assert rows[0][3:7] == [f"{saved_after:g}", "1 to be read", f"{3 * saved_after:g}", "12"]


def test_sheet_book_and_table_say_the_same_total_where_weights_are_set(place, capsys):
    with place.record() as record:
        record.set_asked("91_more", [("q1", "Rate", 5, False)])
        record.write(Marked("1", "91_more", "j", "d", "f", 0.0, "now",
                            questions=(Scored("q1", "Rate", 4.5, 5, "right"),)))
        plain = return_sheet(Student("1"), list(record.marked("1")))
        assert "5.5 of 9 points so far." in plain and "times" not in plain
    typed(place, "weight", "91", "3")
    assert f"renewed by: suspedu classbook --desk {place.folder}" in capsys.readouterr().out
    with place.record() as record:
        classbook.write_book(place.folder, record)
    sheet = (place.sheets / "1.html").read_text(encoding="utf-8")
    book = (place.folder / "classbook.html").read_text(encoding="utf-8")
    assert "14.5 of 19 points so far: the points of an exercise count as many times" in sheet
    assert "<td class=n>3 ×</td>" in sheet and "<td class=n>1 ×</td>" in sheet
    assert "<th class=n>91 (of 5, counts 3 times)</th><th class=n>total (of 19)</th>" in book
    assert "<td class=n>4.5</td><td class=n>14.5</td>" in book and "Weights are set" in book
    typed(place, "weight", "91", "1")
    assert "counts 1 time\n" in capsys.readouterr().out
    with place.record() as record:
        assert "Weights" not in classbook.as_page(figures(record)) and not figures(record).weights
    assert "5.5 of 9 points so far." in (place.sheets / "1.html").read_text(encoding="utf-8")
    assert ",14.5,19,76.3," in (place.folder / "marks.csv").read_text(encoding="utf-8-sig")


def test_the_pen_leaves_expected_values_on_sheets_that_show_them(place):
    with place.record() as record:
        one = handed_in("1")
        record.write(replace(one, questions=(replace(one.questions[0], expected="9 N\n"), *one.questions[1:])))
        write_sheets(place.sheets, record, with_solutions=True)
    typed(place, "points", "1", "90", "q1", "2", "--reason", "r", "--name", "n")
    assert "Expected:</p><pre>9 N" in (place.sheets / "1.html").read_text(encoding="utf-8")


def test_who_left_stands_in_no_table_and_gets_no_copy(place, course):
    typed(place, "leave", "1")
    found = desks.materials([], course / "solutions", course / "exercises")
    assert handout.hand_out(place, [Student("1"), Student("2")], found) == {"new": 1}
    with place.record() as record:
        assert [s.number for s in figures(record).students] == ["2", "3"] and ("1", DEMO) not in figures(record).marks
        assert record.left() == ["1", "5"] and len(list(record.marked("1"))) == 1  # nothing is lost
    typed(place, "back", "1")
    with place.record() as record:
        assert [s.number for s in record.students()] == ["1", "2", "3"]


def test_the_trail_tells_every_change_and_none_can_be_taken_out(place, capsys):
    typed(place, "weight", "90", "2")
    with place.record() as record:
        record.write(handed_in("1", earned=2.0))
        record.write(handed_in("1", earned=0.0, digest="e"))
        record.add_by_hand([("2", DEMO, "q4", 2.0, "well said", "words", "now")])
    typed(place, "trail")
    told = capsys.readouterr().out
    for said in ("student 1, 90_demo: 1 of 4", "90_demo counts 2 times", "1 before, now 2 of 4, the same file",
                 "2 before, now 0 of 4, another file", "student 2, 90_demo, q4: 2 by hand"):
        assert said in told
    with sqlite3.connect(place.folder / "record.sqlite") as base:
        for statement in ("DELETE FROM trail", "UPDATE trail SET said=''"):
            with pytest.raises(sqlite3.IntegrityError, match="the trail stays"):
                base.execute(statement)


def test_a_copy_before_each_change_brings_back_what_was(place, capsys, monkeypatch):
    hours = iter(f"2026-11-26 10.00.{k:02d}" for k in range(60))
    monkeypatch.setattr(backups.time, "strftime", lambda form: form.replace("%Y-%m-%d %H.%M.%S", next(hours)))
    typed(place, "weight", "90", "2")
    typed(place, "weight", "90", "5")
    typed(place, "copies")
    first, second = capsys.readouterr().out.splitlines()[-2:]
    typed(place, "restore", second)
    told = capsys.readouterr().out
    assert "it takes away 1 later line (" in told and "  90_demo counts 5 times" in told
    with place.record() as record:
        assert record.weights() == {DEMO: 2.0}
        told = [said for _, said in record.trail()]
        assert f"the record went back to the copy of {second}: it takes away 1 later line (" in told[-1]
        assert told[-2] == "90_demo counts 2 times"
    assert len(list(place.folder.glob("record before *.sqlite"))) == 1  # what was replaced is kept too
    (place.copies / f"record {first}.sqlite").write_bytes(b"SQLite format 3" + bytes(2000))
    with pytest.raises(InputError, match="damaged itself"):
        typed(place, "restore", first)
    with place.record() as record:
        assert record.weights() == {DEMO: 2.0}


def test_only_the_latest_copies_are_kept_and_none_of_what_is_the_same(place, monkeypatch):
    monkeypatch.setattr(backups, "KEPT", 3)
    hours = iter(f"2026-11-26 10.{k // 60:02d}.{k % 60:02d}" for k in range(600))
    monkeypatch.setattr(backups.time, "strftime", lambda form: form.replace("%Y-%m-%d %H.%M.%S", next(hours)))
    made = []
    for weight in range(5):
        typed(place, "weight", "90", str(weight))  # after a copy of what was
        made.append(backups.copies(place.copies)[-1])
    assert len(set(made)) == 5 and backups.copies(place.copies) == [made[0], *made[-3:]]
    place.back_up()
    place.back_up()  # nothing changed in between
    assert backups.copies(place.copies)[:3] == [made[0], *made[-2:]] and len(backups.copies(place.copies)) == 4


def test_one_evenings_corrections_leave_the_first_copy_of_each_earlier_day(place, monkeypatch):
    monkeypatch.setattr(backups, "KEPT", 3)
    monkeypatch.setattr(backups, "KEPT_DAYS", 4)
    hours = iter(f"2026-11-{day:02d} 10.00.{k:02d}" for day in range(1, 7) for k in range(5))
    monkeypatch.setattr(backups.time, "strftime", lambda form: form.replace("%Y-%m-%d %H.%M.%S", next(hours)))
    for content in range(30):
        monkeypatch.setattr(backups, "_content", lambda path, k=content: bytes([k]))
        place.back_up()
    assert [path.stem.removeprefix("record 2026-11-") for path in backups.copies(place.copies)] == [
        "03 10.00.00", "04 10.00.00", "05 10.00.00", "06 10.00.00", "06 10.00.02", "06 10.00.03", "06 10.00.04"]


def test_a_students_own_deadline_takes_off_what_the_class_rule_does(place, capsys):
    typed(place, "due", "90", "2026-12-01", "--student", "1")
    typed(place, "due", "90", "2026-12-01", "--late", "10")
    typed(place, "due", "90", "2026-12-08", "--student", "2")
    typed(place, "due", "90", "2026-12-09", "--student", "3", "--late", "0")
    assert "is due for student 2 on 2026-12-08, 10 % off for each day late" in capsys.readouterr().out
    with place.record() as record:
        assert {student: due.off_a_day for (_, student), due in record.dues().items()} == {
            "1": 1.0, "": 0.1, "2": 0.1, "3": 0.0}


def test_a_command_that_is_printed_can_be_pasted_where_the_path_has_blanks(place, tmp_path, capsys):
    there = desks.Desk(tmp_path / "my course's desk")
    place.folder.rename(there.folder)
    typed(there, "weight", "90", "2")
    typed(there, "weight", "90", "3")
    there.back_up()
    typed(there, "restore", backups.copies(there.copies)[0].stem.removeprefix("record "))
    said = capsys.readouterr().out
    (there.folder / "record.sqlite").unlink()
    with pytest.raises(InputError) as refusal:
        there.record()
    for typed_in in (*(line.partition("renewed by: ")[2] for line in said.splitlines() if "renewed by: " in line),
                     str(refusal.value).partition("comes back with: ")[2]):
        assert shlex.split(typed_in)[-2:] == ["--desk", str(there.folder)]
    assert said.count("renewed by: ") == 3


def test_a_damaged_record_is_a_sentence_that_says_where_to_go(place):
    path = place.folder / "record.sqlite"
    data = bytearray(path.read_bytes())
    data[100:] = b"\xff" * (len(data) - 100)
    path.write_bytes(data)
    with pytest.raises(InputError, match=r"is damaged; .*suspedu pen restore"), place.record() as record:
        list(record.marked())
