"""What stands behind a mark: the record keeps what was run, printed and expected; the CSV names the very file."""

import contextlib
import csv
import hashlib
import importlib.metadata
import io
from argparse import Namespace

import make_returns
import pytest

from suspedu.commands import classbook

WRONG = "rate = 1"


@pytest.fixture(scope="module")
def two_marked(tmp_path_factory, hand_out, arguments, run_mark):
    """The desk of a class of two, one of them wrong in q1, and the files they handed in."""
    root, files = tmp_path_factory.mktemp("evidence"), {}
    place = hand_out(root / "desk", ["1", "2"])
    for number, answers in (("1", {}), ("2", {"q1": WRONG, "q2": make_returns.ALONE})):
        folder = root / "returns" / number
        folder.mkdir(parents=True)
        scene = make_returns.Scene((place.handed_out / number / "90_demo.ipynb").read_bytes(), folder, number)
        files[number] = scene.write(scene.answered(answers))
    run_mark(arguments(place.folder, root / "returns"))
    return place, files


def test_each_mark_keeps_what_was_run_printed_and_expected(two_marked):
    place, _ = two_marked
    with place.record() as record:
        marked = {m.student: m for m in record.marked()}
        given = record.handouts()
    for student, mark in marked.items():
        assert mark.evidence["numbers"] == given[student, "90_demo"]
        assert mark.evidence["versions"]["nbval"] == importlib.metadata.version("nbval")
        assert mark.evidence["mode"] in ("sandboxed", "limited") and mark.evidence["exercise"] and mark.job and mark.at
    right, wrong = marked["1"].questions[0], marked["2"].questions[0]
    assert (right.answer, right.printed) == (make_returns.RATE, right.expected) and right.expected.endswith("N/mm\n")
    assert (wrong.answer, wrong.printed.strip()) == (WRONG, "0.001 N/mm") and wrong.printed != wrong.expected


def test_marks_go_out_with_the_hash_of_the_file_that_was_marked(two_marked):
    place, files = two_marked
    with contextlib.redirect_stdout(io.StringIO()):
        classbook.run(Namespace(desk=place.folder, read=None, words=None, with_solutions=False, separator=",",
                            decimal_comma=False, hidden=False))
    with (place.folder / "returns.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = {row["student"]: row for row in csv.DictReader(file)}
    assert {n: (r["exercise"], r["points"], r["of"]) for n, r in rows.items()} == {
        "1": ("90_demo", "6", "8"), "2": ("90_demo", "4", "8")}
    for number, path in files.items():
        assert rows[number]["file"] == hashlib.sha256(path.read_bytes()).hexdigest() and rows[number]["when"]
