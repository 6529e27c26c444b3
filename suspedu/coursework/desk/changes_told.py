"""What a round of marking changed, for whoever marks: points that became fewer, dates, points that a person gave."""

from __future__ import annotations

import re
from collections.abc import Iterable

from suspedu.coursework.desk.lateness import due_for
from suspedu.coursework.desk.marked import NOTHING_IN, Marked
from suspedu.coursework.desk.record_book import RecordBook
from suspedu.coursework.desk.which_counts import NO_DATE, HandedIn, date, day_and_hour

AGAIN = "(set them again if they shall hold)"


class Changes:
    """Sentences on what becomes of the marks that a record has when a round begins."""

    def __init__(self, record: RecordBook):
        self.record, self._said = record, []
        self._before = {(m.student, m.exercise): m for m in record.marked()}

    def sentences(self) -> list[str]:
        """All of them, by the students' numbers and the exercises."""
        return sorted(self._said, key=lambda said: [part.zfill(20) if part.isdigit() else part
                                                    for part in re.split(r"([0-9]+)", said.partition(":")[0])])

    def add(self, sentences: Iterable[str]) -> None:
        """Take up sentences that were made elsewhere."""
        self._said += filter(None, sentences)

    def compare(self, now: Marked) -> None:
        """Tell whose points changed for the same file, or became fewer with another."""
        before = self._before.get((now.student, now.exercise))
        if before and before.origin == NOTHING_IN:
            self._tell(now, "points were set before anything was handed in; the file that came counts in their place "
                            f"{AGAIN}")
        elif before and (now.earned < before.earned or (now.digest == before.digest and now.earned != before.earned)):
            self._tell(now, f"{before.earned:g} before, now {now.earned:g} of {now.possible}, for {_file(before, now)}"
                            f"{_unread(now)}")

    def dated(self, item: HandedIn, first: float) -> None:
        """Give a marked file the earlier date of the same file, and tell what that does to its points."""
        key = item.student, item.exercise
        said = f"the same file was saved {day_and_hour(first)} ('{item.origin}'), which counts as its date"
        self.record.set_saved(*key, first, said)
        before, self._before[key] = self._before[key], next(self.record.marked(*key))
        self._tell(item, f"{said}: {before.earned:g} points before, now {self._before[key].earned:g}")

    def undated(self, items: Iterable[HandedIn]) -> None:
        """Tell of files whose date is unknown where there is a deadline: nothing is taken off them."""
        dues = self.record.dues()
        for item in items:
            if date(item.when) == NO_DATE and due_for(dues, item.student, item.exercise):
                self._tell(item, f"when '{item.origin}' was saved is unknown, so nothing is taken off for being late")

    def _tell(self, about: Marked | HandedIn, said: str) -> None:
        self._said.append(f"student {about.student}, {about.exercise}: {said}")


def _file(before: Marked, now: Marked) -> str:
    """The file that counts now, beside the one that counted before."""
    if before.digest == now.digest:
        return "the same file"
    is_place = before.origin == now.origin
    return f"what is in '{now.origin}' now" if is_place else f"'{now.origin}' in place of '{before.origin}'"


def _unread(now: Marked) -> str:
    count = sum(q.earned is None for q in now.questions)
    return f"; {count} answer{'s' * (count > 1)} in words to be read" if count else ""
