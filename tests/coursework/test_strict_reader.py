"""The reader takes plain notebooks and refuses everything else in one sentence."""

import json
import os

import pytest

from suspedu.coursework.exercise import reader
from suspedu.units import InputError

CODE = {"cell_type": "code", "id": "a", "metadata": {"tags": ["x"], "suspedu": {"role": "answer", "cell": 7}},
        "source": ["x = 1\n", "y = 2"], "outputs": ["anything"]}
GOOD = {"cells": [CODE], "metadata": {"kernelspec": {"name": "evil"}, "suspedu": {"exercise": "90_demo"}}}


def test_keeps_only_what_marking_uses():
    sheet = reader.sheet_of(json.dumps(GOOD).encode(), "a.ipynb")
    assert sheet.name == "90_demo"
    assert vars(sheet.cells[0]) == {"id": "a", "kind": "code", "source": "x = 1\ny = 2", "facts": {"role": "answer"}}


def test_bom_and_lone_surrogates_are_bearable():
    book = GOOD | {"cells": [CODE | {"source": "x = '\ud800'"}]}
    sheet = reader.sheet_of(b"\xef\xbb\xbf" + json.dumps(book).encode(), "a.ipynb")
    assert sheet.cells[0].source == "x = '?'"


BROKEN = {
    "empty": (b" \n", "is empty"),
    "utf16": (json.dumps(GOOD).encode("utf-16"), "UTF-16"),
    "utf16 without mark": (json.dumps(GOOD).encode("utf-16-le"), "UTF-16"),
    "latin1": (b'{"cells": "\xe4"}', "not UTF-8"),
    "conflict": (b'{"cells": [\n<<<<<<< HEAD\n1\n=======\n2\n>>>>>>> b\n]}', r"merge-conflict marks \(line 2\)"),
    "cut short": (json.dumps(GOOD).encode()[:-20], "cut short"),
    "a list": (b"[1, 2]", "holds a list"),
    "no cells": (b"{}", "'cells' is missing"),
    "deep": (b"[" * 200_000, "nested too deeply"),
    "long number": (b'{"cells": ' + b"9" * 5000 + b"}", "not a notebook"),
    "old format": (b'{"worksheets": [], "nbformat": 3}', "old format"),
    "cell is text": (b'{"cells": ["x"]}', "cell 1 is a str"),
    "unknown kind": (b'{"cells": [{"cell_type": "heading", "source": ""}]}', "unknown kind"),
    "source is a number": (b'{"cells": [{"cell_type": "code", "source": 5}]}', "'source' is missing or not text"),
    "too many cells": (json.dumps({"cells": [CODE] * 501}).encode(), "501 cells"),
    "too large": (b" " * (reader.MOST_BYTES + 1), "5 MB"),
}


@pytest.mark.parametrize("kind", BROKEN)
def test_broken_file_costs_one_sentence(kind):
    data, words = BROKEN[kind]
    with pytest.raises(InputError, match=words) as caught:
        reader.sheet_of(data, "a.ipynb")
    assert "\n" not in str(caught.value) and len(str(caught.value)) < 250


def test_links_pipes_folders_and_missing_files_are_not_opened(tmp_path):
    (tmp_path / "real.ipynb").write_text(json.dumps(GOOD))
    (tmp_path / "link.ipynb").symlink_to(tmp_path / "real.ipynb")
    os.mkfifo(tmp_path / "pipe.ipynb")
    for name, words in {"link.ipynb": "is a link", "pipe.ipynb": "not an ordinary file", ".": "not an ordinary file",
                        "none.ipynb": "no such file"}.items():
        with pytest.raises(InputError, match=words):
            reader.read_sheet(tmp_path / name)
    assert reader.read_sheet(tmp_path / "real.ipynb").name == "90_demo"


def test_large_file_is_refused_before_it_is_read(tmp_path):
    path = tmp_path / "large.ipynb"
    with path.open("wb") as file:
        file.truncate(500 << 20)
    with pytest.raises(InputError, match="500 MB"):
        reader.read_sheet(path)
