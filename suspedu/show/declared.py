"""A panel as one declaration: what stands over it, what can be moved, what is drawn. Called, it is live."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fnmatch import fnmatchcase
from typing import TYPE_CHECKING

from suspedu.show.manner import PLAIN, Manner
from suspedu.show.view import Axes, Choice, Control, View, start_values

if TYPE_CHECKING:
    from suspedu.show.panel import Panel


@dataclass(frozen=True, eq=False, kw_only=True)
class Declared:
    """A panel of a lesson, declared once; nothing is drawn and nothing heavy loaded until it is called.

    `gaps`: patterns of items that may be broken off or empty. `inside`: items that stay within their axes whatever
    the controls say; the others may leave them, and a curve that does is a wall there. Both are held by a test.
    """

    id: str
    title: str
    controls: tuple[Control | Choice, ...]
    axes: tuple[Axes, ...]
    view: Callable[..., View]
    height: int = 340
    gaps: tuple[str, ...] = ()
    inside: tuple[str, ...] = ()
    manner: Manner = PLAIN

    def __call__(self, **start) -> Panel:
        """The live panel; start values by the names of its controls.

        Raises: InputError for a control that it does not have, or a value that the control does not allow.
        """
        from suspedu.show.panel import Panel

        return Panel(self.view, self.controls, self.axes, title=self.title, height=self.height, start=start,
                     manner=self.manner)

    def values(self, **changed) -> dict:
        """The values of all controls at the start, some of them given by name."""
        return start_values(self.controls, changed)

    def shown(self, **changed) -> View:
        """What the panel shows at the start, some values given by name: a view, for a film or a test."""
        return self.view(**self.values(**changed))

    def may_have_gaps(self, item: str) -> bool:
        """Whether an item of its views may be broken off or empty."""
        return any(fnmatchcase(item, pattern) for pattern in self.gaps)
