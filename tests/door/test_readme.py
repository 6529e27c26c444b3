"""The README's promises: its commands are what they say, its map shows the lessons that are there."""

import json
import re
from pathlib import Path

import pytest

from suspedu.cli import COMMANDS

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def title(lesson: Path) -> str:
    """Title of a lesson: its first heading, without a number in front."""
    cells = json.loads(lesson.read_text(encoding="utf-8"))["cells"]
    text = "".join(next(cell["source"] for cell in cells if cell["cell_type"] == "markdown"))
    return re.sub(r"^\d\d\W+", "", re.search(r"^# (.+)$", text, re.MULTILINE)[1].strip())


def expected_map() -> list[str]:
    return [f"| {path.name[:2]} | [{title(path)}](lessons/{path.name}) |"
            for path in sorted((ROOT / "lessons").glob("[0-9][0-9]_*.ipynb"))]


def test_map_equals_the_lessons():
    section = README.partition("## The lessons")[2].partition("\n## ")[0]
    rows = [line for line in section.splitlines() if re.match(r"\| \d\d \|", line)]
    assert rows == expected_map(), "README's map should read:\n" + "\n".join(expected_map())


@pytest.mark.parametrize("ending", ["-m pytest", "suspedu open"])
def test_each_purpose_has_one_command_for_each_system(ending):
    lines = [line for line in README.splitlines() if line.endswith(ending) and "venv .venv" in line]
    assert len(lines) == 2
    unix, windows = lines
    assert unix.startswith("python3 -m venv") and "&&" in unix and "\\" not in unix
    assert windows.startswith("py -3 -m venv") and "&&" not in windows and "/bin/" not in windows


def test_commands_that_are_named_exist():
    prose = re.sub(r"(?s)```.*?```", "", README)
    named = set(re.findall(r"suspedu ([a-z]+)\b", "\n".join(re.findall(r"`([^`]+)`", prose))))
    assert {"open", "ready", "selfmark"} <= named <= set(COMMANDS)


def test_questions_that_are_named_exist():
    """`pen points STUDENT EXERCISE QUESTION POINTS`: the exercise asks that question, and has so many points for it."""
    named = re.findall(r"suspedu pen points (\S+) (\d\d) (\S+) (\d+)", README)
    assert named
    for _, exercise, question, points in named:
        path, = (ROOT / "exercises").glob(f"{exercise}_*.ipynb")
        facts = [cell["metadata"].get("suspedu", {}) for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]]
        asked = {fact["question"]: fact["points"] for fact in facts if "points" in fact}
        assert int(points) <= asked[question], (exercise, question)


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_links_lead_somewhere(name):
    text = (ROOT / name).read_text(encoding="utf-8")
    links = [link for link in re.findall(r"\]\(([^)#]+)\)", text) if "://" not in link]
    assert not [link for link in links if not (ROOT / link).exists()]


@pytest.mark.parametrize("caution", ["spring energy", "gas pressure", "eye protection", "stands", "trained workshop",
                                     "torque", "ride slowly first", "clearances", "legal limits", "used oil"])
def test_cautions_are_there(caution):
    section = README.partition("## Cautions")[2].partition("\n## ")[0]
    assert caution in re.sub(r"\s+", " ", section).lower()
