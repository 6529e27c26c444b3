"""Pages from templates: whatever a student, a class list or a record holds, nothing in it becomes markup."""

import re
import shutil
import subprocess
from dataclasses import fields, replace
from html.parser import HTMLParser

import jinja2
import pytest

from suspedu.coursework.book import classbook, page, sheet_page
from suspedu.coursework.book.class_figures import figures
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.record_book import Marked, RecordBook, Scored
from suspedu.coursework.exercise import places

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome", "chrome"))), None)
HOSTILE = ("</title></style></pre>\"'><script>alert(1)</script><img src=x onerror=alert(1)>"
           "{{ 7 * 7 }}{% raw %}\x1b[31m\u202e")
OURS = {"html", "head", "meta", "title", "style", "body", "h1", "h2", "h3", "p", "strong", "pre", "ul", "li", "div",
        "table", "tr", "th", "td", "svg", "text", "rect", "line", "a", "wbr"}


class Reader(HTMLParser):
    """Collects the elements of a page, its event attributes among them, and what is open at its end."""

    def __init__(self, text):
        super().__init__()
        self.elements, self.open = set(), []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.elements |= {tag, *(name for name, _ in attrs if name.startswith("on"))}
        if tag not in ("meta", "wbr"):
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.elements.add(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag, tag


def hostile(thing, **kept):
    """The same with hostile text in every field of text."""
    return replace(thing, **{f.name: HOSTILE for f in fields(thing) if f.type in ("str", str)} | kept)


SCORED = hostile(Scored("q1", "t", 1.0, 2, "wrong"))
MARKED = hostile(Marked("1", "90_demo", "j", "d", "f", 0.0, "now"), fault="", notes=(HOSTILE,), questions=(SCORED,))


@pytest.mark.parametrize("marks", [[MARKED], [MARKED, MARKED], [replace(MARKED, fault=HOSTILE)], []])
def test_a_return_sheet_of_hostile_text_holds_our_elements_only(marks):
    text = sheet_page.return_sheet(hostile(Student("1")), marks, with_solutions=True)
    read = Reader(text)
    assert read.elements <= OURS and not read.open
    assert "alert(1)" in text and "{{ 7 * 7 }}" in text and "\x1b" not in text and "\u202e" not in text


def test_a_class_book_of_hostile_text_holds_our_elements_only(tmp_path):
    with RecordBook(tmp_path / "record.sqlite") as record:
        record.add_students([Student("1", HOSTILE, HOSTILE), Student("2", HOSTILE)])
        record.set_asked(HOSTILE, [("q1", HOSTILE, 2, False)])
        record.add_handout([("1", HOSTILE, 1), ("2", HOSTILE, 1)])
        record.write(replace(MARKED, student="1", exercise=HOSTILE,
                             questions=(replace(SCORED, question="q1", verdict="wrong"),)))
        text = classbook.as_page(figures(record), [HOSTILE], list(record.marked()))
    read = Reader(text)
    assert {place.partition("/")[0].partition("-")[0] for place in re.findall(r'href="([^"]*)"', text)} == {
        "#of", "return_sheets"}
    assert read.elements <= OURS and not read.open and {"svg", "rect"} <= read.elements
    assert text.count("alert(1)") > 5 and "{{ 7 * 7 }}" in text and "\x1b" not in text


def test_markup_that_got_through_would_be_noticed():
    assert not Reader("<p><script>1</script></p>").elements <= OURS
    assert not Reader("<p onclick=x>a</p>").elements <= OURS


@pytest.mark.skipif(not CHROMIUM, reason="no Chromium here")
def test_the_first_table_is_not_cut_in_a_narrow_window(tmp_path):
    """With the longest name that an exercise of the course has, looked at by a browser of 700 and of 600 px."""
    with RecordBook(tmp_path / "record.sqlite") as record:
        name = max((path.stem for path in places.exercises_folder().glob("[0-9]*.ipynb")), key=len)
        record.add_students([Student("1")])
        record.set_asked(name, [("q1", "Rate", 2, False)])
        record.write(Marked("1", name, "j", "d", "f", 0.0, "now", questions=(Scored("q1", "Rate", 2, 2, "right"),)))
        text = classbook.as_page(figures(record))
    for width in (700, 600):
        look = ("<script>const d = document.querySelector('.wide');"
                "document.title = `${d.scrollWidth} ${d.clientWidth}`</script>")
        (tmp_path / "look.html").write_text(re.sub("<meta http-equiv[^>]*>", "", text) + look, encoding="utf-8")
        inside, room = wide_in_browser(tmp_path / "look.html", width)
        assert 0 < inside <= room < width


def wide_in_browser(path, width):
    """The two numbers that a page wrote into its title, opened by Chromium in a window so wide [px]."""
    seen = subprocess.run([CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", f"--window-size={width},900",
                           "--dump-dom", path.as_uri()], capture_output=True, text=True, timeout=120, check=True)
    return map(int, re.search(r"<title>(\d+ \d+)</title>", seen.stdout)[1].split())


@pytest.mark.parametrize("path", sorted(page.TEMPLATES.iterdir()), ids=lambda path: path.name)
def test_no_template_lets_text_through_or_loads_anything(path):
    text = path.read_text(encoding="utf-8")
    assert not re.search(r"\|\s*safe|autoescape|<script|https?://|<link|\bsrc=|@import|url\(", text)


def test_a_template_that_names_nothing_is_refused():
    with pytest.raises(jinja2.UndefinedError):
        page.page("return_sheet.html", title="x")


def test_a_long_text_is_shortened_even_without_a_word_of_the_template():
    assert "8800 more characters left out" in page.page("page.html", title="x" * 10_000)
