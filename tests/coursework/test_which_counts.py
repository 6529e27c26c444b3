"""Which of several files of one student counts, in one run and over several, and what whoever marks is told of it."""

import json
import os
import time
import zipfile
from argparse import Namespace
from dataclasses import replace

import pytest

from suspedu.commands import mark
from suspedu.coursework.desk import handout, own_numbers, pen, returns, workers
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.desk import Desk, materials
from suspedu.coursework.desk.marked import Marked, Scored
from suspedu.coursework.desk.marked_rows import Counted
from suspedu.coursework.desk.owners import Owners
from suspedu.coursework.desk.which_counts import HandedIn, left_as_it_is, of_several
from suspedu.coursework.exercise.expected import Expected

NAME, DAY = "90_demo", 86400.0
BLANK, WRONG, RIGHT = "", "rate = 1", "rate = 2"
NOW = time.time() // 10 * 10 - 30 * DAY


@pytest.fixture
def marking(tmp_path, course, monkeypatch, capsys):
    """A desk of three, and a way to mark files without kernels: q1 earns what its answer sets."""
    found, place = materials([], course / "solutions", course / "exercises"), Desk(tmp_path / "desk")
    handout.hand_out(place, [Student("1001"), Student("1002"), Student("1003")], found)

    def crew(tasks, total):
        for task in tasks:
            result = workers._given_up(task)
            given = next(c.source for c in task.merged.cells if c.id == "q1-answer").strip()
            first = replace(result.rows[0], earned=int(given[-1]) if given[-1].isdigit() else 0)
            yield replace(result, rows=(first, *result.rows[1:]))
    monkeypatch.setattr(workers, "crew", lambda *words: crew)
    prints = {q.id: Expected("1 N\n") for q in found[NAME].solution.questions() if q.verdict}
    monkeypatch.setattr(own_numbers, "known_prints", lambda record, material, wanted: [prints] * len(wanted))

    class Marking:
        desk, folder = place, tmp_path

        def write(self, path, answer, when=NOW, extra=""):
            """A file of the student who is named first in its name, or of whose folder it lies in."""
            path = tmp_path / path
            book = json.loads((place.handed_out / path.parent.name / f"{NAME}.ipynb").read_bytes())
            for cell in book["cells"]:
                if cell["id"] == "q1-answer" and answer:
                    cell["source"] = answer
            book["metadata"]["saved by"] = extra
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(json.dumps(book), encoding="utf-8")
            os.utime(path, (when, when))
            return path

        def mark(self, where):
            args = Namespace(returns=tmp_path / where, exercise=[], desk=place.folder, mode="limited", cluster=None,
                             solutions=course / "solutions", exercises=course / "exercises", threads=0,
                             with_solutions=False, unsealed=False, as_root=True)
            assert mark.run(args) == 0
            return capsys.readouterr().out

        def marked(self):
            with place.record() as record:
                return {m.student: m for m in record.marked()}

        def points(self):
            return {student: m.earned for student, m in self.marked().items()}
    return Marking()


def test_an_older_folder_marked_again_undoes_no_newer_mark(marking):
    for number in ("1001", "1002"):
        marking.write(f"week1/{number}/a.ipynb", WRONG, NOW - 7 * DAY)
        marking.write(f"week2/{number}/b.ipynb", RIGHT, NOW)
    marking.mark("week1")
    marking.mark("week2")
    assert marking.points() == {"1001": 2.0, "1002": 2.0}
    for _ in range(2):
        said = marking.mark("week1")
        assert marking.points() == {"1001": 2.0, "1002": 2.0}
        assert "0 marked, 0 could not be marked, 0 unchanged since the last run, 2 left as they are" in said
        day = time.strftime("%Y-%m-%d %H:%M", time.localtime(NOW - 7 * DAY))
        told = f"'1001/a.ipynb' of {day} is older than the one that counts ('1001/b.ipynb' of"
        assert f"student 1001, {NAME}: {told}" in said
    with marking.desk.record() as record:
        assert sum("left as it is" in said for said in record.aside()) == 2
    assert "2 unchanged" in marking.mark("week2")
    marking.write("week3/1001/c.ipynb", WRONG, NOW + DAY)
    marking.mark("week3")
    assert marking.points() == {"1001": 1.0, "1002": 2.0}


def test_a_newer_file_that_another_run_marks_meanwhile_is_not_undone(marking, monkeypatch):
    marking.write("a/1001/x.ipynb", WRONG, NOW - DAY)
    once = workers.crew

    def slow(tasks, total):
        results = list(once()(tasks, total))
        with marking.desk.record() as record:
            record.write(Marked("1001", NAME, "j", "newer", "b/1001/x.ipynb", NOW, "now",
                                questions=(Scored("q1", "Rate", 2, 2, "right"),)))
        yield from results
    monkeypatch.setattr(workers, "crew", lambda *words: slow)
    assert "is older than the one that counts ('b/1001/x.ipynb' of" in marking.mark("a")
    assert marking.points() == {"1001": 2.0}


def test_a_file_that_cannot_be_read_takes_no_mark_away_and_is_replaced_by_any_that_can(marking):
    marking.write("a/1001/x.ipynb", RIGHT, NOW - DAY)
    marking.mark("a")
    for number in ("1001", "1002"):
        path = marking.folder / "b" / number / "x.ipynb"
        path.parent.mkdir(parents=True)
        path.write_text("{", encoding="utf-8")
    said = marking.mark("b")
    assert marking.points() == {"1001": 2.0, "1002": 0.0}
    assert f"student 1001, {NAME}: '1001/x.ipynb' cannot be read (" in said and "and one that can be counts" in said
    assert f"- student 1002, {NAME} could not be marked: " in said and "1 could not be marked" in said
    marking.write("c/1002/x.ipynb", WRONG, NOW - 9 * DAY)
    marking.mark("c")
    assert marking.points() == {"1001": 2.0, "1002": 1.0}


def test_the_same_file_saved_twice_counts_by_its_first_date_in_one_run_and_over_several(marking):
    first, again = NOW - 5 * DAY, NOW
    for path, when in (("a/1001/x.ipynb", first), ("a/1001/x (1).ipynb", again), ("b/1002/y.ipynb", again)):
        marking.write(path, RIGHT, when)
    marking.mark("a")
    marking.mark("b")
    assert {n: m.saved for n, m in marking.marked().items()} == {"1001": first, "1002": again}
    marking.write("c/1002/y.ipynb", RIGHT, first)
    assert "1 unchanged" in marking.mark("c")
    marking.mark("b")  # the later copy once more
    assert {n: m.saved for n, m in marking.marked().items()} == {"1001": first, "1002": first}
    with marking.desk.record() as record:
        assert sum("the same file was saved" in said for _, said in record.trail()) == 1


def test_a_first_file_saved_again_does_not_come_back_over_a_newer_one(marking):
    marking.write("a/1001/x.ipynb", WRONG, NOW - 2 * DAY)
    marking.write("a/1001/x (1).ipynb", RIGHT, NOW - DAY)
    marking.write("a/1001/x (2).ipynb", WRONG, NOW)
    marking.mark("a")
    assert marking.points() == {"1001": 2.0}


@pytest.mark.parametrize(("names", "answers", "counts", "why"), [
    (("x.ipynb", "x (1).ipynb"), (BLANK, RIGHT), "x (1).ipynb", "alone holds an answer"),
    (("x.ipynb", "x (1).ipynb"), (RIGHT, BLANK), "x.ipynb", "alone holds an answer"),
    (("z.ipynb", "a.ipynb"), (BLANK, RIGHT), "a.ipynb", "alone holds an answer"),
    (("x.ipynb", "x (1).ipynb"), (WRONG, RIGHT), "x (1).ipynb", "is the last by its name"),
    (("x (2).ipynb", "x (10).ipynb", "x (9).ipynb"), (WRONG, RIGHT, WRONG), "x (10).ipynb", "is the last by its name"),
    (("x (2).ipynb", "x (1).ipynb", "x.ipynb"), (BLANK, RIGHT, WRONG), "x (1).ipynb", "is the last by its name")])
def test_of_files_with_the_same_date_an_answered_one_counts_then_the_last_copy(marking, names, answers, counts, why):
    for k, (name, answer) in enumerate(zip(names, answers, strict=True)):
        marking.write(f"a/1001/{name}", answer, NOW + 0.3 * k, extra=name)
    said = marking.mark("a")
    assert f"student 1001, {NAME}: {len(names)} files have the same date; '1001/{counts}' counts, which {why}" in said
    assert marking.points() == {"1001": 2.0}
    if BLANK in answers:  # and over several runs
        marking.write("b/1001/late.ipynb", BLANK, NOW, extra="opened once more")
        assert "is as old as the one that counts, and no question in it is answered" in marking.mark("b")
        assert marking.points() == {"1001": 2.0}


def test_each_student_of_whom_a_file_was_chosen_or_left_is_named(marking):
    for number in ("1001", "1002"):
        for name, answer in (("x.ipynb", BLANK), ("y.ipynb", RIGHT)):
            marking.write(f"a/{number}/{name}", answer)
            marking.write(f"old/{number}/{name}", WRONG, NOW - DAY)
    for where, words in (("a", "counts, which alone"), ("old", "left as it is")):
        said = marking.mark(where).splitlines()
        for number in ("1001", "1002"):
            assert sum(line.startswith(f"- student {number}, {NAME}") and words in line for line in said) == 1, said


def test_where_no_date_tells_which_is_newer_the_last_one_marked_counts_and_that_is_said(marking):
    for where, answer in (("a", RIGHT), ("b", WRONG)):
        marking.write(f"{where}/1001/{where}.ipynb", answer)
    assert "same date" not in marking.mark("a")
    said = marking.mark("b")
    assert f"student 1001, {NAME}: '1001/b.ipynb' has the same date as '1001/a.ipynb', which counted before (" in said
    assert marking.points() == {"1001": 1.0} and "same date" not in marking.mark("b")


def test_where_the_date_decides_nothing_is_said_and_a_newer_blank_counts(marking):
    marking.write("a/1001/x.ipynb", RIGHT, NOW - 5)
    marking.write("a/1001/x (1).ipynb", BLANK, NOW)
    assert "same date" not in marking.mark("a") and marking.points() == {"1001": 0.0}


def test_a_zip_whose_maker_wrote_no_dates_makes_nobody_early(tmp_path):
    path = tmp_path / "r" / "class.zip"
    path.parent.mkdir()
    with zipfile.ZipFile(path, "w") as box:
        box.writestr(zipfile.ZipInfo("1001/a.ipynb"), '{"cells": []}')
    late = tmp_path / "r" / "1001.ipynb"
    late.write_text('{"cells": []}', encoding="utf-8")
    os.utime(late, (NOW, NOW))
    taken, _ = returns.collect(tmp_path / "r", Owners([Student("1001")], [NAME], b"", unsealed=True))
    assert [(item.origin, item.when) for item in taken] == [("1001.ipynb", NOW)]


def item(when, digest="d", fault="", origin="1001/x.ipynb"):
    return HandedIn("1001", NAME, origin, when, digest, lambda: b"", fault)


@pytest.mark.parametrize(("counted", "handed", "left"), [
    (None, item(NOW), ""), (Counted("", 0.0, "", ""), item(NOW), ""), (Counted("d", NOW, "o", ""), item(0.0), ""),
    (Counted("e", NOW, "o", ""), item(NOW - 1.0), ""), (Counted("e", NOW, "o", ""), item(NOW - 2.0), "older"),
    (Counted("e", NOW, "o", ""), item(0.0), "of no date is older"),
    (Counted("e", NOW + 900 * DAY, "o", ""), item(NOW), ""),  # a date to come is none
    (Counted("e", NOW, "o", "cut short"), item(NOW - DAY), ""),
    (Counted("e", NOW, "o", "cut short"), item(NOW - DAY, fault="empty"), "older"),
    (Counted("e", NOW, "o", ""), item(NOW + DAY, fault="empty"), "cannot be read")])
def test_what_replaces_a_file_that_counts(counted, handed, left):
    said = left_as_it_is(handed, counted, lambda item: False)
    assert left in said and bool(left) == bool(said) and "\n" not in said


def test_a_date_to_come_is_none_and_any_other_goes_first():
    pile = [item(NOW + 900 * DAY, "1", origin="a"), item(NOW, "2", origin="b"), item(NOW + 900 * DAY, "2", origin="c")]
    best = of_several(pile, lambda item: False)
    assert (best.origin, best.when, best.choice) == ("b", NOW, "") and "3 files were handed in" in best.notes[-1]


def test_a_file_that_comes_after_points_were_set_counts_in_their_place_and_that_is_said(marking):
    with marking.desk.record() as record:
        pen.set_points(record, "1001", NAME, "q1", 1.5, "oral", "Examiner")
    assert marking.points() == {"1001": 1.5}
    marking.write("a/1001/x.ipynb", RIGHT)
    said = marking.mark("a")
    assert "student 1001, 90_demo: points were set before anything was handed in; the file that came counts" in said
    assert marking.points() == {"1001": 2.0} and "points were set before" not in marking.mark("a")


def set_by_hand(marking, points, question="q1", student="1001"):
    with marking.desk.record() as record:
        pen.set_points(record, student, NAME, question, points, "copied", "Examiner")


@pytest.mark.parametrize(("first", "then"), [
    ("rate = 2", "# seen  by me\n\nrate=2   # done 9"), ("rate = (2)", "rate = 2\n\n"),
    ("rate = 2 +", "\nrate = 2 +  \n"),
    ("%matplotlib inline\nrate = 2", "%matplotlib inline\n# 9\nrate = 2")])
def test_points_of_the_pen_hold_for_an_answer_that_differs_by_remarks_and_blanks_alone(marking, first, then):
    marking.write("a/1001/x.ipynb", first, NOW - DAY)
    marking.mark("a")
    set_by_hand(marking, 0)
    marking.write("b/1001/x.ipynb", then)
    assert "taken away" not in marking.mark("b")
    assert marking.points() == {"1001": 0.0} and marking.marked()["1001"].questions[0].hint.endswith(": copied")


@pytest.mark.parametrize(("first", "then"), [
    ("rate = 2", "rate = 1"), ("rate = '# 2'", "rate = '# 3'"), ("rate = 2", "# rate = 2"), ("# 1", "# 2"),
    ("rate = 2", "rate = ["), ("if rate:\n    rate = 2", "if rate:\n  pass\nrate = 2"), ("rate = 2", "(" * 3000)])
def test_points_of_the_pen_that_another_answer_takes_away_are_named(marking, first, then):
    marking.write("a/1001/x.ipynb", first, NOW - DAY)
    marking.mark("a")
    set_by_hand(marking, 1.5)
    marking.write("b/1001/x.ipynb", then)
    said = (f"student 1001, {NAME}, q1: the 1.5 of 2 points that Examiner set (copied) are taken away, for the answer "
            "is another now (set them again if they shall hold)")
    assert said in marking.mark("b").splitlines()
    with marking.desk.record() as record:
        assert said in [each for _, each in record.trail()]
    assert "taken away" not in marking.mark("b")
    marking.write("c/1001/x.ipynb", first, NOW + 60)  # what it was set for comes back
    assert "taken away" not in marking.mark("c") and marking.points() == {"1001": 1.5}


def test_points_for_an_oral_are_not_given_to_an_answer_without_code(marking):
    set_by_hand(marking, 2)
    marking.write("a/1001/x.ipynb", "# nothing yet")
    assert "points were set before anything was handed in" in marking.mark("a") and marking.points() == {"1001": 0.0}


def test_words_that_were_read_keep_their_points_where_only_blanks_changed(marking):
    with marking.desk.record() as record:
        words = [Marked("1001", NAME, "j", digest, "f", NOW, "now",
                        questions=(Scored("q4", "Words", None, 2, "by hand", answer=answer),))
                 for digest, answer in (("d", "it stays"), ("e", "it\n\n stays "), ("f", "it goes"))]
        record.write(words[0])
        record.add_by_hand([("1001", NAME, "q4", 1.5, "good", "it stays", "now")])
        assert record.write(words[1]) == [] and next(record.marked()).earned == 1.5
        assert record.write(words[2]) == [] and next(record.marked()).questions[0].earned is None


def test_who_loses_points_with_another_file_is_named_with_both_files_in_the_order_of_the_class(marking):
    for number in ("1002", "1001"):
        marking.write(f"a/{number}/x.ipynb", RIGHT, NOW - DAY)
    marking.write("a/1003/x.ipynb", WRONG, NOW - DAY)
    marking.mark("a")
    for number, answer in (("1002", WRONG), ("1001", BLANK), ("1003", RIGHT)):
        marking.write(f"b/{number}/copy.ipynb", answer)
    lines = [line for line in marking.mark("b").splitlines() if " before, now " in line]
    assert lines == [f"student 100{k}, {NAME}: 2 before, now {now} of 8, for '100{k}/copy.ipynb' in place of "
                     f"'100{k}/x.ipynb'" for k, now in ((1, 0), (2, 1))]
    assert " before, now " not in marking.mark("b")
    marking.write("b/1003/copy.ipynb", WRONG, NOW + 60)
    assert f"student 1003, {NAME}: 2 before, now 1 of 8, for what is in '1003/copy.ipynb' now\n" in marking.mark("b")


def test_a_deadline_and_no_date_are_told_and_a_first_date_tells_what_it_changes(marking):
    with marking.desk.record() as record:
        pen.set_due(record, NAME, time.strftime("%Y-%m-%d %H:%M", time.localtime(NOW - 1.5 * DAY)), 0.5)
    for number, when in (("1001", NOW + 900 * DAY), ("1002", NOW), ("1003", NOW - 9 * DAY)):
        marking.write(f"a/{number}/x.ipynb", RIGHT, when)
    told = f"student 1001, {NAME}: when '1001/x.ipynb' was saved is unknown, so nothing is taken off for being late"
    for _ in range(2):
        said = marking.mark("a")
        assert told in said.splitlines() and said.count("is unknown") == 1
    assert marking.points() == {"1001": 2.0, "1002": 0.0, "1003": 2.0} and marking.marked()["1001"].saved == 0.0
    marking.write("b/1002/x.ipynb", RIGHT, NOW - DAY)
    marking.write("b/1001/x.ipynb", RIGHT, NOW - DAY)
    said = marking.mark("b")
    day = time.strftime("%Y-%m-%d %H:%M", time.localtime(NOW - DAY))
    assert [line for line in said.splitlines() if "the same file" in line] == [
        f"student {number}, {NAME}: the same file was saved {day} ('{number}/x.ipynb'), which counts as its date: "
        f"{points} points before, now 1" for number, points in (("1001", 2), ("1002", 0))]
    assert marking.points() == {"1001": 1.0, "1002": 1.0, "1003": 2.0} and "2 unchanged" in said


def test_who_left_is_told_so_and_not_as_a_strangers_seal(marking):
    marking.write("a/1001/x.ipynb", RIGHT)
    with marking.desk.record() as record:
        pen.take_leave(record, "1001")
    assert "'1001/x.ipynb' was set aside: student 1001 has left the class ('suspedu pen back" in marking.mark("a")


def test_a_broken_zip_is_named_with_its_folder(marking):
    path = marking.folder / "a" / "1003" / "broken.zip"
    path.parent.mkdir(parents=True)
    path.write_bytes(b"PK\3\4nonsense")
    assert "- '1003/broken.zip' is not a ZIP that can be opened" in marking.mark("a")
