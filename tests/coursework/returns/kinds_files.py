"""Kinds of returns that are odd as files: broken, disguised, re-ordered, doubled, in archives, or not there."""

import gzip
import io
import json
import os
import stat
import zipfile
from pathlib import Path

from make_returns import EXERCISE, FULL, RIGHT, Kind, Scene, answered, cell_of, set_age

NONE = {"q1": 0, "q2": 0, "q3": 0}
NAME = f"{EXERCISE}.ipynb"


def raw(name: str, data: bytes, fault: str) -> Kind:
    return Kind(name, lambda scene: (scene.folder / NAME).write_bytes(data), NONE, fault=fault)


def changed(name: str, change, points=FULL, **rest) -> Kind:
    """A right return of which the notebook's JSON was changed."""
    def make(scene: Scene) -> None:
        book = scene.answered()
        scene.write(change(book) or book)
    return Kind(name, make, points, **rest)


def zipped(name: str, fill, points=NONE, **rest) -> Kind:
    def make(scene: Scene) -> None:
        with zipfile.ZipFile(scene.folder / "return.zip", "w", zipfile.ZIP_DEFLATED) as box:
            fill(box, scene)
    return Kind(name, make, points, **rest)


def _without(identity):
    return lambda book: book.update(cells=[c for c in book["cells"] if c["id"] != identity])


def _added(book):
    cell_of(book, "q1-answer")["source"] = "rate = ...  # N/m"
    extra = {"cell_type": "code", "id": "mine", "metadata": {}, "source": RIGHT["q1"], "outputs": [],
             "execution_count": 1}
    book["cells"].insert(0, extra)


def _below(identity, source, blank=None, kind="code"):
    """A cell of one's own right below an answer cell, which may be left as it was."""
    def change(book):
        cell = cell_of(book, identity)
        cell["source"] = blank if blank is not None else cell["source"]
        own = {"cell_type": kind, "id": "mine", "metadata": {}, "source": source}
        book["cells"].insert(book["cells"].index(cell) + 1,
                             own | ({"outputs": [], "execution_count": 1} if kind == "code" else {}))
    return change


def _split(book):
    _below("q1-answer", "rate = wanted", blank=RIGHT["q1"].replace("rate =", "wanted ="))(book)


def _words_below(book):
    blank = "".join(cell_of(book, "q4-answer")["source"])
    _below("q4-answer", "Preload moves the force.", blank=blank, kind="markdown")(book)


def _import_added(book):
    cell = cell_of(book, "setup")
    cell["source"] = "".join(cell["source"]) + "\nimport numpy as np"
    cell_of(book, "q1-answer")["source"] = RIGHT["q1"] + "\nrate = np.float64(rate)"


def answers(name, **given):
    """A kind with other ways to write right answers: all points."""
    return Kind(name, lambda scene: scene.write(scene.answered(given)), FULL)


def _doubled(book):
    place = [c["id"] for c in book["cells"]].index("q1-answer")
    book["cells"].insert(place, dict(book["cells"][place], source="rate = 1"))


def _new_ids(book):
    for number, cell in enumerate(book["cells"]):
        cell["id"] = f"new{number}"


def _no_ids(book):
    book["nbformat_minor"] = 4
    for cell in book["cells"]:
        del cell["id"]
        cell["metadata"] = {}


def _older(book):
    """An older version of the course: other words, a verdict fewer, a question that no longer is."""
    cell_of(book, "q1-text")["source"] = "## 1. The rate, as it was asked last year"
    cell_of(book, "q1-verdict")["source"] = "print(round(rate))"
    book["cells"] = [c for c in book["cells"] if c["id"] != "q3-verdict"]
    book["cells"].append({"cell_type": "code", "id": "q9-answer", "metadata": {"suspedu": {"role": "answer",
                          "question": "q9"}}, "source": "x = 1", "outputs": [], "execution_count": None})


def _forged(book):
    for cell in book["cells"]:
        if cell["cell_type"] == "code":
            cell["metadata"]["tags"] = ["nbval-skip", "raises-exception", "nbval-ignore-output"]
            cell["outputs"] = [{"output_type": "stream", "name": "stdout", "text": "right\n"}]
            cell["execution_count"] = 7
    cell_of(book, "q1-answer")["source"] = "rate = 1"
    cell_of(book, "q1-verdict")["source"] = "pass"
    cell_of(book, "q1-verdict")["metadata"]["suspedu"] |= {"points": 99, "role": "tool"}
    book["metadata"]["kernelspec"] = {"name": "../../evil", "language": "ruby"}


def _easier_numbers(book):
    cell_of(book, "numbers")["source"] = "wire = 1.0\nturns = 1.0\nstroke = 1"


def _another_exercise(book):
    book["metadata"]["suspedu"]["exercise"] = "91_other"


def _anothers_number(book):
    book["metadata"]["suspedu"]["student"] = "1001" if book["metadata"]["suspedu"]["student"] != "1001" else "1002"


def _seal_lost(book):
    del book["metadata"]["suspedu"]["seal"]


def _of_nothing(scene):
    cell = {"cell_type": "code", "id": "a", "metadata": {}, "source": "x = 1", "outputs": [], "execution_count": None}
    scene.write({"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5})


def _anothers_copy(scene):
    """The hand-out of another student, answered with the values of that student's numbers."""
    book = json.loads(Path(scene.places["other"]).read_text(encoding="utf-8"))
    given = {}
    exec("".join(cell_of(book, "numbers")["source"]), given)
    exec(RIGHT["q1"], given)
    scene.write(answered(book, RIGHT | {"q1": f"rate = {given['rate']!r}"}))


def _anothers_copy_zipped(scene):
    """The same in a ZIP under the other's exercise name, where no folder but the outer one tells whose it is."""
    _anothers_copy(scene)
    with zipfile.ZipFile(scene.folder / "all my work.zip", "w") as box:
        box.write(scene.folder / NAME, "answers 2.ipynb")
    (scene.folder / NAME).unlink()


def _sparse(scene):
    with (scene.folder / NAME).open("wb") as file:
        file.truncate(500 * 10**6)


def _two(first_right: bool, newer: str | None = None):
    def make(scene):
        old = scene.write(scene.answered({} if first_right else {"q1": "rate = 1"}), "90_demo (old).ipynb")
        new = scene.write(newer if newer is not None else scene.answered(), NAME)
        set_age(old, 3600)
        assert old.stat().st_mtime < new.stat().st_mtime
    return make


def _odd_name(name):
    return lambda scene: scene.write(scene.answered(), name)


def _inner_zip(box, scene):
    inner = io.BytesIO()
    with zipfile.ZipFile(inner, "w") as small:
        small.writestr(NAME, json.dumps(scene.answered()))
    box.writestr("sub/inner.zip", inner.getvalue())


def _zip_link(box, scene):
    entry = zipfile.ZipInfo(NAME)
    entry.external_attr = (stat.S_IFLNK | 0o777) << 16
    box.writestr(entry, "/etc/passwd")


def _lying_zip(scene):
    """A ZIP that says its member is small, and cut short."""
    box = io.BytesIO()
    with zipfile.ZipFile(box, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr(NAME, b"0" * 10**6)
    (scene.folder / "return.zip").write_bytes(box.getvalue()[:-30])


def _pipe(scene):
    os.mkfifo(scene.folder / NAME)


def _bad_lzma(scene):
    """A ZIP packed with LZMA, of which a byte of the packed stream was changed."""
    with zipfile.ZipFile(scene.folder / "return.zip", "w", zipfile.ZIP_LZMA) as box:
        box.writestr(NAME, json.dumps(scene.answered()))
    data = bytearray((scene.folder / "return.zip").read_bytes())
    data[200:260] = b"\xff" * 60
    (scene.folder / "return.zip").write_bytes(data)


def _crowded_zip(scene):
    """Thousands of notebooks in a ZIP in the ZIP, the right one first."""
    inner = io.BytesIO()
    with zipfile.ZipFile(inner, "w", zipfile.ZIP_DEFLATED) as small:
        small.writestr(NAME, json.dumps(scene.answered()))
        for number in range(3000):
            small.writestr(f"{number} {NAME}", "{}")
    with zipfile.ZipFile(scene.folder / "return.zip", "w") as box:
        box.writestr("inner.zip", inner.getvalue())

CELL = b'{"cells": [{"cell_type": "code", "source": "", %s}], "nbformat": 4}'
LONG = json.dumps({"cells": [], "metadata": {}, "nbformat": 4, "pad": "x" * 10_000_000})
DEEP = b'{"cells": ' + b"[" * 200_000 + b"]" * 200_000 + b"}"
KINDS = [
    changed("cell added, answer left blank", _added, FULL | {"q1": 0}, note="not run"),
    changed("answer in a cell below", _below("q1-answer", RIGHT["q1"], blank="rate = ...  # N/m")),
    changed("answer split over two cells", _split),
    changed("trials below that fail", _below("q1-answer", "print(rate)\n1 / 0"), note="not run"),
    changed("a trial below that is no Python", _below("q1-answer", "rate ="), note="not run"),
    changed("an endless trial below", _below("q2-answer", "while True:\n    spring_force(1)"), note="not run"),
    changed("words in a cell below", _words_below, note="holds 1 cell(s) of your own"),
    changed("import added to the set-up", _import_added),
    answers("prints of one's own", q2=f"def spring_force(stroke):\n    print('stroke', stroke)\n    {RIGHT['q1']}\n"
                                      "    return rate * stroke"),
    answers("an array of one element", q1=f"import numpy as np\n{RIGHT['q1']}\nrate = np.array([rate])"),
    answers("a fraction", q1=f"from fractions import Fraction\n{RIGHT['q1']}\nrate = Fraction(rate)"),
    answers("a number of sympy's", q1=f"import sympy\n{RIGHT['q1']}\nrate = sympy.Float(rate)"),
    answers("a number of mpmath's", q1=f"import mpmath\n{RIGHT['q1']}\nrate = mpmath.mpf(rate)"),
    answers("a large picture", q1=f"import os\nfrom IPython.display import Image, display\n{RIGHT['q1']}\n"
                                  "display(Image(data=os.urandom(900_000), format='png'))"),
    answers("a letter with a bracket", q3="choice = 'B)'"),
    Kind("print means something else", lambda scene: scene.write(scene.answered({"q1": f"{RIGHT['q1']}\nprint = 3"})),
         FULL | {"q1": 0}, hint="gives 'print' another meaning"),
    answers("sum means something else", q1=f"sum = 3\n{RIGHT['q1']}"),
    changed("answer removed", _without("q1-answer"), FULL | {"q1": 0}, note="missing"),
    changed("verdict removed", _without("q1-verdict")),
    changed("answer doubled", _doubled, note="last one counts"),
    changed("cells re-ordered", lambda book: book["cells"].reverse()),
    changed("ids changed", _new_ids),
    changed("ids and metadata lost", _no_ids),
    changed("older version of the course", _older),
    changed("verdicts, tags, outputs and kernel forged", _forged, FULL | {"q1": 0}),
    changed("easier numbers", _easier_numbers),
    changed("another exercise", _another_exercise, None, aside="no seal of this class"),
    changed("another student's number written in", _anothers_number, None, aside="no seal of this class"),
    changed("seal lost", _seal_lost, None, aside="no seal of this class"),
    changed("seal made up", lambda book: book["metadata"]["suspedu"].update(seal="0" * 32), None, aside="no seal"),
    changed("seal of many bytes", lambda book: book["metadata"]["suspedu"].update(seal="\ud800" * 10**5), None,
            aside="no seal of this class"),
    changed("seal is a list", lambda book: book["metadata"]["suspedu"].update(seal=[1]), None, aside="no seal"),
    Kind("a notebook of something else", _of_nothing, None, aside="no seal of this class"),
    Kind("another student's copy and values", _anothers_copy, None, aside="counts for neither"),
    Kind("another student's copy in a ZIP", _anothers_copy_zipped, None, aside="counts for neither"),
    Kind("numbers of others in brackets and a date", _odd_name("90_demo (1) 2026-11-26 10.30 copy 2.ipynb"), FULL),
    raw("cut short", b'{"cells": [{"cell_type": "code", "source": "rate = 4', "cut short"),
    raw("merge conflict", b'{\n<<<<<<< HEAD\n "cells": []\n=======\n "cells": [1]\n>>>>>>> b\n}', "merge-conflict"),
    raw("UTF-16", '{"cells": []}'.encode("utf-16"), "UTF-16"),
    raw("empty", b"", "empty"),
    raw("zero bytes", b"\0" * 5000, "UTF-16"),
    raw("a picture", b"\x89PNG\r\n\x1a\n" + bytes(range(256)), "UTF-8"),
    raw("a list", b"[1, 2, 3]", "not a notebook"),
    raw("no cells", b"{}", "cells"),
    raw("cells are words", b'{"cells": ["a", "b"], "nbformat": 4, "metadata": {}}', "not a cell"),
    raw("source is a number", b'{"cells": [{"cell_type": "code", "source": 5}], "nbformat": 4}', "source"),
    raw("very deep", DEEP, "deep"),
    raw("keys twice", b'{"cells": [], "cells": 5, "nbformat": 4}', "cells' is missing or not a list"),
    raw("format is true", b'{"cells": [], "nbformat": true}', "old format"),
    raw("cells are a dictionary", b'{"cells": {"a": 1}, "nbformat": 4}', "cells' is missing or not a list"),
    raw("a cell of no kind", CELL.replace(b"code", b"macro") % b'"id": "a"', "unknown kind"),
    raw("a kind that is a list", CELL.replace(b'"code"', b"[]") % b'"id": "a"', "cell_type"),
    raw("source of numbers", CELL.replace(b'""', b"[1, 2]") % b'"id": "a"', "source"),
    raw("packed", gzip.compress(CELL), "packed (gzip)"),
    raw("a byte order mark alone", b"\xef\xbb\xbf", "no JSON at all"),
    raw("two notebooks in one file", b'{"cells": []}\n{"cells": []}', "more follows after its end, at line 2"),
    raw("a program", b"rate = 4.6\nprint(rate)\n", "no JSON at all"),
    raw("a page", b"<!DOCTYPE html><html><body>{}</body></html>", "no JSON at all"),
    raw("deep metadata", b'{"cells": [], "metadata": ' + b'{"a":' * 10**5 + b"1" + b"}" * 10**5 + b"}", "nested too"),
    raw("a broken letter", b'{"cells": [], "nbformat": 4, "x": "\xc3\x28"}', "not UTF-8"),
    raw("wide text without a mark", "{}".encode("utf-32-le"), "UTF-16"),
    raw("old format", b'{"worksheets": [], "nbformat": 3}', "old format"),
    raw("501 cells", json.dumps({"cells": [{"cell_type": "raw", "source": ""}] * 501}).encode(), "501 cells"),
    raw("huge number", b'{"cells": [], "nbformat": ' + b"9" * 100_000 + b"}", "not a notebook"),
    raw("10 MB of padding", LONG.encode(), "MB"),
    Kind("500 MB", _sparse, NONE, fault="MB"),
    Kind("byte order mark", lambda scene: scene.write("\ufeff" + json.dumps(scene.answered())), FULL),
    Kind("lone surrogate", lambda scene: scene.write(scene.answered({"q4": "\ud800 words"})), FULL),
    Kind("pipe", _pipe, NONE, fault="ordinary file"),
    Kind("link to a file", lambda scene: (scene.folder / NAME).symlink_to("/etc/passwd"), NONE, fault="link"),
    Kind("link to a folder", lambda scene: (scene.folder / "sub").symlink_to("/etc"), None, aside="link to a folder"),
    Kind("nothing", lambda scene: None, None),
    Kind("a text file", lambda scene: scene.write("see my mail", "answer.txt"), None, aside="not a notebook"),
    Kind("newer one right", _two(False), FULL, note="files were handed in"),
    Kind("newer one broken", _two(True, "{"), FULL, note="files were handed in"),
    Kind("both in one name", _odd_name("90_demo.ipynb.txt"), FULL),
    Kind("name with quotes", _odd_name("it's \"mine\" $(touch x) 90_demo.ipynb"), FULL),
    Kind("name with a line break", _odd_name("90_demo\n\x1b[31m.ipynb"), FULL),
    Kind("name with emoji", _odd_name("\U0001f3cd 90_demo \u202e.ipynb"), FULL),
    Kind("name of an option", _odd_name("--nbval -p evil 90_demo.ipynb"), FULL),
    zipped("in a ZIP", lambda box, scene: box.writestr(NAME, json.dumps(scene.answered())), FULL),
    zipped("in a ZIP in a ZIP", _inner_zip, FULL),
    zipped("ZIP bomb", lambda box, scene: box.writestr(NAME, b"0" * (300 << 20)), fault="unpacks to more"),
    zipped("path-climbing ZIP", lambda box, scene: box.writestr(f"../../{NAME}", "{}"), None, aside="climbs out"),
    zipped("absolute path in a ZIP", lambda box, scene: box.writestr(f"/tmp/{NAME}", "{}"), None, aside="climbs out"),
    Kind("damaged LZMA in a ZIP", _bad_lzma, NONE, fault="damaged or changed"),
    Kind("thousands in a ZIP in a ZIP", _crowded_zip, FULL, note="files were handed in"),
    Kind("a pipe that calls itself a ZIP", lambda scene: os.mkfifo(scene.folder / "return.zip"), None,
         aside="a pipe or a device"),
    zipped("link in a ZIP", _zip_link, None, aside="is a link"),
    Kind("damaged ZIP", _lying_zip, None, aside="not a ZIP that can be opened"),
]
