"""The top level is exactly as named; nothing stands in the project that must not; warnings are errors."""

import itertools
import re
import tomllib

ROOMS = {"README.md", "DEVELOPERS.md", "pyproject.toml", "lessons", "solutions", "exercises", "suspedu", "tests"}
DOTS = {".ci", ".gitignore", ".gitattributes", ".pre-commit-config.yaml", ".constraints.txt"}
LEFTOVERS = re.compile(r"\.(git|ruff_cache|hypothesis|pytest_cache|ipynb_checkpoints|venv.*|suspedu-notes\.json)"
                       r"|build|dist|suspedu-course|suspedu-desk|demo|demo-class-.*"
                       r"|__pycache__|.*\.egg-info")  # ignored by git

# Built in pieces, so that this file does not hold the words itself.
UNWANTED = ["trans" + "cript", "seed " + "document", "recording" + " 01"]
UNFINISHED = ["TO" + "DO", "FIX" + "ME", "XX" + "X", "NotImplemented" + "Error", "pragma: no " + "cover",
              "pytest.sk" + "ip(", "xf" + "ail"]
NBVAL_WORD = {"suspedu/coursework/", "tests/coursework/"}  # nbval itself uses the last of these words, and is read here


def test_top_level(root):
    found = {entry.name for entry in root.iterdir() if not LEFTOVERS.fullmatch(entry.name)}
    assert found == ROOMS | DOTS


def test_no_unwanted_word(text_files):
    pattern = re.compile("|".join(UNWANTED), re.IGNORECASE)
    assert not [path for path, text in text_files.items() if pattern.search(text)]


def test_nothing_unfinished(text_files):
    pattern = re.compile("|".join(rf"(?<!\w){re.escape(word)}" for word in UNFINISHED))
    hits = [(path, hit[0]) for path, text in text_files.items() if path.startswith(("suspedu/", "tests/"))
            for hit in pattern.finditer(text) if not (hit[0] == UNFINISHED[-1] and path.startswith(tuple(NBVAL_WORD)))]
    assert not hits


def test_words_are_found():
    assert re.search("|".join(UNWANTED), "the Trans" + "cript", re.IGNORECASE)


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
