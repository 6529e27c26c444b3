"""The course's notebooks: lessons, solutions and the exercises derived from them."""

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
MARKS_A_CLASS = "for_the_instructor"  # run by `tests/coursework/returns/test_instructors_page.py`


def pytest_generate_tests(metafunc):
    """Run a test once for each notebook of the folders that its parameter names."""
    folders = {"notebook": ("lessons", "solutions", "exercises"), "lesson": ("lessons",), "pair": ("solutions",),
               "played": ("lessons",), "recorded": ("lessons", "solutions")}
    for name in folders.keys() & set(metafunc.fixturenames):
        paths = [path for folder in folders[name] for path in sorted((ROOT / folder).glob("*.ipynb"))]
        paths = [path for path in paths if name != "played" or path.stem != MARKS_A_CLASS]
        metafunc.parametrize(name, paths, ids=[f"{path.parent.name}-{path.stem}" for path in paths])
