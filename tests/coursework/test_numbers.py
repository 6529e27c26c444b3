"""Each student's own numbers: picked the same each time, spread over the table, written without losing comments."""

from collections import Counter

import pytest

from suspedu.coursework.exercise import numbers
from suspedu.units import InputError

# HMAC-SHA256, rfc-4231, test case 2 (printed): key "Jefe", data "what do ya want for nothing?"
RFC4231_CASE_2 = 0x5BDCC146BF60754E6A042426089575C75A003F089D2739839DEC58B964EC3843


def test_row_is_the_published_hmac(monkeypatch):
    """The published digest, reduced to a row, comes out when the message is the published one."""
    exercise = "what do ya want for nothing?"
    real = numbers.hmac.new
    monkeypatch.setattr(numbers.hmac, "new", lambda key, message, kind: real(key, message[3:], kind))  # drop "28:"
    assert numbers.own_row(b"Jefe", "", exercise, 13) == RFC4231_CASE_2 % 12 + 1
    assert numbers.own_row(b"Jeff", "", exercise, 10**9) != RFC4231_CASE_2 % (10**9 - 1) + 1


def test_rows_depend_on_secret_student_and_exercise_and_never_practise():
    rows = Counter(numbers.own_row(b"s", str(student), "01_a", 13) for student in range(1200))
    assert set(rows) == set(range(1, 13))
    assert min(rows.values()) > 60 and max(rows.values()) < 140  # 100 each, four standard deviations of 9.6
    drawn = [numbers.own_row(s, n, e, 10**6) for s, n, e in [(b"s", "1", "01_a"), (b"t", "1", "01_a"),
                                                              (b"s", "2", "01_a"), (b"s", "1", "02_a"),
                                                              (b"s", "101_a", "")]]
    assert len(set(drawn)) == 5


def test_substitution_keeps_names_comments_and_columns():
    source = "höhe = 110.0  # mm, Ölstand ä\nn = -3; wire = 4.5e-3  # m\ntwice = 2 * n"
    given = numbers.substituted(source, {"höhe": 95.5, "n": 7, "wire": 0.005})
    assert given == "höhe = 95.5  # mm, Ölstand ä\nn = 7; wire = 0.005  # m\ntwice = 2 * n"


def test_substitution_refuses_what_it_cannot_place():
    with pytest.raises(InputError, match="does not assign turns"):
        numbers.substituted("wire = 4.5", {"turns": 3})
    with pytest.raises(InputError, match="several lines"):
        numbers.substituted("wire = [1,\n 2]", {"wire": 3})


def test_row_of_the_solution_lands_in_the_exercise(pristine, solution):
    given = numbers.with_row(pristine, solution, 3)
    cell = next(cell for cell in given.cells if cell.role == "numbers")
    assert cell.source == "wire = 4.7  # mm, diameter of the wire\nturns = 9.0  # active turns\nstroke = 140  # mm"
    assert numbers.with_row(pristine, solution, 0) == pristine
    with pytest.raises(InputError, match="row is 13; allowed: 0 to 12"):
        numbers.with_row(pristine, solution, 13)


@pytest.mark.parametrize(("facts", "words"), [
    ({"rows": [[4.5, 9.0, 120]] * 13}, "a row twice"),
    ({"rows": [[4.5, 9.0, 120]]}, "at least 13 rows"),
    ({"rows": [[4.6, 9.0, 120], *([float(n), 9.0, 1] for n in range(12))]}, r"first row \(practice\) is \[4.6"),
])
def test_unfit_table_is_refused(solution, facts, words):
    with pytest.raises(InputError, match=words):
        numbers.row_count(solution.with_facts("numbers", **facts))
