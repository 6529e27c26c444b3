"""The top level is exactly as named; nothing stands in the project that must not; warnings are errors."""

import hashlib
import itertools
import re
import subprocess
import tomllib

import pytest

ROOMS = {"README.md", "DEVELOPERS.md", "pyproject.toml", "lessons", "solutions", "exercises", "suspedu", "tests"}
DOTS = {".ci", ".gitignore", ".gitattributes", ".pre-commit-config.yaml", ".constraints.txt"}

# Words, and pairs of neighbouring words, that must not stand here are known by their hashes alone.
SALT, DIGITS, LONGEST_WORD = "house of springs", 24, 30
BARRED = {
    "11daccf9d1f397bbfd64602a",
    "7bb31ca8a4004ab3e9914708",
    "801d2c569b18f04f21f8b8cc",
    "a95d2662e3eb825f4bb8a0ef",
    "bbc68beb88ee122e92f7eddb",
    "bd6a190729cc58417c8ab365",
    "c330545569b8af194b0786c3",
    "e29455c5b2444adcc7d91f1d",
    "e9bcabbcf7dba38d06113e6b",
    "ebe1486f5ba10d368c28fe77",
    "ee0772f893e04cab5ac36672",
    "f06a849612264202f4e48402",
}
UNFINISHED = ["TO" + "DO", "FIX" + "ME", "XX" + "X", "NotImplemented" + "Error", "pragma: no " + "cover",
              "pytest.sk" + "ip(", "xf" + "ail"]
NBVAL_WORD = {"suspedu/coursework/", "tests/coursework/"}  # nbval itself uses the last of these words, and is read here
NOTE = re.compile(r"[\w-]+\.md\b|\bissues?\s#?\d")  # a paper beside the project, or a place in a list of tasks


def top_names(paths) -> set[str]:
    return {path.partition("/")[0] for path in paths}


def hashed(word: str) -> str:
    return hashlib.sha256(f"{SALT}:{word}".encode()).hexdigest()[:DIGITS]


def words_and_pairs(text: str) -> set[str]:
    """Each word of a text in small letters, and each two that follow one another; no pieces of pictures."""
    words = [word for word in re.findall(r"[a-z0-9]+", text.lower()) if len(word) <= LONGEST_WORD]
    return {*words, *map(" ".join, itertools.pairwise(words))}


def barred_in(text: str, barred: set[str]) -> list[str]:
    return [word for word in words_and_pairs(text) if hashed(word) in barred]


def test_top_level(root, listing):
    assert top_names(listing(root)) == ROOMS | DOTS


def test_a_stray_file_is_found_and_an_editors_folder_is_not_looked_at(tmp_path, listing):
    """In a repository only what git tracks counts; in an unpacked archive, all that lies there."""
    for name in ("README.md", "stray.txt", ".editor/settings.json", ".venv/lib/x.py"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("x", encoding="utf-8")
    assert top_names(listing(tmp_path)) == {"README.md", "stray.txt", ".editor"}
    subprocess.run(["git", "init", "-q", "."], cwd=tmp_path, check=True)
    subprocess.run(["git", "add", "README.md", "stray.txt"], cwd=tmp_path, check=True)
    assert top_names(listing(tmp_path)) == {"README.md", "stray.txt"}


def test_no_barred_word(text_files):
    assert not {path: found for path, text in text_files.items() if (found := barred_in(text + " " + path, BARRED))}


@pytest.mark.parametrize(("word", "text"), [
    ("fork", "A FORK, cut open"), ("oil height", "the oil\n height counts"), ("clicks out", "clicks_out = 8")])
def test_a_barred_word_would_be_found(word, text):
    """The mechanism, shown on harmless words: alone, in capitals, over a line's end, inside a name."""
    assert barred_in(text, {hashed(word)}) == [word]
    assert not barred_in("a spoke, cut open; the height of oil; click out", {hashed(word)})


def test_notes_that_are_not_here_are_not_cited(text_files):
    """A reader must be able to open what is cited: no paper and no task list that lies elsewhere."""
    names = {path.rpartition("/")[2] for path in text_files}
    hits = {path: cited for path, text in text_files.items()
            if (cited := sorted(set(NOTE.findall(text)) - names))}
    assert not hits
    note, task = "plan" + ".md", "issue" + " 3"
    assert NOTE.findall(f"see {note}, 7; as {task} asks; tissue 3") == [note, task]


def test_nothing_unfinished(text_files):
    pattern = re.compile("|".join(rf"(?<!\w){re.escape(word)}" for word in UNFINISHED))
    hits = [(path, hit[0]) for path, text in text_files.items() if path.startswith(("suspedu/", "tests/"))
            for hit in pattern.finditer(text) if not (hit[0] == UNFINISHED[-1] and path.startswith(tuple(NBVAL_WORD)))]
    assert not hits


def test_files_are_small(root, text_files):
    assert not [path for path in text_files if (root / path).stat().st_size > 500_000]


def test_warnings_are_errors(root, text_files):
    filters = tomllib.loads(text_files["pyproject.toml"])["tool"]["pytest"]["ini_options"]["filterwarnings"]
    assert filters[0] == "error"
    unexplained = [entry for entry in filters[1:] if entry not in text_files["DEVELOPERS.md"]]
    assert not unexplained, f"DEVELOPERS.md does not say why these warnings are exempt: {unexplained}"


def test_tested_versions_meet_the_bounds(text_files):
    from packaging.requirements import Requirement

    pinned = dict(line.split("==") for line in text_files[".constraints.txt"].splitlines()
                  if line and not line.startswith("#"))
    project = tomllib.loads(text_files["pyproject.toml"])["project"]
    wanted = [*project["dependencies"], *itertools.chain(*project["optional-dependencies"].values())]
    for needed in map(Requirement, wanted):
        name = re.sub(r"[-_.]+", "-", needed.name).lower()
        assert name in pinned, f"{needed.name} has no tested version"
        assert needed.specifier.contains(pinned[name]), f"{needed} against the tested {pinned[name]}"
