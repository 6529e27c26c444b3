"""Which of several files of one student counts: the newest that can be read; equal ones by their first date."""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import PurePosixPath

from suspedu.coursework.desk.files_below import printable
from suspedu.coursework.desk.marked_rows import Counted
from suspedu.coursework.exercise import merge, reader
from suspedu.coursework.exercise.sheet import ASSESSED, Sheet, is_blank

AHEAD = 86400.0  # s that a clock may be ahead of ours, for time zones: a date after that is none
SAME = 2.0  # s: a ZIP keeps every other second only, so that dates nearer than that are equal
NO_DATE = 0.0
COPY = re.compile(r"\((\d{1,3})\)|\bcopy[ _-]*(\d{1,3})")


@dataclass(frozen=True)
class HandedIn:
    """The file that counts for one student and exercise; `fault` says why it cannot be marked, `notes` what to know.

    `choice` says why it counts where its date alone does not decide.
    """

    student: str
    exercise: str
    origin: str
    when: float
    digest: str
    read: Callable[[], bytes]
    fault: str = ""
    notes: tuple[str, ...] = ()
    choice: str = ""


Untouched = Callable[[HandedIn], bool]


def date(when: float) -> float:
    """A file's date [s since 1970], NO_DATE where it lies in the future or is none."""
    return when if NO_DATE < when <= time.time() + AHEAD else NO_DATE


def day_and_hour(when: float) -> str:
    """A date for a person."""
    return time.strftime("%Y-%m-%d %H:%M", time.localtime(when)) if when > NO_DATE else "no date"


def of_several(pile: Sequence[HandedIn], untouched: Untouched) -> HandedIn:
    """The file of a student's that counts: the newest that can be read, of all where none can; told in its notes.

    Parameters: pile, all files of one student and exercise; untouched, whether a file is still as it was handed out:
    of files with the same date an answered one counts, then the copy with the highest number in its name.
    """
    first = _first_of_equals([item for item in pile if not item.fault] or pile)
    newest = max(date(item.when) for item in first)
    level = [item for item in first if newest - date(item.when) < SAME]
    best = _of_same_date(level, untouched) if len(level) > 1 else level[0]
    if len(pile) == 1:
        return best
    note = (f"{len(pile)} files were handed in; the newest that can be read counts: '{best.origin}', "
            f"saved {day_and_hour(best.when)}")
    return replace(best, notes=(*best.notes, note))


def _first_of_equals(pile: Sequence[HandedIn]) -> list[HandedIn]:
    """Of files of equal content the one that was saved first; one without a date only where none has one."""
    equal: dict[str, list[HandedIn]] = {}
    for item in pile:
        equal.setdefault(item.digest, []).append(item)
    return [min(group, key=lambda item: (date(item.when) == NO_DATE, item.when)) for group in equal.values()]


def _of_same_date(level: list[HandedIn], untouched: Untouched) -> HandedIn:
    """Of files with the same date the one that counts, and why, for whoever marks."""
    answered = [item for item in level if not untouched(item)] or level
    best = max(answered, key=lambda item: (_copy_number(item.origin), item.when, item.origin))
    why = "which is the last by its name" if len(answered) > 1 else "which alone holds an answer"
    said = (f"student {best.student}, {best.exercise}: {len(level)} files have the same date; '{best.origin}' counts, "
            f"{why}")
    return best if best.fault else replace(best, choice=said)


def _copy_number(origin: str) -> int:
    """The number that a browser puts behind the name of a second file, 0 where there is none.

    >>> [_copy_number(name) for name in ("1003/a.ipynb", "1003 (4)/a (2).ipynb", "a copy 3.ipynb")]
    [0, 2, 3]
    """
    return max((int(first or second) for first, second in COPY.findall(PurePosixPath(origin).name)), default=0)


def is_untouched(pristine: Sheet, item: HandedIn) -> bool:
    """Whether no answer of a returned notebook differs from the exercise as it was handed out.

    Parameters: pristine exercise; item, in which no answer is found where it is no such notebook.
    """
    try:
        returned = reader.sheet_of(item.read(), item.origin)
        merged = {cell.id: cell.source for cell in merge.merge(pristine, returned).sheet.cells}
    except Exception:  # whatever a crafted file makes the reader do, it is this file's fault alone
        return True
    return all(is_blank(merged[cell.id], cell.source) for cell in pristine.with_role(*ASSESSED))


def left_as_it_is(item: HandedIn, counted: Counted | None, untouched: Untouched) -> str:
    """Why a file does not take the place of the one that an earlier run marked; nothing where it does.

    Parameters: item; counted, what the record has of that student and exercise; untouched, as in `of_several`.
    """
    if not counted or counted.digest in ("", item.digest) or (counted.fault and not item.fault):
        return ""
    later = date(counted.saved) - date(item.when)
    if item.fault and not counted.fault:
        why = f"cannot be read ({printable(item.fault)}), and one that can be counts"
    elif later >= SAME:
        why = f"of {day_and_hour(date(item.when))} is older than the one that counts"
    elif later > -SAME and not item.fault and untouched(item):
        why = "is as old as the one that counts, and no question in it is answered"
    else:
        return ""
    return (f"student {item.student}, {item.exercise}: '{item.origin}' {why} ('{counted.origin}' of "
            f"{day_and_hour(counted.saved)}): left as it is")


def undecided(item: HandedIn, counted: Counted | None) -> str:
    """What to say where a file takes the place of one that counted, and no date tells which of them is newer."""
    if (not counted or counted.digest in ("", item.digest) or counted.fault
            or abs(date(counted.saved) - date(item.when)) >= SAME):
        return ""
    return (f"student {item.student}, {item.exercise}: '{item.origin}' has the same date as '{counted.origin}', which "
            f"counted before ({day_and_hour(date(item.when))}); the one that was marked last counts")
