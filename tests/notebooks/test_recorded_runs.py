"""nbval over the lessons: each prints what it recorded."""

from suspedu.coursework.authoring import record


def test_recorded_text_of_a_lesson_is_what_runs_now(lesson):
    assert record.differences([lesson]) == []
