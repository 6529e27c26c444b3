"""Hand-outs, record, marks by hand, class book and pages, without running a kernel."""

import csv
import errno
import io
import json
import os
import re
import sqlite3
import threading
import time
import zipfile
from argparse import ArgumentParser

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.commands import classbook as command
from suspedu.commands import handout as handing_out
from suspedu.coursework.book import by_hand, classbook, sheet_page
from suspedu.coursework.book.class_figures import by_number, figures
from suspedu.coursework.book.marks_table import Wording, mark_rows, return_rows
from suspedu.coursework.desk import desk, handout, pen, returns
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.marking_round import Round
from suspedu.coursework.desk.owners import UNSEALED, Owners
from suspedu.coursework.desk.record_book import Marked, RecordBook, Scored
from suspedu.coursework.exercise import hygiene, verdicts
from suspedu.coursework.exercise.batch import Result
from suspedu.files import as_meant, csv_text, harmless
from suspedu.units import InputError

CLASS = [Student(str(1000 + k)) for k in range(1, 31)]


@pytest.fixture
def found(course):
    return desk.materials([], course / "solutions", course / "exercises")


def contents(folder):
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*.ipynb")}


def test_handout_is_reproducible_and_a_late_student_disturbs_nobody(tmp_path, found):
    place = desk.Desk(tmp_path / "desk")
    assert handout.hand_out(place, CLASS[:20], found) == {"new": 20}
    first = contents(place.handed_out)
    times = {p: p.stat().st_mtime_ns for p in place.handed_out.rglob("*.ipynb")}
    assert handout.hand_out(place, CLASS[:20], found) == {"same": 20}
    assert times == {p: p.stat().st_mtime_ns for p in place.handed_out.rglob("*.ipynb")}
    assert handout.hand_out(place, CLASS[:21], found) == {"same": 20, "new": 1}
    assert first.items() <= contents(place.handed_out).items()


def test_a_copy_that_somebody_worked_in_is_never_written_over(tmp_path, found, course, capsys):
    place, table = desk.Desk(tmp_path / "my desk"), tmp_path / "class.csv"
    table.write_text("number\n1001\n1002\n1003\n1004\n", encoding="utf-8")

    def say(*more):
        parser = ArgumentParser()
        handing_out.add_arguments(parser)
        assert handing_out.run(parser.parse_args([str(table), "90", "--desk", str(place.folder), "--solutions",
                                                  str(course / "solutions"), *more])) == 0
        return capsys.readouterr().out
    say()
    copies = sorted(place.handed_out.rglob("*.ipynb"))
    book = json.loads(copies[0].read_bytes())
    one_more = {"cell_type": "markdown", "id": "mine", "metadata": {}, "source": ["my notes\n"]}
    copies[0].write_bytes(hygiene.written(book | {"cells": [*book["cells"], one_more]}))  # in our own form
    copies[1].write_text(copies[1].read_text(encoding="utf-8").replace("rate = ...", "rate = 5"), encoding="utf-8")
    worked = [copy.read_bytes() for copy in copies[:2]]
    for more, others in (((), "2 unchanged"), (("--new-secret",), "2 unchanged")):
        said = say(*more)
        assert f"0 written, 0 renewed, {others}, 2 left as they are" in said
        assert "- somebody has worked in these copies; move them away to have them written anew: 1001/90_demo.ipynb, " \
               "1002/90_demo.ipynb" in said and [copy.read_bytes() for copy in copies[:2]] == worked
    copies[0].unlink()
    (place.folder / "course_secret").unlink()
    said = say("--new-secret")  # new seals: who did nothing yet gets a copy that counts
    assert "1 written, 2 renewed, 0 unchanged, 1 left as they are" in said
    assert copies[1].read_bytes() == worked[1]
    (place.folder / "handed_out.sha256").unlink()  # as an earlier version left it
    (place.folder / "course_secret").unlink()
    book = json.loads(copies[3].read_bytes())
    copies[3].write_text(json.dumps(book | {"metadata": book["metadata"] | {"kernelspec": {}}}), encoding="utf-8")
    assert "0 written, 2 renewed, 0 unchanged, 2 left as they are" in say("--new-secret")
    with place.record() as record:
        pen.take_leave(record, "1003")
    table.write_text("number\n1001\n1003\n", encoding="utf-8")
    said, folder = say(), f"'{place.folder}'"
    assert f"- left the class and got no copy: 1003 (who is back: suspedu pen back NUMBER --desk {folder})" in said
    assert ("- in the class, but not in 'class.csv', and without a new copy: 1002, 1004 (who left: suspedu pen leave "
            f"NUMBER --desk {folder})") in said and "left as they are" not in said


def test_handouts_carry_own_numbers_and_no_solution(tmp_path, found):
    place = desk.Desk(tmp_path / "desk")
    handout.hand_out(place, CLASS, found)
    copies = contents(place.handed_out)
    numbers = {re.search(rb"wire = ([\d.]+)", data)[1] for data in copies.values()}
    assert len(numbers) >= 8 and b"4.5" not in numbers  # 12 rows over 30 students; never the practice row
    for data in copies.values():
        assert b"79.3e9" not in data and b'"rows"' not in data and b"Worked in full" not in data


def test_another_secret_gives_other_numbers(tmp_path, found):
    rows = []
    for name in ("a", "b"):
        place = desk.Desk(tmp_path / name)
        handout.hand_out(place, CLASS, found)
        with place.record() as record:
            rows.append(record.handouts())
    assert sum(rows[0][key] != rows[1][key] for key in rows[0]) > 15


def marked(student, points, verdict="right", answer="words", **rest):
    questions = (Scored("q1", "Rate", points, 2, verdict, printed="1 N"),
                 Scored("q4", "In words", None, 2, "by hand", "waits", answer=answer))
    return Marked(student, "90_demo", "job", "digest", "file", 0.0, "now", questions=questions, **rest)


@pytest.fixture
def record(tmp_path):
    with RecordBook(tmp_path / "desk" / "record.sqlite") as book:
        book.add_students(CLASS)
        book.set_asked("90_demo", [("q1", "Rate", 2, False), ("q4", "In words", 2, True)])
        for k, student in enumerate(CLASS[:10]):
            book.write(marked(student.number, 2 if k % 2 else 0, "right" if k % 2 else "wrong", f"words {k}"))
        yield book


def change(path, edit):
    """Rewrite a CSV as a spreadsheet does after somebody edited it."""
    rows = list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig"), newline="")))
    edit(rows)
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, rows[0].keys(), delimiter=";")
    writer.writeheader()
    writer.writerows(rows)
    path.write_bytes(out.getvalue().encode("utf-16"))


def test_marks_by_hand_go_out_and_come_back(tmp_path, record):
    path = tmp_path / "words.csv"
    assert by_hand.write_words(path, record) == 10
    change(path, lambda rows: (rows[0].update(points="1,5", remark="Good; name the rate."), rows[1].update(points="0")))
    assert by_hand.take(path, record) == ["1001", "1002"]
    assert by_hand.take(path, record) == []
    kept = next(record.marked("1001")).questions[1]
    assert (kept.earned, kept.hint) == (1.5, "Good; name the rate.")
    record.write(marked("1001", 2, answer="other words"))  # handed in anew: waits to be read again
    assert next(record.marked("1001")).questions[1].earned is None


def test_what_was_filled_in_and_not_read_yet_is_not_written_over(tmp_path, record):
    path = tmp_path / "my words.csv"
    by_hand.write_words(path, record)
    by_hand.write_words(path, record)  # nothing was filled in
    for edit in (lambda rows: rows[1].update(points="1"), lambda rows: rows[1].update(remark="look again"),
                 lambda rows: rows[1].update(points="one")):
        change(path, edit)
        before = path.read_bytes()
        with pytest.raises(InputError, match=r"not read in yet \(row 3\); read them first with 'suspedu classbook "
                                             r"--read '.*my words.csv''"):
            by_hand.write_words(path, record)
        assert path.read_bytes() == before
        path.unlink()
        by_hand.write_words(path, record)
    change(path, lambda rows: (rows[1].update(points="1", remark="= half; -1"), rows[2].update(points="0,333333333")))
    assert by_hand.take(path, record) == ["1002", "1003"]
    by_hand.write_words(path, record)  # it is in the record, and in the file that is written
    assert [row["points"] for row in csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig")))][:3] == [
        "", "1", "0.333333"]
    record.write(marked("1002", 2, answer="other words"))  # what was read is kept, for the answer that was read
    by_hand.write_words(path, record)
    change(path, lambda rows: rows[1].update(points="2"))
    record.write(marked("1002", 2, answer="third words"))
    with pytest.raises(InputError, match="not read in yet"):  # nor what can no longer be read in
        by_hand.write_words(path, record)


def test_no_other_file_is_written_over_by_answers_in_words(tmp_path, record):
    path = tmp_path / "class.csv"
    for content in ("number,name\n1001,Ann\n", "", "\0\1"):
        path.write_text(content, encoding="utf-8")
        with pytest.raises(InputError, match="no table of answers in words; write them under another name"):
            by_hand.write_words(path, record)
        assert path.read_text(encoding="utf-8") == content


@pytest.mark.parametrize("edit, words", [
    (lambda rows: rows[2].update(points="2.5"), "row 4: points are 2.5; allowed: 0 to 2"),
    (lambda rows: rows[2].update(points="-1"), "row 4: points are -1"),
    (lambda rows: rows[2].update(points="nan"), "row 4"),
    (lambda rows: rows[2].update(points="two"), "row 4: points are 'two'"),
    (lambda rows: rows[2].update(student="9999", points="1"), "row 4: the record has no answer"),
    (lambda rows: rows[2].update(question="q1", points="1"), "row 4: the record has no answer"),
    (lambda rows: rows[2].update(student="1001", points="1") or rows[0].update(points="1"), "row 4"),
    (lambda rows: rows[2].update(version="v00000000", points="1"), "handed in anew"),
    (lambda rows: rows[2].update(remark="good"), "no points"),
    (lambda rows: rows[2].update(points="1", remark="x" * 3000), "remark has 3000"),
    (lambda rows: [row.pop("points") for row in rows], "no column 'points'")])
def test_slips_in_marks_by_hand_are_refused_by_row_and_nothing_is_taken(tmp_path, record, edit, words):
    path = tmp_path / "words.csv"
    by_hand.write_words(path, record)
    change(path, lambda rows: (rows[9].update(points="1"), edit(rows)))
    with pytest.raises(InputError) as refusal:
        by_hand.take(path, record)
    assert words in str(refusal.value)
    assert all(q.earned is None for m in record.marked() for q in m.questions if q.verdict == "by hand")


def test_classbook_counts_rightly(record, tmp_path):
    record.write(Marked("1011", "90_demo", "j", "", "f", 0.0, "now", "it is empty",
                        questions=(Scored("q1", "Rate", 0, 2, "not marked"),)))
    found = figures(record)
    assert found.missing("90_demo") == [s.number for s in CLASS[11:]]
    assert found.questions[0].item.share == 0.5 and found.questions[0].item.count == 10
    assert found.questions[0].roads == ((5, "a value that fits none of the known slips"),)
    assert found.questions[1].waiting == 10
    text, html = classbook.as_text(found), classbook.as_page(found)
    assert "50 %" in text and "Not returned 90_demo: 1012" in text
    assert html.count("<svg") == 2 and "Kelley" in html and "not returned" in html and "not markable" in html
    assert "<th class=n>90 (of 4)</th>" in html and "<td class=n>0 *</td>" in html and ">name<" not in html
    assert "<li>5 × a value that fits none" in html
    assert return_rows(record, Wording())[1] == ("1002", "90_demo", "2", 4, "now", "digest")


def test_an_exercise_shows_up_once_it_is_handed_out(record):
    record.set_asked("91_later", [("q1", "A title that is far too long, by a word or two, for it", 2, False)])
    assert figures(record).exercises == ("90_demo",)
    record.add_handout([("1001", "91_later", 3)])
    found = figures(record)
    assert found.exercises == ("90_demo", "91_later") and len(found.missing("91_later")) == 30
    assert "Nobody has returned it yet" in classbook.as_page(found)
    record.write(Marked("1001", "91_later", "j", "", "f", 0.0, "now", questions=(Scored("q1", "Rate", 2, 2, "right"),)))
    assert ">q1 A title that is far too long, by a…</text>" in classbook.as_page(figures(record))


def test_a_formula_in_a_name_stays_text():
    assert csv_text(["a"], [["=cmd()"], ["-1.5"], ["@x"]]).split("\r\n")[1:4] == ["'=cmd()", "-1.5", "'@x"]


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@settings(max_examples=60)
@given(st.lists(st.text(alphabet="=+-@1a .,;|\t\r\n'\"", max_size=12), min_size=1, max_size=3))
def test_no_cell_runs_whatever_a_spreadsheet_cuts_at(separator, cells):
    """Read again by programs that cut at each of four signs; a number may begin with its sign."""
    text = csv_text(["a"] * len(cells), [cells], separator)
    for cut in (",", ";", "\t", "|"):
        for row in list(csv.reader(io.StringIO(text, newline=""), delimiter=cut)):
            for cell in row:
                begins = cell.strip(" \r\n\"")[:2]
                assert begins[:1] not in ("=", "@") and (begins[:1] not in ("+", "-") or begins[1:] == "1"), cell
    for cell in cells:
        if "'" not in cell:
            assert as_meant(harmless(cell)) == cell


def test_sheet_escapes_shortens_and_keeps_solutions_back():
    question = Scored("q1", "<b>Rate", 0, 2, "wrong", "hint", "1 N", "999.5 N", "<script>x</script>" + "y" * 10**7)
    one = Marked("1001", "90_demo", "j", "d" * 64, "file", 0.0, "now", questions=(question,), notes=("<i>",))
    text = sheet_page.return_sheet(Student("1001", "<img src=x>"), [one])
    assert len(text) < 20_000 and "999.5" not in text
    assert not re.search(r"<(script|img|i|b)\b", text) and "Content-Security-Policy" in text
    assert "Expected:</p><pre>999.5 N" in sheet_page.return_sheet(Student("1001"), [one], with_solutions=True)


def test_a_design_of_ours_is_called_one_of_many():
    """Any design that has the property is right: the solution's is not "expected"."""
    one = Marked("1001", "90_demo", "j", "d" * 64, "file", 0.0, "now",
                 questions=(Scored("stack", "Stack", 0, 2, "wrong", expected="hole: 1.2\nstack: 20x0.15 18x0.1\n"),))
    text = sheet_page.return_sheet(Student("1001"), [one], with_solutions=True)
    assert "One design that meets it:" in text and "Expected:" not in text


def test_record_is_whole_or_not_at_all(tmp_path, record):
    broken = marked("1001", 2)
    doubled = Marked(**{**vars(broken), "questions": (broken.questions[0],) * 2})
    before = next(record.marked("1001"))
    with pytest.raises(sqlite3.IntegrityError):
        record.write(doubled)
    assert next(record.marked("1001")) == before


def test_two_writers_take_turns(tmp_path, record):
    def write(points):
        with RecordBook(record.path) as book:
            for _ in range(20):
                book.write(marked("1001", points))
    threads = [threading.Thread(target=write, args=(k,)) for k in (0, 1, 2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(list(record.marked())) == 10


def test_a_damaged_or_newer_record_is_refused_in_words(tmp_path):
    path = tmp_path / "record.sqlite"
    path.write_bytes(b"not a database at all" * 100)
    with pytest.raises(InputError, match="is damaged"):
        RecordBook(path)
    path.unlink()
    with sqlite3.connect(path) as base:
        base.execute("PRAGMA user_version=99")
    base.close()
    with pytest.raises(InputError, match="newer version"):
        RecordBook(path)
    with pytest.raises(InputError, match="hand out first"):
        desk.Desk(tmp_path / "empty").record()
    assert not (tmp_path / "empty").exists()  # a mistyped name leaves no folder


@pytest.mark.parametrize("parts, owners", [
    (("1003", "90_demo.ipynb"), ["1003"]), (("90_demo_1003.ipynb",), ["1003"]), (("1003 (1).ipynb",), ["1003"]),
    (("Ann 1003_assign", "1004.ipynb"), ["1003"]), (("a1003.ipynb",), []),
    (("1003 and 1004", "x.ipynb"), ["1003", "1004"]), (("90_demo.ipynb",), []),
    (("late", "1003-90_demo.ipynb.txt"), ["1003"])])
def test_whose_a_file_is(parts, owners):
    assert Owners([Student(number) for number in ("1003", "1004", "90")], ["90_demo"], b"").by_path(parts) == owners


def test_what_may_not_be_read_is_said(tmp_path, monkeypatch):
    """Permissions are made up, for root may read everything: a shut folder and a shut file, both of a student."""
    for number in ("1001", "1002"):
        (tmp_path / number).mkdir()
        (tmp_path / number / "90_demo.ipynb").write_text("{}")
    look, open_file = os.scandir, os.open

    def shut(function, end):
        def refused(path, *rest, **more):
            if str(path).endswith(end):
                raise PermissionError(errno.EACCES, "Permission denied", str(path))
            return function(path, *rest, **more)
        return refused

    monkeypatch.setattr(os, "scandir", shut(look, "1001"))
    monkeypatch.setattr(os, "open", shut(open_file, "1002/90_demo.ipynb"))
    taken, aside = returns.collect(tmp_path, Owners([Student("1001"), Student("1002")], ["90_demo"], b""))
    assert [(r.student, r.fault) for r in taken] == [
        ("1002", "'90_demo.ipynb' cannot be read: its permissions forbid it")]
    assert aside == [f"folder '{tmp_path / '1001'}' cannot be looked into: Permission denied"]


def test_newest_valid_file_counts(tmp_path, course):
    good = (course / "exercises" / "90_demo.ipynb").read_text(encoding="utf-8")
    place = tmp_path / "r"
    place.mkdir()
    with zipfile.ZipFile(place / "class.zip", "w") as box:
        for name, text, when in (("a", good, 2020), ("b", good + " ", 2024), ("c", "{", 2025)):
            box.writestr(zipfile.ZipInfo(f"1001/{name}.ipynb", (when, 1, 1, 0, 0, 0)), text)
    taken, aside = returns.collect(place, Owners([Student("1001")], ["90_demo"], b"", unsealed=True))
    assert not aside and len(taken) == 1
    assert taken[0].origin == "class.zip/1001/b.ipynb" and "3 files" in taken[0].notes[1]
    assert taken[0].notes[0] == UNSEALED
    assert time.localtime(taken[0].when).tm_year == 2024 and json.loads(taken[0].read())["cells"]


def test_a_date_in_the_future_does_not_win(tmp_path, course):
    good = (course / "exercises" / "90_demo.ipynb").read_text(encoding="utf-8")
    for name, ahead in (("of today", -60), ("of next year", 366 * 86400)):
        path = tmp_path / "1001" / f"{name}.ipynb"
        path.parent.mkdir(exist_ok=True)
        path.write_text(good, encoding="utf-8")
        os.utime(path, (time.time() + ahead,) * 2)
    taken, _ = returns.collect(tmp_path, Owners([Student("1001")], ["90_demo"], b"", unsealed=True))
    assert taken[0].origin == "1001/of today.ipynb"


def test_marks_are_a_line_for_each_student_of_the_list(tmp_path):
    with RecordBook(tmp_path / "r.sqlite") as record:
        record.add_students([Student("1", "Ann", other={"group": "B"}), Student("2"), Student("3", address="c@x.org")])
        record.set_asked("90_demo", [("q1", "Rate", 2, False), ("q4", "Words", 2, True)])
        record.add_handout([("1", "90_demo", 3)])
        done = Scored("q1", "Rate", 1.5, 2, "right")
        for student, words in (("1", 2.0), ("2", None)):
            record.write(Marked(student, "90_demo", "j", "d", "f", 0.0, "now",
                                questions=(done, Scored("q4", "Words", words, 2, "right" if words else "by hand"))))
        heads, rows = mark_rows(figures(record), Wording(comma=True))
        assert heads == ["student", "name", "address", "group", "90_demo (of 4)", "90_demo state", "total", "of",
                         "percent", "answers that wait to be read"]
        assert rows == [["1", "Ann", "", "B", "3,5", "marked", "3,5", "4", "87,5", "0"],
                        ["2", "", "", "", "1,5", "1 to be read", "1,5", "4", "37,5", "1"],
                        ["3", "", "c@x.org", "", "", "not returned", "0", "4", "0", "0"]]
        record.add_students([Student("2", platform="48213")])
        heads, rows = mark_rows(figures(record), Wording())
        assert heads[:5] == ["student", "name", "address", "platform number", "group"]
        assert [row[:5] for row in rows][:2] == [["1", "Ann", "", "", "B"], ["2", "", "", "48213", ""]]
        record.add_students([Student("2")])
        record.set_aside(["'x.ipynb' belongs to nobody: <b>"])
        classbook.write_book(tmp_path, record, Wording(";", comma=True))
    table = (tmp_path / "marks.csv").read_text(encoding="utf-8-sig").splitlines()
    assert table[1] == "1;Ann;;B;3,5;marked;3,5;4;87,5;0"
    assert "&#39;x.ipynb&#39; belongs to nobody: &lt;b&gt;" in (tmp_path / "classbook.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("hidden", [False, True])
def test_equal_words_are_read_once_and_count_for_all_who_wrote_them(tmp_path, hidden):
    with RecordBook(tmp_path / "r.sqlite") as record:
        record.add_students([Student(n) for n in "123"])
        record.set_asked("90_demo", [("q4", "Words", 2, True)])
        record.set_wording("90_demo", [("q4", "## 4. In your words", "The rate stays.", "2: says both")])
        for number, words in (("1", "it stays"), ("2", "it goes"), ("3", "it stays")):
            record.write(Marked(number, "90_demo", "j", "d", "f", 0.0, "now",
                                questions=(Scored("q4", "Words", None, 2, "by hand", answer=words),)))
        path = tmp_path / "words.csv"
        assert by_hand.write_words(path, record, hidden) == 3
        rows = list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig"), newline="")))
        assert [row["answer"] for row in rows] == ["it stays", "it goes"]
        assert {(row["asked"], row["model answer"], row["rubric"]) for row in rows} == {
            ("## 4. In your words", "The rate stays.", "2: says both")}
        assert (rows[0]["student"] == "1 3") is not hidden and len(rows[0]["student"].split()) == 2
        assert sheet_page.write_sheets(tmp_path / "sheets", record) == 3 and "says both" not in sheet_of(tmp_path, "1")
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, rows[0])
            writer.writeheader()
            writer.writerows(row | {"points": points} for row, points in zip(rows, (2, 0), strict=True))
        assert by_hand.take(path, record) == ["1", "2", "3"]
        assert {m.student: m.earned for m in record.marked()} == {"1": 2.0, "2": 0.0, "3": 2.0}
        assert sheet_page.write_sheets(tmp_path / "sheets", record) == 3  # what had to be said, once it is marked
        assert "What had to be said" in sheet_of(tmp_path, "2") and "2: says both" in sheet_of(tmp_path, "2")


REPORT = (("1", "one", "", "5 N\n"), ("2", "-1 is odd", "", "5 N\n"), ("3", "one", "", "6 N\n"),
          ("10", "one", "", "5 N\n"), ("4", "Write here.", "not answered yet", "5 N\n"))


@pytest.fixture
def report(tmp_path):
    """A report in two parts, whose ids do not sort as they are asked, on a figure that a check printed."""
    with RecordBook(tmp_path / "record.sqlite") as record:
        record.add_students([Student(number) for number, *_ in REPORT])
        record.set_asked("90_demo", [("force", "Force", 2, False), ("report", "One", 2, True), ("and", "Two", 2, True)])
        record.set_wording("90_demo", [("report", "Say it.", "5 N", "2: the figure"), ("and", "So?", "", "")])
        for number, words, verdict, printed in REPORT:
            record.write(Marked(number, "90_demo", "j", "d", "f", 0.0, "now", questions=(
                Scored("force", "Force", 2, 2, "right", printed=printed, expected=printed),
                Scored("report", "One", 0 if verdict else None, 2, verdict or "by hand", answer=words),
                Scored("and", "Two", None, 2, "by hand", answer="so"))))
        yield record


def test_words_stand_beside_the_figures_they_speak_of_in_the_exercises_order(tmp_path, report):
    path = tmp_path / "words.csv"
    assert by_hand.write_words(path, report, wording=Wording(";", comma=True)) == 9
    text = path.read_text(encoding="utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text, newline=""), delimiter=";"))
    assert [(row["student"], row["question"], row["answer"], row["figures"]) for row in rows] == [
        ("1 10", "report", "one", "force: 5 N"), ("2", "report", "'-1 is odd", "force: 5 N"),
        ("3", "report", "one", "force: 6 N"), ("1 2 4 10", "and", "so", "force: 5 N"), ("3", "and", "so", "force: 6 N")]


def test_hidden_rows_do_not_tell_by_their_order_who_wrote_them(tmp_path, report):
    path = tmp_path / "words.csv"
    by_hand.write_words(path, report, hidden=True)
    rows = list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig"), newline="")))
    signs = [row["student"].split()[0] for row in rows if row["question"] == "report"]
    assert signs == sorted(signs, key=by_number) and set(signs) <= {by_hand.sign(number) for number, *_ in REPORT}


def test_what_given_cells_printed_is_kept_with_the_marks_and_stands_beside_the_words(tmp_path, found):
    """A crew that marks nothing stands in for the kernels; the file is kept as it was handed out."""
    def crew(tasks, count):
        for task in tasks:
            rows = [verdicts.Row(q.id, q.title, q.possible, 0, verdicts.BY_HAND if q.verdict is None else "wrong")
                    for q in task.merged.questions()]
            yield Result(task.name, tuple(rows), (), "none", {}, given="aim 6 N\nspread 0.2 N")
    place = desk.Desk(tmp_path / "desk")
    handout.hand_out(place, CLASS[:1], found)
    with place.record() as record:
        taken, _ = returns.collect(place.handed_out, Owners(record.students(), list(found), place.secret()))
        Round(record, place, found, taken).run(crew)
        by_hand.write_words(tmp_path / "words.csv", record)
    assert "given: aim 6 N / spread 0.2 N" in (tmp_path / "words.csv").read_text(encoding="utf-8-sig")


def test_what_is_guarded_for_a_spreadsheet_comes_back_as_it_was_and_with_a_comma(tmp_path, report):
    path = tmp_path / "words.csv"
    for remark in ("-1: no unit", "= is meant; -1 for it"):
        by_hand.write_words(path, report)
        change(path, lambda rows, told=remark: [row.update(points="1,5", remark=told) for row in rows])
        assert set(by_hand.take(path, report)) == {"1", "2", "3", "4", "10"}
        by_hand.write_words(path, report, wording=Wording(";", comma=True))
        assert f";1,5;{harmless(remark)}" in path.read_text(encoding="utf-8-sig").replace('"', "")
        assert by_hand.take(path, report) == []  # written and read: nothing changed
    assert next(report.marked("2")).questions[1].hint == remark


def test_who_said_nothing_does_not_read_what_had_to_be_said(tmp_path, report):
    report.add_by_hand([("1", "90_demo", "report", 2.0, "", "one", "now")])
    sheet_page.write_sheets(tmp_path / "sheets", report)
    assert "2: the figure" in sheet_of(tmp_path, "1") and "2: the figure" not in sheet_of(tmp_path, "4")


def typed(tmp_path, *words):
    parser = ArgumentParser()
    command.add_arguments(parser)
    return command.run(parser.parse_args([*words, "--desk", str(tmp_path)]))


def test_the_class_book_makes_the_sheets_with_expected_values_or_without(tmp_path, report, capsys):
    for words, shown in (((), False), (("--with-solutions",), True), ((), False), (("--with-solutions",), True)):
        typed(tmp_path, *words)
        sheet = (tmp_path / "return_sheets" / "1.html").read_text(encoding="utf-8")
        assert ("Expected:</p><pre>5 N" in sheet) is shown
        assert f"5 return sheets new or changed, {'with' if shown else 'without'} expected" in capsys.readouterr().out
    sheet_page.write_sheets(tmp_path / "return_sheets", report, with_solutions=None)  # as the pen does
    assert "Expected:</p><pre>5 N" in (tmp_path / "return_sheets" / "1.html").read_text(encoding="utf-8")


def test_students_are_in_the_order_of_their_numbers_and_one_is_one(report, tmp_path):
    found = figures(report)
    assert [s.number for s in found.students] == ["1", "2", "3", "4", "10"]
    with RecordBook(tmp_path / "other.sqlite") as one:
        one.add_students([Student("10"), Student("9")])
        one.set_asked("90_demo", [("q1", "Rate", 2, False)])
        one.add_handout([("9", "90_demo", 1)])
        assert "Not returned 90_demo: 9, 10" in classbook.as_text(figures(one))
        one.rows("DELETE FROM student WHERE number='10'")
        assert "Class of 1 student\n" in classbook.as_text(figures(one))
        assert "<h1>Class book: 1 student</h1>" in classbook.as_page(figures(one))


def sheet_of(folder, student):
    return (folder / "sheets" / f"{student}.html").read_text(encoding="utf-8")


def test_what_a_question_in_words_asks_comes_from_its_notebooks(found):
    (question, asked, model, rubric), = handout.wording(found["90_demo"])
    assert (question, model) == ("q4", "The force moves, the rate stays.") and asked.startswith("## 3.")
    assert rubric == "1 point: the force moves\n1 point: the rate stays"
