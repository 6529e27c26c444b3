"""The top level is exactly as named; nothing stands in the project that must not; warnings are errors."""

import hashlib
import itertools
import re
import subprocess
import tomllib

import pytest

ROOMS = {"README.md", "DEVELOPERS.md", "pyproject.toml", "lessons", "solutions", "exercises", "suspedu", "tests"}
DOTS = {".ci", ".gitignore", ".gitattributes", ".pre-commit-config.yaml", ".constraints.txt"}

# Words, and pairs of neighbouring words, that must not stand here (names of makers and of products, of machines that
# write, and words that were given up) are known by their hashes alone. Short words can stand in a still by chance.
SALT, DIGITS, LONGEST_WORD = "house of springs", 24, 30
BARRED = {
    "04245b231820355c33a8e0cc", "07f22a88f90d53b15cd2ddf3", "0a409999d6e2191cf3e13b7e", "0c2bba768566b297e2cdf427",
    "0f1b1282414fcad377eb2cfe", "11daccf9d1f397bbfd64602a", "12b42dc5f743e403fda885ce", "132b2cd54cdfd39abd7413ec",
    "1c9f6a3aee61281d8acf20bd", "2b87f293ec3a0a846612376f", "3dc0d8ca0e4ffef9ac8fd87a", "3fc0c27c914ecf6e355b78cc",
    "4157e9bd43b85599f8f5cb46", "438285319bc3719ce7a49ed2", "4a67e979ae5f52647a94201e", "4b360d2bcc10ec242453b229",
    "4c3c946b9804ada06a78bb42", "4f2a902e12b9d9632f977669", "55ebc5f10ae63eca401ec51a", "5be285ac6ae81ef4b8bd9862",
    "5e8ca55adc20265b9ed6d538", "5f9e1889c158d8c1e5d7a200", "69a25343f857a15b8491d236", "702327089f957e494a408c76",
    "7050406b9cacc0604879f991", "7bb31ca8a4004ab3e9914708", "7e0976629679d3466ce25c0d", "801d2c569b18f04f21f8b8cc",
    "81455c5187a8e9e3b0e2cc3e", "818a85e682ecd99a091417a6", "82a838d9192257ab1edd519a", "8346be56033a502f03a39bf9",
    "85cc120259c4b2e89386d5dc", "8725022beb626e9ce526e5c9", "8cf3ca65b014dcf8e86ea06b", "95522ef883f53abf595c9508",
    "98ba9c3e8508fba3d0a24281", "9ebd8f030dc5eaa29fff7fab", "a76802da3f47954f70466db1", "a88cf91aceb3b885a4bbe8ca",
    "a95d2662e3eb825f4bb8a0ef", "afdf15298553ad6c56f89378", "b3345ff5fb52f4b59e1e8cc0", "b33c100eadd75705de11a92d",
    "b70f56e9265764f4fe8180c2", "b8c2632d6a24ba05a9c76d9d", "bbc68beb88ee122e92f7eddb", "bd6a190729cc58417c8ab365",
    "c00b3e8d32adacc3dea1ef9f", "c330545569b8af194b0786c3", "c3ae95bc0ca5673ec597d06e", "c49d48bacfa0cbe4c802e2cb",
    "ca1d12b14cac6a8a7caa6bf4", "cc79f961a90ec09a1f0d3150", "d2ed7f5b468d4453bff4e79d", "d392926e8d329df9c22960c5",
    "d8abb435f02fbd2ed18e0e8f", "e12c6631bd534f4212e8ef8b", "e2389dd6f903afe25dca634c", "e23fd65606f4c1c6f013b63a",
    "e29455c5b2444adcc7d91f1d", "e29e6d368f3f0a90d04d923d", "e76743a5eede2ce1e07a1dc4", "e90ca8dcb88dea26f4ca9d44",
    "e9bcabbcf7dba38d06113e6b", "ebe1486f5ba10d368c28fe77", "ee0772f893e04cab5ac36672", "f06a849612264202f4e48402",
    "f5e212f00df4090c84f2fbd5", "fb8aef56fe96f38fecb46756", "fdf9c7371d9fbee5665f7183", "fe6a9496efd40fb310a5449e",
}  # fmt: skip
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
