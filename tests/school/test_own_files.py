"""One's own machines in the working folder: found by name, read as they stand now, refused with one sentence."""

import shutil
from dataclasses import replace

import pytest

from suspedu.machine import setting
from suspedu.machine.model import MACHINES as SCHOOL_FILES
from suspedu.school import chosen_machine, machine_choices, set_machine
from suspedu.school.own_files import FOLDER, own_files, working_folder
from suspedu.units import InputError


@pytest.fixture
def folder(tmp_path, monkeypatch):
    (tmp_path / FOLDER).mkdir()
    shutil.copy(SCHOOL_FILES / "enduro.toml", tmp_path / FOLDER / "old hack.toml")
    monkeypatch.chdir(tmp_path)
    return tmp_path / FOLDER


def test_an_own_machine_stands_behind_the_schools(folder):
    assert list(machine_choices()) == ["enduro", "trail", "old hack"]
    assert chosen_machine("old hack") == replace(chosen_machine("enduro"), name="old hack")
    assert setting(set_machine("old hack", preload=8), "preload") == 0.008


def test_a_file_renamed_by_hand_is_called_as_the_file(folder):
    (folder / "old hack.toml").rename(folder / "Old bike.toml")
    assert machine_choices()["Old bike"] == "Old bike (own)" and chosen_machine("Old bike").name == "Old bike"


def test_a_file_changed_on_disk_is_read_anew(folder):
    path = folder / "old hack.toml"
    assert chosen_machine("old hack").chassis.mass == 112.0
    path.write_text(path.read_text().replace('mass = "112 kg"', 'mass = "98 kg"'))
    assert chosen_machine("old hack").chassis.mass == 98.0
    path.unlink()
    assert list(machine_choices()) == ["enduro", "trail"]


def test_slips_get_one_sentence_with_the_files_name(folder):
    (folder / "broken.toml").write_text('name = "x"\nstory = ')
    (folder / "typo.toml").write_text((folder / "old hack.toml").read_text().replace("wheelbase", "wheelbsae"))
    with pytest.raises(InputError, match=r"^broken\.toml: the file is broken or cut off"):
        chosen_machine("broken")
    with pytest.raises(InputError, match=r"^typo\.toml: chassis\.wheelbsae .*did you mean 'wheelbase'"):
        chosen_machine("typo")
    with pytest.raises(InputError, match=r"machine 'old hac' is not known \(did you mean 'old hack'\?\)"):
        chosen_machine("old hac")


def test_lessons_of_a_course_that_was_laid_share_one_folder(folder, monkeypatch):
    course = folder.parent
    (course / "lessons").mkdir()
    monkeypatch.chdir(course / "lessons")
    assert own_files() == {}  # a checkout: what lies beside the lessons is not the learner's
    (course / ".suspedu").mkdir()
    (course / ".suspedu" / "laid.json").write_text("{}")
    assert working_folder() == course and list(own_files()) == ["old hack"]
