"""The seal of a hand-out: it shows whose the file is, and only the course secret can make one."""

from __future__ import annotations

import hashlib
import hmac

LENGTH = 32  # hexadecimal digits: 128 bits


def seal_of(secret: bytes, student: str, exercise: str) -> str:
    """The seal of a student's copy of an exercise.

    Parameters: secret of the course; student, the number; exercise, the full name.

    >>> seal_of(b"secret", "1001", "01_springs") == seal_of(b"secret", "1002", "01_springs")
    False

    Source: fips-198-1, keyed hash (printed, from memory)
    """
    return hmac.new(secret, f"{student}\0{exercise}".encode(), hashlib.sha256).hexdigest()[:LENGTH]


def holds(secret: bytes, student: str, exercise: str, found: str) -> bool:
    """Whether a seal that was found in a file is the one that this student's copy was given."""
    return hmac.compare_digest(seal_of(secret, student, exercise).encode(), found.encode("utf-8", "replace"))
