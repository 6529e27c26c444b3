"""The course goes into the learner's folder, and never over the learner's work."""

import json

import pytest

from suspedu.commands import laying
from suspedu.commands.laying import RECORD, course_files, lay_course
from suspedu.units import InputError


def notebook(source: str, output: str = "") -> str:
    outputs = [{"output_type": "stream", "name": "stdout", "text": output}] if output else []
    cell = {"cell_type": "code", "id": "a", "metadata": {}, "source": source, "outputs": outputs,
            "execution_count": 1 if output else None}
    return json.dumps({"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5})


@pytest.fixture
def course(tmp_path, monkeypatch):
    """A small course of our own that a test can bring a new version of."""
    rooms = {name: tmp_path / "origin" / name for name in ("lessons", "exercises")}
    for room in rooms.values():
        room.mkdir(parents=True)
    (rooms["lessons"] / "00_fork.ipynb").write_text(notebook("1"))
    (rooms["lessons"] / "pictures").mkdir()
    (rooms["lessons"] / "pictures" / "fork.png").write_bytes(b"\x89PNG")
    (rooms["lessons"] / ".gitkeep").touch()
    (rooms["exercises"] / "01_springs.ipynb").write_text(notebook("rate = ..."))
    monkeypatch.setattr(laying, "lessons_folder", lambda: rooms["lessons"])
    monkeypatch.setattr(laying, "exercises_folder", lambda: rooms["exercises"])
    return rooms


def test_course_is_laid_whole(course, tmp_path):
    laid = lay_course(tmp_path / "mine")
    assert laid.new == ["lessons/00_fork.ipynb", "lessons/pictures/fork.png", "exercises/01_springs.ipynb"]
    for place, source in course_files():
        assert (tmp_path / "mine" / place).read_bytes() == source.read_bytes()
    assert "3 files of the course are in place (3 new)" in laid.sentences()
    assert not list((tmp_path / "mine").rglob(".gitkeep"))


def test_second_time_changes_nothing(course, tmp_path):
    lay_course(tmp_path)
    before = {path: path.stat().st_mtime_ns for path in (tmp_path / "lessons").rglob("*")}
    laid = lay_course(tmp_path)
    assert len(laid.current) == 3 and not laid.new + laid.updated + laid.kept
    assert before == {path: path.stat().st_mtime_ns for path in (tmp_path / "lessons").rglob("*")}


def test_newer_version_replaces_untouched_and_keeps_changed(course, tmp_path):
    mine = tmp_path / "mine"
    lay_course(mine)
    (mine / "exercises" / "01_springs.ipynb").write_text(notebook("rate = 4200"))
    (course["lessons"] / "00_fork.ipynb").write_text(notebook("2"))
    (course["exercises"] / "01_springs.ipynb").write_text(notebook("rate = ...  # N/m"))
    laid = lay_course(mine)
    assert (laid.updated, laid.kept) == (["lessons/00_fork.ipynb"], ["exercises/01_springs.ipynb"])
    assert "4200" in (mine / "exercises" / "01_springs.ipynb").read_text()
    assert "exercises/01_springs.ipynb" in laid.sentences()
    assert lay_course(mine).kept == laid.kept, "it must be kept every time, not once"


def test_a_change_undone_counts_as_untouched(course, tmp_path):
    lay_course(tmp_path)
    exercise = tmp_path / "exercises" / "01_springs.ipynb"
    original = exercise.read_text()
    exercise.write_text(notebook("rate = 4200"))
    (course["exercises"] / "01_springs.ipynb").write_text(notebook("rate = ...  # N/m"))
    lay_course(tmp_path)
    exercise.write_text(original)
    assert lay_course(tmp_path).updated == ["exercises/01_springs.ipynb"]


def test_running_is_not_changing(course, tmp_path):
    lay_course(tmp_path)
    lesson = tmp_path / "lessons" / "00_fork.ipynb"
    lesson.write_text(notebook("1", output="ran"))
    assert "lessons/00_fork.ipynb" in lay_course(tmp_path).current
    assert "ran" in lesson.read_text(), "the outputs of a current lesson stay"
    (course["lessons"] / "00_fork.ipynb").write_text(notebook("2"))
    assert lay_course(tmp_path).updated == ["lessons/00_fork.ipynb"]


@pytest.mark.parametrize("damage", ["", "{", "[1]", '{"lessons/00_fork.ipynb": 3}'])
def test_without_a_readable_record_everything_that_differs_is_kept(course, tmp_path, damage):
    lay_course(tmp_path)
    (tmp_path / RECORD).write_text(damage)
    (course["lessons"] / "00_fork.ipynb").write_text(notebook("2"))
    assert lay_course(tmp_path).kept == ["lessons/00_fork.ipynb"]


@pytest.mark.parametrize("content", ["no json", "[]", '{"cells": 3}', '{"cells": [{"source": 3}]}', '{"cells": [""]}'])
def test_a_broken_notebook_of_the_learner_is_kept(course, tmp_path, content):
    lay_course(tmp_path)
    (tmp_path / "lessons" / "00_fork.ipynb").write_text(content)
    assert lay_course(tmp_path).kept == ["lessons/00_fork.ipynb"]
    assert (tmp_path / "lessons" / "00_fork.ipynb").read_text() == content


def test_deleted_notebook_comes_back(course, tmp_path):
    lay_course(tmp_path)
    (tmp_path / "lessons" / "00_fork.ipynb").unlink()
    assert lay_course(tmp_path).new == ["lessons/00_fork.ipynb"]


def test_the_courses_own_folder_is_refused(course):
    with pytest.raises(InputError, match="give another folder"):
        lay_course(course["lessons"].parent)


def test_a_file_in_the_way_is_one_sentence(course, tmp_path):
    (tmp_path / "taken").write_text("")
    with pytest.raises(InputError, match="cannot write the course into"):
        lay_course(tmp_path / "taken")
