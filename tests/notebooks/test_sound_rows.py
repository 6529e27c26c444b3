"""Every row of numbers of every solution is sound."""

from suspedu.coursework.authoring import soundness
from suspedu.coursework.exercise import loading


def test_every_row_of_numbers_is_sound(pair):
    assert soundness.faults(loading.solution(pair)) == []
