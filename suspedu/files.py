"""Files written whole or not at all, CSV as spreadsheets read it, and where the course's own files lie.

At any moment either the old file is there or the new one, even where the disk is full or the power goes. Text is
written as it stands: no system turns its line ends into others.
"""

from __future__ import annotations

import csv
import errno
import io
import os
import re
import secrets
import stat
from collections.abc import Iterable, Sequence
from pathlib import Path

from suspedu.units import InputError

PACKAGE = Path(__file__).resolve().parent
PRIVATE, SHARED = 0o600, 0o666  # permission bits of a new file, before the user's own mask
IN_THE_WAY = "a file stands where a folder must be; name another place"
NO_RIGHT = "you have no permission; change its permissions, or name another place"
WORDS = {errno.ENOSPC: "the disk is full; make room and try again", errno.EROFS: "this disk can only be read",
         getattr(errno, "EDQUOT", errno.ENOSPC): "your share of the disk is used up; make room and try again",
         errno.EACCES: NO_RIGHT, errno.EPERM: NO_RIGHT, errno.ENOTDIR: IN_THE_WAY, errno.EEXIST: IN_THE_WAY,
         errno.EISDIR: "it is a folder, not a file; name a file",
         errno.ENOENT: "there is no such file or folder; is the path right?",
         errno.ENAMETOOLONG: "the name is too long for this disk; take a shorter one",
         errno.ELOOP: "it is a link that leads round to itself; name the file itself"}


class NotWrittenError(InputError):
    """A file could not be written; `why` is the reason alone."""

    def __init__(self, path: Path, fault: OSError):
        self.why = reason_of(fault)
        super().__init__(f"'{path}' cannot be written: {self.why}")


def reason_of(fault: OSError) -> str:
    """What a system's fault about a file means and what to do about it, as the end of a sentence.

    >>> reason_of(FileNotFoundError(errno.ENOENT, "No such file or directory", "absent"))
    'there is no such file or folder; is the path right?'
    """
    return WORDS.get(fault.errno or 0, fault.strerror or str(fault))


def refusal(fault: OSError) -> str:
    """One sentence on a file or folder that the system refused; empty where the fault is about none, or is not known.

    >>> refusal(PermissionError(errno.EACCES, "Permission denied", "desk")).partition(";")[0]
    "'desk' cannot be read or written: you have no permission"
    >>> refusal(OSError("something else"))
    ''
    """
    known = fault.filename is not None and fault.errno in WORDS
    return f"'{os.fsdecode(fault.filename)}' cannot be read or written: {reason_of(fault)}" if known else ""


def course_folder() -> Path:
    """The folder that holds `lessons` and `exercises`: `suspedu/course` in a wheel, the repository in a checkout."""
    installed = PACKAGE / "course"
    return installed if installed.is_dir() else PACKAGE.parent


def write_whole(path: Path | str, content: bytes | str, *, private: bool = False, keep: bool = False) -> Path:
    """Write a file whole or not at all; where its folders are missing they are made.

    Parameters: path, a link is followed; content, text becomes UTF-8 with its line ends as they stand; private, whether
    a new file is for its owner's eyes only from its first moment (an old one keeps its permissions); keep, whether a
    file that is there already, or that another run writes first, stays as it is.
    Returns: the path.
    Raises: NotWrittenError (an InputError), one sentence with the file and the reason; then the old file is as it was.
    """
    target = Path(os.path.realpath(path))
    beside = target.with_name(f".{target.name[:100]}.{secrets.token_hex(6)}")
    data = content.encode() if isinstance(content, str) else content
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        try:
            _fill(beside, data, PRIVATE if private else SHARED)
            _put(beside, target, keep)
        finally:
            beside.unlink(missing_ok=True)
    except OSError as fault:
        raise NotWrittenError(Path(path), fault) from fault
    return Path(path)


def _fill(beside: Path, data: bytes, mode: int) -> None:
    """Write a file that nobody knows of yet, down to the disk."""
    handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), mode)
    with os.fdopen(handle, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _put(beside: Path, target: Path, keep: bool) -> None:
    """Put a finished file in its place, with the permissions of the one that was there."""
    if not keep:
        if target.exists():
            beside.chmod(stat.S_IMODE(target.stat().st_mode))
        beside.replace(target)
        return
    try:
        os.link(beside, target)  # fails where another run was first: then theirs counts
    except FileExistsError:
        return
    except OSError:  # file systems without hard links
        if not target.exists():
            beside.replace(target)


# Where a cell begins, or would where a spreadsheet cuts at another sign than we do, and what makes it a formula there.
FORMULA = re.compile(r'''(?:^|(?<=[;,|\t\r\n"])) *(?=[=+\-@])|^(?=[\t\r])''')
QUOTED = re.compile(r'''((?:^|(?<=[;,|\t\r\n"])) *)'(?=[=+\-@])|^'(?=[\t\r])''')
NUMBER = re.compile(r"[+-]?\d+([.,]\d+)?(e[+-]?\d+)?", re.IGNORECASE)


def harmless(text: str) -> str:
    """Text that a spreadsheet takes for text, whatever it cuts cells at: what would begin a formula is quoted.

    >>> harmless("=HYPERLINK(1)"), harmless("-1.5"), harmless("see; =1+1")
    ("'=HYPERLINK(1)", '-1.5', "see; '=1+1")
    """
    return text if NUMBER.fullmatch(text) else FORMULA.sub(r"\g<0>'", text)


def as_meant(text: str) -> str:
    """A cell that was written harmless, as it was before.

    >>> as_meant(harmless("good; -1 for the unit"))
    'good; -1 for the unit'
    """
    return QUOTED.sub(r"\1", text)


def csv_text(heads: Sequence, rows: Iterable[Sequence], separator: str = ",") -> str:
    """CSV as spreadsheets read it: every text harmless, quoted where it must be.

    Lines end in CR LF, so this text must reach the disk through `write_csv`, never through a text mode that would make
    two ends of one.

    >>> csv_text(["name", "points"], [["=2+2", 1.5]])
    "name,points\\r\\n'=2+2,1.5\\r\\n"

    Source: rfc-4180, section 2, line ends and quotes (printed, from memory)
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=separator)
    writer.writerow(heads)
    writer.writerows([harmless(str(cell)) for cell in row] for row in rows)
    return out.getvalue()


def write_csv(path: Path | str, heads: Sequence, rows: Iterable[Sequence], separator: str = ",") -> Path:
    """Write a CSV whole or not at all, in UTF-8 with the mark by which spreadsheets know it.

    Raises: NotWrittenError (an InputError), one sentence.
    """
    return write_whole(path, "\ufeff" + csv_text(heads, rows, separator))
