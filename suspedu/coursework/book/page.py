"""Self-contained pages: escaped text, one small style, a policy that lets nothing be loaded or run."""

from __future__ import annotations

import html
import re

ANSI = re.compile(r"\x1b(\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(\x07|\x1b\\)?|[@-Z\\-_])")
POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
STYLE = """
:root { color-scheme: light dark; --line: #8888; --soft: #8881; --right: #00684a; --wrong: #9b3d00; }
@media (prefers-color-scheme: dark) { :root { --right: #5fd3a6; --wrong: #ffab70; } }
body { font: 16px/1.5 system-ui, sans-serif; max-width: 52rem; margin: 2rem auto; padding: 0 1rem; }
table { border-collapse: collapse; width: 100%; margin: 1rem 0; }
th, td { text-align: left; vertical-align: top; padding: .3rem .6rem; border-bottom: 1px solid var(--line); }
td.n, th.n { text-align: right; font-variant-numeric: tabular-nums; }
pre { background: var(--soft); padding: .6rem; white-space: pre-wrap; overflow-wrap: anywhere; margin: .3rem 0; }
.wide { overflow-x: auto; } ul.tight { margin: .3rem 0 1rem; }
.right { color: var(--right); } .wrong { color: var(--wrong); } .small { font-size: .85em; }
svg text { fill: currentColor; font: 12px system-ui, sans-serif; } svg .bar { fill: #5b7fa6; }
svg .axis { stroke: currentColor; stroke-width: 1; }
@media (max-width: 640px) { th, td { padding: .3rem; font-size: .88em; } }
@media print { body { margin: 0; } }
"""


def plain(text: str, longest: int = 1200) -> str:
    """Text without escapes and signs that act on a screen, shortened: safe in a terminal, not yet in a page.

    >>> plain("a\\x1b[31mb\\x00\\u202ec")
    'abc'
    """
    left_out = len(text) - longest
    kept = ANSI.sub("", text[:longest])
    kept = "".join(sign for sign in kept if sign in "\n\t" or sign.isprintable())
    return kept if left_out <= 0 else f"{kept}\n[... {left_out} more characters left out]"


def shown(text, longest: int = 1200) -> str:
    """Text made harmless in a page: nothing in it is taken for markup.

    >>> shown("<script>alert('x')</script>")
    '&lt;script&gt;alert(&#x27;x&#x27;)&lt;/script&gt;'
    """
    return html.escape(plain(str(text), longest))


def page(title: str, body: str) -> str:
    """A whole page.

    Parameters: title, plain text; body, markup of our own with everything foreign escaped already.
    """
    return ("<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
            f"<meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\">\n"
            "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
            f"<title>{shown(title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n")


def table(heads: list[str], rows: list[list], numeric: tuple[int, ...] = ()) -> str:
    """A table of escaped text; columns in `numeric` are set to the right."""
    def cells(tag: str, row: list) -> str:
        kinds = [" class=n" if k in numeric else "" for k in range(len(row))]
        return "".join(f"<{tag}{kind}>{shown(cell)}</{tag}>" for kind, cell in zip(kinds, row, strict=True))
    lines = [f"<tr>{cells('th', heads)}</tr>", *(f"<tr>{cells('td', row)}</tr>" for row in rows)]
    return '<div class="wide" tabindex="0"><table>\n' + "\n".join(lines) + "\n</table></div>"
