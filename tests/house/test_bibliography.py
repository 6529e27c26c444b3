"""Sources: each that is named exists, in library, tests and notebooks; each that exists is named."""

import ast
import json
import re
from pathlib import Path

from suspedu.sources import SOURCES

ROOT = Path(__file__).resolve().parents[2]
NO_KEY = ("common practice", "derivation", "exact geometry", "guess of the course")  # said outright instead of a key
AUTHOR = r"[A-Z][a-zé]{2,}"
AUTHOR_YEAR = re.compile(rf"\b({AUTHOR})(?:(?:,? (?:and|&)|,) {AUTHOR})*,? \(?((?:18|19|20)\d\d)\b(?!-\d)")
NO_AUTHORS = {"Student", "Version", "Python"}  # a word and a number that are no author and no year
STANDARD = re.compile(r"\b(ISO|EN|IEC|ASTM|RFC|WCAG|CIE)[ -]?([A-Z]?\d[\d-]*)")


def files(folders: str) -> list[Path]:
    return [path for folder in folders.split() for kind in ("py", "toml", "ipynb")
            for path in sorted((ROOT / folder).rglob(f"*.{kind}"))]


def place(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def source_of(path: Path) -> str:
    """Text of a file; of a notebook its cells, without what they printed."""
    text = path.read_text(encoding="utf-8")
    if path.suffix != ".ipynb":
        return text
    return "\n".join("".join(cell["source"]) for cell in json.loads(text)["cells"])


def behind_source(text: str) -> list[str]:
    """Each key, with its locator, that stands behind "Source:" at the head of a line."""
    found = []
    for hit in re.finditer(r"^[\s#\"]*Source: (.+)$", text, re.MULTILINE):
        bare = re.sub(r"\([^()]*\)", "", hit[1])  # marks and remarks
        first, *more = (part.strip().rstrip(".\"") for part in bare.split(";"))
        found += [first, *(part for part in more if re.match(r"[a-z0-9-]+(,|$)", part))]  # the rest is a remark
    return found


def named_sources() -> list:
    return [(place(path), said) for path in files("suspedu tests lessons solutions") if path != Path(__file__)
            for said in behind_source(source_of(path))]


def test_named_sources_exist():
    """What is named here is not in suspedu/sources.py."""
    assert not [(where, said) for where, said in named_sources()
                if not said.startswith(NO_KEY) and re.split(r"[,: ]", said)[0] not in SOURCES]


def cited_keys(text: str) -> set[str]:
    """Keys that a cell or a module hands to `cite`: one by one, or from a row over which it goes."""
    keys = set()
    for node in ast.walk(ast.parse(text)):
        called = getattr(node.func, "id", getattr(node.func, "attr", "")) if isinstance(node, ast.Call) else ""
        if called in ("cite", "references"):
            keys |= {part.value for part in node.args if isinstance(part, ast.Constant)}
        if isinstance(node, ast.For | ast.comprehension) and isinstance(node.target, ast.Name) \
                and re.search(rf"\bcite\({node.target.id}\)", text) and isinstance(node.iter, ast.Tuple | ast.List):
            keys |= {part.value for part in node.iter.elts}
    return keys


def cells_of(path: Path) -> list[str]:
    return ["".join(cell["source"]) for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]
            if cell["cell_type"] == "code"]


def test_what_notebooks_cite_exists():
    for path in files("lessons solutions exercises"):
        cited = {key for cell in cells_of(path) for key in cited_keys(cell)}
        assert cited <= SOURCES.keys(), place(path)
        assert cited or not any("cite(" in cell for cell in cells_of(path)), place(path)


def test_cited_keys_are_seen():
    assert cited_keys('print(cite("merritt"))') == cited_keys('references("merritt")') == {"merritt"}
    assert cited_keys('print([cite(key) for key in ("wahl", "roark")])') == {"wahl", "roark"}
    assert cited_keys('for key in ["wahl"]:\n    print(cite(key))') == {"wahl"}


def unknown_authors(text: str) -> set[str]:
    """Authors with a year, and numbers of standards, that no entry of the bibliography holds."""
    found = set()
    for author, year in AUTHOR_YEAR.findall(text):
        known = any(author in entry and year in entry for entry in SOURCES.values())
        if author not in NO_AUTHORS and not known:
            found.add(f"{author} {year}")
    for body, number in STANDARD.findall(text):
        wanted = re.compile(rf"{body}\W.*(?<![\d.]){re.escape(number.rstrip('-'))}\b")
        if not any(wanted.search(entry) for entry in SOURCES.values()):
            found.add(f"{body} {number}")
    return found


def test_no_author_or_standard_is_missing():
    assert not {place(path): found for path in files("suspedu tests lessons solutions")
                if path != Path(__file__) and (found := unknown_authors(source_of(path)))}


def test_a_missing_author_would_be_found():
    assert unknown_authors("as Nobody & Someone (1931) wrote; after ISO 99999-3") == {"Nobody 1931", "ISO 99999-3"}
    assert not unknown_authors("Hedrick & Butsuen 1990; Machado, Oliveira, Fernandes (2009), ISO 8608, ASTM D341")


def squeezed(name: str) -> str:
    return re.sub(r"[^a-z0-9]", "", name)


def test_published_files_are_named_by_a_source_that_they_state():
    for path in sorted((ROOT / "tests/published").glob("test_*.py")):
        head = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
        stated = [re.split(r"[,: ]", said)[0] for said in behind_source(head)]
        name = squeezed(path.stem.removeprefix("test_"))
        assert any(squeezed(key)[:5] == name[:5] for key in stated), f"{path.stem} states {stated}"


def test_every_source_is_used():
    places = [path for path in files("suspedu tests lessons solutions") if path.name != "sources.py"]
    used = "\n".join(source_of(path) for path in places)
    idle = [key for key in SOURCES if not re.search(rf"(?<![\w-]){re.escape(key)}(?![\w-])", used)]
    assert not idle, f"in the bibliography, cited nowhere: {idle}"


def test_keys_are_in_order_and_references_whole():
    tree = ast.parse((ROOT / "suspedu/sources.py").read_text(encoding="utf-8"))
    table = next(node.value for node in tree.body if isinstance(node, ast.Assign) and node.targets[0].id == "SOURCES")
    keys = [key.value for key in table.keys]
    assert keys == sorted(set(keys))
    assert all(len(text) > 20 and text.endswith(".") for text in SOURCES.values())
