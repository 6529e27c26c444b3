"""A class list is read as any spreadsheet writes it, and refused row by row where it cannot be used."""

import codecs
import os
import stat

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.coursework.desk.class_list import Student, read_class
from suspedu.coursework.desk.secret import course_secret
from suspedu.units import InputError

TEXT = "number{0}name{0}address\n1001{0}Zoë Ångström{0}z@example.org\n1002{0}\"Smith{0} Bo\"{0}\n"
CLASS = [Student("1001", "Zoë Ångström", "z@example.org")]
ENCODINGS = {"utf-8": b"", "utf-8-sig": b"", "utf-16": b"", "utf-16-le": codecs.BOM_UTF16_LE, "utf-16-be": b"",
             "cp1252": b""}


@pytest.mark.parametrize("separator", [";", ",", "\t"])
@pytest.mark.parametrize("encoding", ENCODINGS)
def test_any_encoding_and_separator(tmp_path, encoding, separator):
    path = tmp_path / "class.csv"
    text = TEXT.format(separator).replace("\n", "\r\n")
    path.write_bytes(ENCODINGS[encoding] + text.encode(encoding))
    assert read_class(path) == [*CLASS, Student("1002", f"Smith{separator} Bo", "")]


def test_without_headings_and_with_a_separator_line(tmp_path):
    path = tmp_path / "class.csv"
    path.write_text("1001;Ann\n\n1002\n", encoding="utf-8")
    assert read_class(path) == [Student("1001", "Ann"), Student("1002")]
    path.write_text("sep=;\nname;student number\nAnn;1001\n", encoding="utf-8")
    assert read_class(path) == [Student("1001", "Ann")]


@pytest.mark.parametrize("text, words", [
    ("", "is empty"), ("number\n", "names 0 students"), ("number;name\n;Ann\n", "row 2: the student number is missing"),
    ("number\n1\n2\n1\n", "row 4: student number '1' is there twice"), ("number\n../../etc\n", "must be 1 to 32"),
    ("number\nCON\n", "row 2"), ("number\nab c\n", "must be"), ("name;mark\nAnn;3\n", "none is 'number'"),
    ("number\n=1+1\n", "row 2"), ("number\nAB\nab\n", "twice")])
def test_slips_are_refused_by_row(tmp_path, text, words):
    path = tmp_path / "class.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="class list") as refusal:
        read_class(path)
    assert words in str(refusal.value)


@settings(max_examples=40)
@given(st.binary(max_size=300))
def test_no_bytes_break_it(tmp_path_factory, data):
    path = tmp_path_factory.mktemp("any") / "class.csv"
    path.write_bytes(data)
    try:
        students = read_class(path)
    except InputError as refusal:
        assert "\n" not in str(refusal)
    else:
        assert students


def test_secret_is_private_kept_and_checked(tmp_path):
    path = tmp_path / "desk" / "course_secret"
    first = course_secret(path)
    assert len(first) == 32 and course_secret(path) == first
    if os.name == "posix":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
        path.chmod(0o644)
        with pytest.raises(InputError, match="chmod 600"):
            course_secret(path)
        path.chmod(0o600)
    path.write_text("half", encoding="ascii")
    with pytest.raises(InputError, match="damaged"):
        course_secret(path)
