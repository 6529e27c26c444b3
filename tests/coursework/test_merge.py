"""Answers are found by id, by our metadata or by order; oddities are noted, other exercises refused."""

import copy

import pytest

from suspedu.coursework.exercise import merge, reader
from suspedu.units import InputError

ANSWERS = {"q1": "rate = 1.0", "q2": "def spring_force(s):\n    return 1", "q3": "choice = 'b'", "q4": "words"}


def merged(pristine, path):
    found = merge.merge(pristine, reader.read_sheet(path))
    return {c.question: c.source for c in found.sheet.with_role("answer", "explain")}, found


def test_answers_by_id_and_nothing_else(pristine, fill):
    def forge(book):
        for cell in book["cells"]:
            if "answer" not in cell["id"]:
                cell["source"] = "print('forged')"
            cell["metadata"]["tags"] = ["raises-exception", "nbval-skip"]
        book["metadata"]["kernelspec"] = {"name": "evil"}
    answers, found = merged(pristine, fill(ANSWERS, forge))
    assert answers == ANSWERS
    assert "forged" not in str(found.sheet)
    assert not found.sheet.with_role("tool")


def lose_ids(book):
    for cell in book["cells"]:
        del cell["id"]


def lose_ids_and_metadata(book):
    for cell in book["cells"]:
        cell["id"], cell["metadata"] = "x" + cell["id"], {}
    book["metadata"] = {}


@pytest.mark.parametrize("change", [lose_ids, lose_ids_and_metadata, lambda book: book["cells"].reverse()])
def test_lost_ids_and_another_order_lose_no_answer(pristine, fill, change):
    answers, found = merged(pristine, fill(ANSWERS, change))
    assert answers == ANSWERS
    assert found.notes == ()


def test_doubled_counts_last_and_is_noted(pristine, fill):
    def double(book):
        twin = copy.deepcopy(next(cell for cell in book["cells"] if cell["id"] == "q1-answer"))
        book["cells"].append(twin | {"source": "rate = 2.0"})
    answers, found = merged(pristine, fill(ANSWERS, double))
    assert answers["q1"] == "rate = 2.0"
    assert found.notes == ("the answer to q1 is there 2 times: the last one counts",)


def test_missing_is_blank_and_noted(pristine, fill):
    def remove(book):
        book["cells"] = [cell for cell in book["cells"] if cell["id"] != "q2-answer"]
    answers, found = merged(pristine, fill(ANSWERS, remove))
    assert answers["q2"] == next(c.source for c in pristine.cells if c.id == "q2-answer")
    assert found.notes == ("the answer to q2 is missing: it counts as blank",)


def test_extra_cells_are_not_run(pristine, fill):
    def add(book):
        book["cells"].insert(3, {"cell_type": "code", "id": "mine", "metadata": {}, "source": "helper = 1"})
    _, found = merged(pristine, fill(ANSWERS, add))
    assert "1 code cell(s) of your own were not run" in found.notes[0]
    assert "helper" not in str(found.sheet)


def test_wrong_kind_is_noted(pristine, fill):
    def turn(book):
        next(cell for cell in book["cells"] if cell["id"] == "q1-answer")["cell_type"] = "markdown"
    answers, found = merged(pristine, fill(ANSWERS, turn))
    assert answers["q1"].startswith("rate = ...")
    assert found.notes == (
        "the answer to q1 is in a cell of the wrong kind (markdown): it was not read and counts as blank",)


def turned(identity, kind):
    def change(book):
        next(cell for cell in book["cells"] if cell["id"] == identity).update(cell_type=kind)
    return change


def test_words_are_words_in_a_code_cell_too_and_are_not_run(pristine, fill):
    answers, found = merged(pristine, fill(ANSWERS | {"q4": "import os; os.abort()"}, turned("q4-answer", "code")))
    assert answers["q4"] == "import os; os.abort()" and found.sheet.questions()[-1].answers[0].kind == "markdown"
    assert found.notes == ("the answer to q4 is in a code cell: it was read as words and not run",)


def beside(before, source):
    """A cell of one's own right above another one."""
    def add(book):
        place = next(k for k, cell in enumerate(book["cells"]) if cell["id"] == before)
        book["cells"].insert(place, {"cell_type": "code", "id": "mine", "metadata": {}, "source": source})
    return add


@pytest.mark.parametrize("magic", ["%matplotlib", "!ls", "%pip install x \\\n   y", "np.pi?", "%%time", "%time 1"])
def test_a_magic_line_costs_a_cell_beside_an_answer_nothing_else(pristine, fill, magic):
    own = f"{magic}\nimport numpy as np\ndef half(x):\n    !ls\n    return x / 2"
    answers, found = merged(pristine, fill({"q1": "rate = half(np.pi)"}, beside("q1-answer", own)))
    names = {}
    exec(answers["q1"], names)
    assert names["rate"] == pytest.approx(1.5707963)
    assert found.notes == ("the answer to q1 holds 1 cell(s) of your own beside it",)


def test_a_cell_that_another_one_beside_the_answer_needs_belongs_to_it_too(pristine, fill):
    def add(book):
        for own in ("tried = 5", "%matplotlib inline\nimport numpy as np", "half = np.pi / 2"):
            beside("q1-answer", own)(book)
        for number, cell in enumerate(cell for cell in book["cells"] if cell["id"] == "mine"):
            cell["id"] = f"mine-{number}"
    answers, _ = merged(pristine, fill({"q1": "rate = half"}, add))
    assert answers["q1"] == "# %matplotlib inline\nimport numpy as np\nhalf = np.pi / 2\nrate = half"


@pytest.mark.parametrize("own", ["%%bash\nrate = 5", "rate = (\n!ls", "this is it: rate"])
def test_what_stays_no_python_is_not_kept(pristine, fill, own):
    answers, _ = merged(pristine, fill({"q1": "rate = 1"}, beside("q1-answer", own)))
    assert answers["q1"] == "rate = 1"


def given(identity, source):
    def change(book):
        next(cell for cell in book["cells"] if cell["id"] == identity).update(source=source)
    return change


SET_UP, NUMBERS = "the given cell before q1 ('import math')", "the cell of given numbers before q1 ('wire = 4.5  # mm, "
ADDED = ("import numpy as np", "def half(x, by=2):\n    return x / by", "modulus = 79300000000.0")


@pytest.mark.parametrize(("cell", "source", "kept", "named"), [
    ("setup", "import math  # as it was\n\n\n", "import math", None),
    ("setup", "\n".join(["%matplotlib inline", "import math", *ADDED]), "\n".join(["import math", *ADDED]), None),
    ("setup", "import math\nimport os\nos.abort()", "import math\nimport os", SET_UP),
    ("setup", "import math\nwire = 3", "import math", SET_UP),  # a name that the exercise gives itself
    ("setup", "import math\ndef half(x=print(1)):\n    return x", "import math", SET_UP),
    ("setup", "import math\ndef half(x: print(1)):\n    return x", "import math", SET_UP),
    ("setup", "import math\ndef half(x):\n    exec('wire = 3')", "import math", SET_UP),
    ("setup", "", "import math", SET_UP), ("setup", "import (math", "import math", SET_UP),
    ("numbers", "wire = 3.0\nturns = 9.0\nstroke = 120", None, NUMBERS),
    ("q1-verdict", "print('12.6 N/mm')", None, "the check of q1 ")])
def test_a_given_cell_keeps_new_names_and_anything_else_is_put_back_and_said(pristine, fill, cell, source, kept, named):
    _, found = merged(pristine, fill(ANSWERS, given(cell, source)))
    before = next(c.source for c in pristine.cells if c.id == cell)
    assert next(c.source for c in found.sheet.cells if c.id == cell) == (kept or before)
    assert len(found.notes) == bool(named)
    assert not named or (found.notes[0].startswith(named) and found.notes[0].endswith(
        "differs from the exercise and was put back: write what you add into an answer cell"))


def test_a_learners_own_check_takes_other_numbers_for_those_of_their_copy(pristine, fill):
    own = reader.read_sheet(fill(ANSWERS, given("numbers", "wire = 3.1\nturns = 9.5\nstroke = 130")))
    assert not merge.merge(pristine, own, own_numbers=True).notes
    other = reader.read_sheet(fill(ANSWERS, given("numbers", "wire = 3.1\nturns = 9.5\nstroke = 130\nrate = 5.0")))
    assert len(merge.merge(pristine, other, own_numbers=True).notes) == 1


def test_nothing_deep_or_long_in_a_given_cell_breaks_the_reading(pristine, fill):
    for source in ("x = " + "-" * 3000 + "1", "!x\n" * 5000, "(" * 10_000):
        _, found = merged(pristine, fill(ANSWERS, given("setup", source)))
        assert len(found.notes) == 1


def test_another_exercise_is_refused(pristine, fill):
    with pytest.raises(InputError, match="is exercise '02_other', not '90_demo'"):
        merged(pristine, fill(change=lambda book: book["metadata"]["suspedu"].update(exercise="02_other")))
    with pytest.raises(InputError, match="no cell of exercise '90_demo'"):
        merged(pristine, fill(change=lambda book: book.update(cells=book["cells"][1:2], metadata={})))
