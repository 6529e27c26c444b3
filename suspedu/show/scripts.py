"""The page's side of our widgets: their own lines behind those that all of them share."""

from __future__ import annotations

from pathlib import Path

HERE = Path(__file__).parent


def script(*names: str) -> str:
    """The JavaScript module of a widget: `page.js`, then its own files of these names."""
    return "\n".join((HERE / part).read_text(encoding="utf-8") for part in ("page.js", *names))
