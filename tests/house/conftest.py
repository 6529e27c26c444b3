"""What every house test looks at: the repository, its library and its text files."""

from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
LEFT_OUT = {".git", "__pycache__", ".ruff_cache", ".hypothesis", ".pytest_cache", ".ipynb_checkpoints",
            "suspedu-course", "build", "dist"}
TEXT = {".py", ".js", ".css", ".md", ".toml", ".ipynb", ".yaml", ".yml", ".txt", ".csv", ".json", ""}


@pytest.fixture(scope="session")
def root() -> Path:
    return ROOT


@pytest.fixture(scope="session")
def text_files() -> dict[str, str]:
    """Every text file of the project, by its path in the repository."""
    found = {}
    for path in sorted(ROOT.rglob("*")):
        parts = path.relative_to(ROOT).parts
        foreign = any(part in LEFT_OUT or part.startswith(".venv") or part.endswith(".egg-info") for part in parts)
        if not foreign and path.is_file() and path.suffix in TEXT:
            found["/".join(parts)] = path.read_text(encoding="utf-8")
    return found
