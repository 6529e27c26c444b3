"""Whose a file is: its seal says it, and no name of a file or folder makes it somebody else's."""

import json
import time

import pytest

from suspedu.coursework.desk import desk, handout, returns
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.owners import Inside, Owners
from suspedu.coursework.desk.seal import seal_of
from suspedu.units import InputError

SECRET, NAME = b"secret", "90_demo"
CLASS = [Student("1"), Student("12"), Student("2026"), Student("1003", platform="48213")]


@pytest.fixture
def owners():
    return Owners(CLASS, [NAME], SECRET)


def sealed(number, exercise=NAME):
    return Inside(exercise, number, seal_of(SECRET, number, exercise))


@pytest.mark.parametrize("parts", [
    ("90_demo.ipynb",), ("90_demo (1).ipynb",), ("handed in 2026-11-26", "90_demo.ipynb"), ("90_demo copy 1.ipynb",),
    ("2026-11-26 10.30.12 90_demo v12.ipynb",), ("1003", "90_demo.ipynb"), ("late", "1003_90_demo (12).ipynb"),
    ("Zoe_48213_file", "90_demo.ipynb"), ("0048213", "90_demo.ipynb"), ("01003", "90_demo.ipynb")])
def test_a_sealed_file_is_its_students_whatever_its_name(owners, parts):
    assert owners.owner(parts, sealed("1003")) == ("1003", ())


@pytest.mark.parametrize("parts", [("12", "90_demo.ipynb"), ("0012", "x.ipynb"), ("student 12", "90_demo.ipynb")])
def test_a_file_under_somebody_elses_number_counts_for_neither(owners, parts):
    with pytest.raises(InputError, match=r"handed out to student 1003 .* number of student 12; it counts for neither"):
        owners.owner(parts, sealed("1003"))


SMALL = [Student(str(k)) for k in range(1, 17)]  # numbered as weeks, groups, rooms and exercises are
SETUP, PRICES = "13_setup_session", "16_tolerances"


@pytest.mark.parametrize(("number", "exercise", "path"), [
    ("12", SETUP, "13/12/answer.ipynb"), ("7", SETUP, "exercise 13/7 S7/answer.ipynb"),
    ("9", SETUP, "group 2/9/13_setup_session.ipynb"), ("5", SETUP, "week 3 2026-11-12/S5.ipynb"),
    ("11", SETUP, "hand-in/S11 try 4.ipynb"), ("6", SETUP, "hand-in/try 4.ipynb"), ("16", PRICES, "room 14/16.ipynb"),
    ("5", PRICES, "room 14/16.ipynb"), ("8", SETUP, "13/answer (3).ipynb"), ("8", PRICES, "week 4/mail.zip/me 2.ipynb"),
    ("3", SETUP, "4/3 late/answer.ipynb")])
def test_a_number_that_stands_somewhere_in_a_path_sets_no_sealed_file_aside(number, exercise, path):
    small = Owners(SMALL, [SETUP, PRICES], SECRET)
    assert small.owner(tuple(path.split("/")), sealed(number, exercise)) == (number, ())


def test_a_winter_is_no_student_though_somebody_has_its_number(owners):
    assert owners.owner(("winter 2026", "Zoe", "90_demo.ipynb"), sealed("1003")) == ("1003", ())


@pytest.mark.parametrize(("path", "told"), [
    ("winter 2026/12/a.ipynb", "12"), ("winter 2026/12.ipynb", "12"), ("winter 2026/a.ipynb", "2026"),
    ("12/1/a.ipynb", "12"), ("12/1.ipynb", "12"), ("Zoe_48213_in/1.ipynb", "1003")])
def test_who_is_told_of_a_file_that_cannot_be_read(owners, path, told):
    assert owners.owner(tuple(path.split("/")), None) == (told, ())


@pytest.mark.parametrize("path", [
    "winter/12/answer.ipynb", "12/mine.zip/answer.ipynb", "12/13.ipynb", "12.zip/answer.ipynb",
    "12/90_demo (3).ipynb", "in/13_setup_session_12.ipynb", "in/12.ipynb", "in/student 0012/answer.ipynb"])
def test_a_neighbours_copy_among_ones_own_files_counts_for_neither(path):
    small = Owners(SMALL, [SETUP, NAME], SECRET)
    for number in ("3", "13"):
        with pytest.raises(InputError, match=f"handed out to student {number} .* of student 12; it counts for neither"):
            small.owner(tuple(path.split("/")), sealed(number, SETUP))


YEAR = time.localtime().tm_year
BIG = [Student("1006", platform="77006"), Student("1022", platform="77015"), Student(f"{YEAR}"), Student("2003"),
       Student("3")]


@pytest.mark.parametrize("path", [
    "1022/new/03.ipynb", "in/1022/a/b/c/03.ipynb", "Bo_77015_assignment/new/03.ipynb", "1022.zip/sub/03.ipynb",
    "1006/1022/03.ipynb", "1006/Bo_77015/new/03.ipynb", "student 1022/mail.zip/deep/03.ipynb", "01022/new/03.ipynb",
    "in/1022_03_oil.ipynb", "1022 03.ipynb", "1022-oil-3 (2).ipynb", "1006/1022_03_oil.ipynb", "2003/new/03.ipynb",
    f"{YEAR}.ipynb"])
def test_a_neighbours_copy_deep_among_ones_own_files_counts_for_neither(path):
    big = Owners(BIG, ["03_oil_in_restrictions", NAME], SECRET)
    with pytest.raises(InputError, match=rf"to student 1006 and lies .* number of student (1022|2003|{YEAR}); it"):
        big.owner(tuple(path.split("/")), sealed("1006", "03_oil_in_restrictions"))


@pytest.mark.parametrize("path", [
    "1022/1006/03.ipynb", "1022/1006_03_oil.ipynb", "1022/student 1006/new/03.ipynb", "Bo_77015/Ada_77006/new/03.ipynb",
    f"{YEAR}/Ada/03.ipynb", f"{YEAR}/1006/03.ipynb", f"1006/{YEAR}/03.ipynb", f"{YEAR}_03_oil.ipynb",
    f"winter {YEAR}/new/03.ipynb", f"{YEAR - 1}/Ada/03.ipynb",
    "3/Ada/03.ipynb", "1006/3/03.ipynb", "1022 and 1006/new/03.ipynb", "course 1022/new/03.ipynb", "03 1022 oil.ipynb",
    "1022 oil.ipynb"])
def test_whoever_stands_nearer_decides_and_a_year_or_a_week_does_not(path):
    big = Owners(BIG, ["03_oil_in_restrictions", NAME], SECRET)
    exercise = "03_oil_in_restrictions"
    assert big.owner(tuple(path.split("/")), sealed("1006", exercise)) == ("1006", ())


def test_a_number_that_begins_with_the_word_student_is_one():
    two = Owners([Student("student1"), Student("student2")], [NAME], SECRET)
    assert two.owner(("student1", "x.ipynb"), sealed("student1")) == ("student1", ())
    with pytest.raises(InputError, match=r"handed out to student student1 .* of student student2"):
        two.owner(("student2", "x.ipynb"), sealed("student1"))


def test_a_neighbours_copy_under_ones_platform_number_counts_for_neither():
    two = Owners([Student("1", platform="88001"), Student("2", platform="88002")], [NAME], SECRET)
    with pytest.raises(InputError, match="student 1 and lies under the number of student 2"):
        two.owner(("platform.zip", "Bo_88002_handed in", "answer.ipynb"), sealed("1"))
    assert two.owner(("platform.zip", "Ada_88001_handed in", "answer 2.ipynb"), sealed("1")) == ("1", ())


def test_who_left_is_told_so_with_a_seal_or_without():
    here = Owners(CLASS, [NAME], SECRET, unsealed=True, left=["77"])
    for parts, inside in ((("77", "x.ipynb"), sealed("77")), (("x.ipynb",), sealed("77")),
                          (("77", "x.ipynb"), Inside(NAME, "77")), (("77", "x.ipynb"), None)):
        with pytest.raises(InputError, match=r"student 77 has left the class \('suspedu pen back 77'"):
            here.owner(parts, inside)


def test_a_file_without_a_seal_that_says_another_than_its_path_counts_for_neither():
    here = Owners(CLASS, [NAME], SECRET, unsealed=True)
    assert here.owner(("12", "90_demo.ipynb"), Inside(NAME, "12", "of a lost secret"))[0] == "12"
    for said in ("1003", "of last year"):
        with pytest.raises(InputError, match=f"says student {said} and lies under the number of student 12; it counts"):
            here.owner(("12", "90_demo.ipynb"), Inside(NAME, said, "of a lost secret"))


@pytest.mark.parametrize("inside", [
    Inside(NAME, "1003", ""), Inside(NAME, "1003", seal_of(SECRET, "12", NAME)),
    Inside(NAME, "", seal_of(SECRET, "", NAME)),
    Inside(NAME, "1003", seal_of(b"another", "1003", NAME)), Inside(NAME, "1003", seal_of(SECRET, "1003", "91_other")),
    Inside(NAME, "77", seal_of(SECRET, "77", NAME))])
def test_a_seal_that_is_not_this_students_and_exercises_is_none(owners, inside):
    with pytest.raises(InputError, match="no seal of this class"):
        owners.owner(("1003", "90_demo.ipynb"), inside)


def test_without_seals_the_path_decides_where_the_instructor_says_so():
    owners = Owners(CLASS, [NAME], SECRET, unsealed=True)
    number, notes = owners.owner(("1003", "90_demo.ipynb"), Inside(NAME))
    assert number == "1003" and "no seal" in notes[0]
    with pytest.raises(InputError, match="no student's number"):
        owners.owner(("90_demo.ipynb",), Inside(NAME))
    with pytest.raises(InputError, match="counts for neither"):  # what is sealed stays its student's
        owners.owner(("12", "90_demo.ipynb"), sealed("1003"))


def test_zeros_in_front_matter_where_two_numbers_differ_by_them():
    owners = Owners([Student("12"), Student("0012"), Student("007")], [NAME], SECRET)
    assert [owners.by_path((part,)) for part in ("12", "0012", "7", "0007")] == [["12"], ["0012"], ["007"], ["007"]]


def test_hand_outs_carry_the_seal_that_is_asked_for(tmp_path, course):
    found = desk.materials([], course / "solutions", course / "exercises")
    place = desk.Desk(tmp_path / "desk")
    handout.hand_out(place, CLASS, found)
    copy = json.loads((place.handed_out / "12" / f"{NAME}.ipynb").read_text(encoding="utf-8"))
    assert copy["metadata"]["suspedu"]["seal"] == seal_of(place.secret(), "12", NAME)
    owners = Owners(CLASS, list(found), place.secret())
    taken, aside = returns.collect(place.handed_out, owners)
    assert sorted(item.student for item in taken) == sorted(s.number for s in CLASS) and not aside


def test_the_platforms_number_is_read_from_the_class_list_and_kept(tmp_path):
    from suspedu.coursework.desk.class_list import read_class

    path = tmp_path / "class.csv"
    path.write_text("number;platform number;group;name\n12;48213;B;Ann\n13;;;\n", encoding="utf-8")
    students = read_class(path)
    assert students == [Student("12", "Ann", platform="48213", other={"group": "B"}),
                        Student("13", other={"group": ""})]
    with desk.Desk(tmp_path / "desk").record(must_exist=False) as record:
        record.add_students(students)
        assert record.students() == students
    path.write_text("number;platform number\n12;48213\n48213;\n13;48213\n", encoding="utf-8")
    with pytest.raises(InputError, match="row 4: the platform's number '48213' is there twice"):
        read_class(path)
