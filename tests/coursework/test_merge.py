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
    assert "wrong kind (markdown)" in found.notes[0]


def test_another_exercise_is_refused(pristine, fill):
    with pytest.raises(InputError, match="is exercise '02_other', not '90_demo'"):
        merged(pristine, fill(change=lambda book: book["metadata"]["suspedu"].update(exercise="02_other")))
    with pytest.raises(InputError, match="no cell of exercise '90_demo'"):
        merged(pristine, fill(change=lambda book: book.update(cells=book["cells"][:2], metadata={})))
