"""The instructor's page hands out, marks and makes a class book: it prints what it recorded."""

from suspedu.coursework.authoring import record


def test_recorded_text_of_the_instructors_page_is_what_runs_now(pytestconfig):
    assert record.differences([pytestconfig.rootpath / "lessons" / "for_the_instructor.ipynb"]) == []
