"""What copies were when they were handed out, so that none is written over once somebody has worked in it."""

from __future__ import annotations

import contextlib
import hashlib
import json
from pathlib import Path

from suspedu.coursework.desk.which_counts import HandedIn, is_untouched
from suspedu.coursework.exercise import hygiene
from suspedu.coursework.exercise.sheet import Sheet
from suspedu.files import write_whole


class AsWritten:
    """Hashes of the copies of a desk, kept in a file beside them, in the lines that `sha256sum --check` reads.

    Parameters: folder of the copies.
    """

    def __init__(self, folder: Path):
        self.folder, self.path = folder, folder.with_name(f"{folder.name}.sha256")
        self._hashes: dict[str, str] = {}
        with contextlib.suppress(OSError, ValueError):  # without it, copies are looked into
            lines = self.path.read_text(encoding="utf-8").splitlines()
            self._hashes = {name: found for found, _, name in (line.partition("  ") for line in lines)}

    def note(self, copy: Path, data: bytes) -> None:
        """Note a copy that is as it should be now."""
        self._hashes[self._name(copy)] = hashlib.sha256(data).hexdigest()

    def keep(self) -> None:
        """Write the hashes down."""
        write_whole(self.path, "".join(f"{found}  {name}\n" for name, found in sorted(self._hashes.items())))

    def holds_work(self, copy: Path, data: bytes, pristine: Sheet) -> bool:
        """Whether a copy is no longer as it was written; one that an earlier version wrote is looked into."""
        if kept := self._hashes.get(self._name(copy)):
            return kept != hashlib.sha256(data).hexdigest()
        item = HandedIn("", pristine.name, copy.name, 0.0, "", lambda: data)
        return not (_is_ours(data, pristine.name) and is_untouched(pristine, item))

    def _name(self, copy: Path) -> str:
        return copy.relative_to(self.folder.parent).as_posix()


def _is_ours(data: bytes, exercise: str) -> bool:
    """Whether a notebook has the bytes that a hand-out writes, as none has that a notebook's server saved."""
    try:
        book = json.loads(data)
        plain = book | {"cells": [hygiene.cleared(cell) for cell in book["cells"]]}
        own = book["metadata"]["suspedu"]
        copy = hygiene.tidy(plain, exercise=exercise)
        return hygiene.written(copy | {"metadata": copy["metadata"] | {"suspedu": own}}) == data
    except (ValueError, LookupError, TypeError, AttributeError):
        return False
