"""Self-contained pages from templates: everything foreign is escaped, nothing can be loaded or run."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

TEMPLATES = Path(__file__).parent / "templates"
LONGEST = 1200  # characters of a text that says nothing else
ANSI = re.compile(r"\x1b(\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(\x07|\x1b\\)?|[@-Z\\-_])")


def plain(text: str, longest: int = LONGEST) -> str:
    """Text without escapes and signs that act on a screen, shortened: safe in a terminal, not yet in a page.

    >>> plain("a\\x1b[31mb\\x00\\u202ec")
    'abc'
    """
    left_out = len(text) - longest
    kept = ANSI.sub("", text[:longest])
    kept = "".join(sign for sign in kept if sign in "\n\t" or sign.isprintable())
    return kept if left_out <= 0 else f"{kept}\n[... {left_out} more characters left out]"


def how_many(count: int, thing: str) -> str:
    """A number of things, in words.

    >>> how_many(1, "student"), how_many(0, "return sheet")
    ('1 student', '0 return sheets')
    """
    return f"{count} {thing}{'s' * (count != 1)}"


def escaped(text, longest: int = LONGEST) -> Markup:
    """Text made harmless in a page: nothing in it is taken for markup. In a template: `{{ text|escaped(300) }}`.

    >>> str(escaped("<script>alert('x')</script>"))
    '&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;'
    """
    return Markup.escape(plain(str(text), longest))


def breakable(text) -> Markup:
    """Text made harmless, that a narrow page may break behind each underline.

    >>> str(breakable("01_springs <sag>"))
    '01_<wbr>springs &lt;sag&gt;'
    """
    return Markup(str(escaped(text)).replace("_", "_<wbr>"))


def _harmless(value):
    """What stands in a template without a filter goes through `escaped` all the same."""
    return value if isinstance(value, Markup) else escaped(value)


@cache
def _templates() -> Environment:
    found = Environment(loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined,
                        finalize=_harmless, trim_blocks=True, lstrip_blocks=True)
    found.filters |= {"escaped": escaped, "breakable": breakable, "points": lambda points: f"{points:g}"}
    return found


def page(template: str, **facts) -> str:
    """A whole page.

    Parameters: template, name of a file among the templates; facts, what it shows, as plain data: text is escaped and
    shortened on its way in, whatever it holds.

    >>> page("page.html", title="A <b>").splitlines()[6]
    '<title>A &lt;b&gt;</title>'
    """
    return _templates().get_template(template).render(**facts) + "\n"
