"""What every house test looks at: the repository, its library and its text files."""

import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
LEFT_OUT = {".git", "__pycache__", ".ruff_cache", ".hypothesis", ".pytest_cache", ".ipynb_checkpoints", ".mypy_cache",
            "suspedu-course", "suspedu-desk", "build", "dist", "demo"}  # an archive has no git to say what is ignored
TEXT = {".py", ".js", ".css", ".md", ".toml", ".ipynb", ".yaml", ".yml", ".txt", ".csv", ".json", ".html", ""}


def kept_files(root: Path, *options: str) -> list[str]:
    """Paths of the project's own files: what git tracks, or all that lies there where there is no git."""
    if (root / ".git").exists() and shutil.which("git"):
        listed = subprocess.run(["git", "ls-files", "-z", *options], cwd=root, capture_output=True, check=True)
        return [name for name in listed.stdout.decode().split("\0") if name and (root / name).exists()]
    return ["/".join(path.relative_to(root).parts) for path in sorted(root.rglob("*"))
            if path.is_file() and not foreign(path.relative_to(root).parts)]


def foreign(parts: tuple[str, ...]) -> bool:
    """Whether a path leads to something that was made here and is no part of the project."""
    return any(part in LEFT_OUT or part.startswith((".venv", "demo-class-")) or part.endswith(".egg-info")
               or part == ".suspedu-notes.json" for part in parts)


@pytest.fixture(scope="session")
def root() -> Path:
    return ROOT


@pytest.fixture(scope="session")
def listing():
    """The function that lists a project's own files."""
    return kept_files


@pytest.fixture(scope="session")
def text_files() -> dict[str, str]:
    """Every text file of the project, by its path in the repository."""
    return {name: (ROOT / name).read_text(encoding="utf-8") for name in kept_files(ROOT)
            if Path(name).suffix in TEXT}
