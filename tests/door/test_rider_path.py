"""The rider's path: what holds a panel or a prediction stays open, all other sections start folded."""

import asyncio
import json
import re
import shutil
from pathlib import Path

import pytest

from suspedu.commands import rider_path
from suspedu.commands.contents import CourseContents

LESSONS = sorted((Path(__file__).resolve().parents[2] / "lessons").glob("*.ipynb"))


def read(path: Path) -> dict:
    return json.loads(path.read_text(encoding="utf-8"))


def hidden(book: dict) -> list[dict]:
    """Cells that a folded heading hides, as JupyterLab does: up to the next heading of its level or above."""
    found, level = [], 0
    for cell in book["cells"]:
        text = "".join(cell["source"])
        rank = len(text) - len(text.lstrip("#")) if cell["cell_type"] == "markdown" else 0
        if rank and (not level or rank <= level):
            level = rank if cell["metadata"].get(rider_path.FOLDED) else 0
        elif level:
            found.append(cell)
    return found


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem[:2])
def test_panels_and_predictions_stay_open(path):
    book = read(path)
    rider_path.fold(book)
    code = ["".join(cell["source"]) for cell in hidden(book) if cell["cell_type"] == "code"]
    assert not [text for text in code if re.search(r"panels\.\w+\(|asking\.predict|_form\(|setup_session\(", text)]
    assert not [cell for cell in hidden(book) if "## Key points" in "".join(cell["source"])]
    shown = [cell for cell in book["cells"] if cell["cell_type"] == "code" and cell not in hidden(book)]
    assert all(cell["metadata"]["jupyter"]["source_hidden"] for cell in shown)  # no code in sight


def test_derivations_start_folded():
    folded = {}
    for path in LESSONS:
        book = read(path)
        rider_path.fold(book)
        for cell in book["cells"]:
            if (text := "".join(cell["source"])).startswith("## For the curious"):
                folded[path.stem[:2], text.splitlines()[0]] = cell["metadata"].get(rider_path.FOLDED, False)
    assert len(folded) >= 10
    assert sum(folded.values()) >= 0.8 * len(folded)  # the others hold a panel


def test_what_the_reader_unfolded_stays_unfolded():
    book = read(LESSONS[1])
    heads = [cell for cell in book["cells"] if "".join(cell["source"]).startswith("## For the curious: where")]
    heads[0]["metadata"][rider_path.FOLDED] = False
    rider_path.fold(book)
    assert heads[0]["metadata"][rider_path.FOLDED] is False


@pytest.mark.usefixtures("no_loop_of_others")
@pytest.mark.parametrize(("path", "folds"), [("rider", True), ("", False)])
def test_the_server_folds_lessons_on_the_riders_path_only(path, folds, tmp_path, monkeypatch):
    (tmp_path / "lessons").mkdir()
    shutil.copy(LESSONS[4], tmp_path / "lessons")
    shutil.copy(LESSONS[4], tmp_path)
    monkeypatch.setenv(rider_path.CHOSEN, path)

    async def asleep(_self, _path):
        return ""

    monkeypatch.setattr(CourseContents, "_kernel", asleep)
    contents = CourseContents(root_dir=str(tmp_path))
    for place, wanted in ((f"lessons/{LESSONS[4].name}", folds), (LESSONS[4].name, False)):
        book = asyncio.run(contents.get(place))["content"]
        assert any(cell["metadata"].get(rider_path.FOLDED) for cell in book["cells"]) is wanted
