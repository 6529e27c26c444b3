"""Where solutions are looked for: in the folder in which a command is typed, then in the package's own checkout."""

import pytest

from suspedu.coursework.exercise import places
from suspedu.units import InputError


@pytest.fixture
def installed(tmp_path, monkeypatch):
    """A package that lies in some environment, without a checkout round it."""
    monkeypatch.setattr(places, "PACKAGE", tmp_path / "environment" / "suspedu")
    (tmp_path / "checkout" / "suspedu-course" / "lessons").mkdir(parents=True)
    return tmp_path


def test_an_installed_course_has_no_solutions(installed, monkeypatch):
    monkeypatch.chdir(installed)
    with pytest.raises(InputError, match=r"not part of the installed course.*--solutions"):
        places.solutions_folder()


@pytest.mark.parametrize("inside", ["checkout", "checkout/suspedu-course/lessons"])
def test_they_are_found_from_inside_a_checkout(installed, monkeypatch, inside):
    folder = installed / "checkout" / "solutions"
    folder.mkdir()
    monkeypatch.chdir(installed / inside)
    with pytest.raises(InputError):  # an empty folder of that name is not it
        places.solutions_folder()
    (folder / "01_springs.ipynb").write_text("{}")
    assert places.solutions_folder() == folder


def test_a_course_of_ones_own_goes_before_the_checkout(monkeypatch, tmp_path):
    """In a folder with solutions they are meant, with the exercises beside them; elsewhere those of the checkout."""
    (tmp_path / "own" / "solutions").mkdir(parents=True)
    (tmp_path / "own" / "solutions" / "15_other.ipynb").write_text("{}")
    monkeypatch.chdir(tmp_path)
    assert places.solutions_folder() == places.PACKAGE.parent / "solutions"
    monkeypatch.chdir(tmp_path / "own")
    assert places.solutions_folder() == tmp_path / "own" / "solutions"
    assert places.exercises_beside(places.solutions_folder()) == places.exercises_folder()
    (tmp_path / "own" / "exercises").mkdir()
    assert places.exercises_beside(places.solutions_folder()) == tmp_path / "own" / "exercises"
