"""The demo class comes out the same each time, holds what happens in every class, and spares a real one."""

import os
import stat
import zipfile

import pytest

from suspedu.coursework.desk import demo_class, desk, handout
from suspedu.coursework.desk.class_list import Student, read_class
from suspedu.units import InputError


def a_class(folder, course, count=30):
    """List, hand-outs and returns of the demo class with the tests' own exercise; all files of the returns."""
    students = read_class(demo_class.write_list(folder, count))
    found = desk.materials([], course / "solutions", course / "exercises")
    handout.hand_out(desk.Desk(folder / "desk"), students, found)
    demo_class.write_returns(folder, course / "solutions")
    return {str(p.relative_to(folder)): p for p in sorted((folder / "returns").rglob("*.*"))}


def test_the_same_each_time_and_all_kinds_are_there(tmp_path, course):
    one, two = (a_class(tmp_path / name, course) for name in "ab")
    assert one.keys() == two.keys() and len({name.split("/")[1] for name in one}) == 29
    texts = {name: path.read_bytes() for name, path in one.items() if path.suffix == ".ipynb"}
    assert texts == {name: two[name].read_bytes() for name in texts}
    owners = {name.split("/")[1]: text for name, text in texts.items()}
    assert demo_class.ABSENT not in owners and not owners[demo_class.BROKEN].endswith(b"}")
    assert b"while True" in owners[demo_class.LOOPING]
    box = next(path for path in one.values() if path.suffix == ".zip")
    assert zipfile.ZipFile(box).namelist() == ["90_demo.ipynb"]
    assert sum(demo_class.TWICE in name for name in texts) == 2


def test_a_smaller_class_answers_like_the_same_students_of_the_whole(tmp_path, course):
    small, whole = a_class(tmp_path / "a", course, 5), a_class(tmp_path / "b", course)
    assert len(small) == 5
    assert all(path.read_bytes() == whole[name].read_bytes() for name, path in small.items())


@pytest.mark.skipif(os.name != "posix", reason="Windows has no such file modes")
def test_even_the_open_secret_is_a_private_file(tmp_path):
    demo_class.write_list(tmp_path)
    assert stat.S_IMODE((tmp_path / "desk" / "course_secret").stat().st_mode) == 0o600


def test_a_real_class_is_left_alone(tmp_path, course):
    (tmp_path / "class.csv").write_text("number\n1\n")
    with pytest.raises(InputError, match="is not of the demo class"):
        demo_class.write_list(tmp_path)
    found = desk.materials([], course / "solutions", course / "exercises")
    handout.hand_out(desk.Desk(tmp_path / "desk"), [Student("1")], found)
    for act in (demo_class.write_list, demo_class.write_returns):
        with pytest.raises(InputError, match="is not the desk of the demo class"):
            act(tmp_path)
    assert (tmp_path / "class.csv").read_text() == "number\n1\n" and not (tmp_path / "returns").exists()


@pytest.mark.parametrize("count", [0, 41])
def test_a_class_of_another_size_is_refused(tmp_path, count):
    with pytest.raises(InputError, match=f"students is {count}; allowed: 1 to 40"):
        demo_class.write_list(tmp_path, count)


def test_returns_need_hand_outs(tmp_path):
    demo_class.write_list(tmp_path)
    with pytest.raises(InputError, match="run 'suspedu handout' first"):
        demo_class.write_returns(tmp_path)
