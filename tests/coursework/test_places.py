"""Where solutions are looked for: the package's own checkout, then the checkout in which a command is typed."""

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


def test_a_checkout_uses_its_own(monkeypatch, tmp_path):
    own = places.solutions_folder()
    (tmp_path / "solutions").mkdir()
    (tmp_path / "solutions" / "01_other.ipynb").write_text("{}")
    monkeypatch.chdir(tmp_path)
    assert places.solutions_folder() == own == places.PACKAGE.parent / "solutions"
