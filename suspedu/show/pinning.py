"""What a panel does with a pinned setting: keep it, let it go, change places with it, compare with it."""

from __future__ import annotations

from suspedu.show.manner import Manner
from suspedu.show.view import View
from suspedu.units import InputError


class Pinning:
    """The part of a panel that holds a pinned view and the values it was shown for; `Panel` has the rest."""

    _manner: Manner
    _pin: View | None
    _pinned_at: dict
    pinned: bool

    @property
    def pinned_values(self) -> dict:
        """The setting that is pinned; nothing where none is."""
        return dict(self._pinned_at) if self.pinned else {}

    def pin(self) -> None:
        """Keep the present curves as grey ghosts and compare with them from now on."""
        self._pin, self._pinned_at, self.pinned = self._now, dict(self.values), True
        self._redraw()

    def swap(self) -> None:
        """Change places with the pinned setting: what was pinned is set, what was set is pinned."""
        if not self.pinned:
            raise InputError("nothing is pinned, so there is nothing to change places with: pin a setting first")
        with self._lock:
            there = self._manner.pinned_under(self._pinned_at, self.values)
            self._pin, self._pinned_at = self._view(**self.values), dict(self.values)
            self._set_all(there)

    def unpin(self) -> None:
        """Let go of the pinned curves."""
        self._pin, self.pinned = None, False
        self._redraw()

    def _pin_or_free(self, _message=None) -> None:
        self.unpin() if self.pinned else self.pin()

    def _swap(self, _message=None) -> None:
        self.swap()

    def _viewed(self) -> View:
        """The view of the present values, compared with the pinned setting under the same conditions."""
        now, manner = self._view(**self.values), self._manner
        if not self.pinned:
            return now
        there = manner.pinned_under(self._pinned_at, self.values)
        if there != self._pinned_at:
            self._pin, self._pinned_at = self._view(**there), there
        return manner.against(now, self._pin) if manner.against else now
