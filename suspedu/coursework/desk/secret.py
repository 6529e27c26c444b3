"""The course secret: from it and the student number come each student's own numbers."""

from __future__ import annotations

import os
import secrets
import stat
from pathlib import Path

from suspedu.files import reason_of, write_whole
from suspedu.units import InputError

BYTES = 32


def course_secret(path: Path) -> bytes:
    """The secret in a file that only its owner can read; made where there is none yet.

    Raises: InputError where the file is damaged, cannot be read, or can be read by others.
    """
    if not path.exists():
        write_whole(path, secrets.token_hex(BYTES) + "\n", private=True, keep=True)
    _require_private(path)
    try:
        secret = bytes.fromhex(path.read_text(encoding="ascii").strip())
    except OSError as fault:
        raise InputError(f"course secret '{path}' cannot be read: {reason_of(fault)} (keep it: a new one would not fit "
                         "the copies that are out)") from None
    except ValueError:
        secret = b""
    if len(secret) != BYTES:
        raise InputError(f"course secret '{path}' is damaged: expected {2 * BYTES} hexadecimal digits; "
                         "restore it from your copy of the desk")
    return secret


def _require_private(path: Path) -> None:
    mode = path.stat().st_mode
    if os.name == "posix" and stat.S_IMODE(mode) & 0o077:
        raise InputError(f"course secret '{path}' can be read by others (mode {stat.S_IMODE(mode):o}); "
                         f"type: chmod 600 '{path}'")
