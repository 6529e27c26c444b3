"""The course secret: from it and the student number come each student's own numbers."""

from __future__ import annotations

import os
import secrets
import stat
from pathlib import Path

from suspedu.units import InputError

BYTES = 32


def course_secret(path: Path) -> bytes:
    """The secret in a file that only its owner can read; made where there is none yet.

    Raises: InputError where the file is damaged or others can read it.
    """
    if not path.exists():
        _make(path)
    _require_private(path)
    try:
        secret = bytes.fromhex(path.read_text(encoding="ascii").strip())
    except (ValueError, OSError):
        secret = b""
    if len(secret) != BYTES:
        raise InputError(f"course secret '{path}' is damaged: expected {2 * BYTES} hexadecimal digits; "
                         "restore it from your copy, for without it every student's numbers change")
    return secret


def _make(path: Path) -> None:
    """Write a new secret whole or not at all, readable by its owner from its first moment."""
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(path.name + f".{os.getpid()}")
    handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(secrets.token_hex(BYTES) + "\n")
        file.flush()
        os.fsync(file.fileno())
    try:
        os.link(beside, path)  # fails where another run was first: then theirs counts
    except FileExistsError:
        return
    except OSError:
        beside.rename(path)  # file systems without hard links
    finally:
        beside.unlink(missing_ok=True)


def _require_private(path: Path) -> None:
    mode = path.stat().st_mode
    if os.name == "posix" and stat.S_IMODE(mode) & 0o077:
        raise InputError(f"course secret '{path}' can be read by others (mode {stat.S_IMODE(mode):o}); "
                         f"type: chmod 600 '{path}'")
