"""nbval over the lessons: each prints what it recorded (the instructor's page marks a class: it runs with returns)."""

from suspedu.coursework.authoring import record


def test_recorded_text_of_a_lesson_is_what_runs_now(played):
    assert record.differences([played]) == []
