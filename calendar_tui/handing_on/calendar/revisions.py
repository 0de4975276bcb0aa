"""How often what a season's records say was changed, by its history: what tells a later export from an earlier one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from calendar_tui.season.edits import Edit
from calendar_tui.storage.history.undo import History
from calendar_tui.storage.journal.lines import Entry

# A record as an edit names it: its kind, and the first of its identity values or "".
RecordKey = tuple[str, str]
# What no date of a cohort and no hour of a lamp follows from.
_NO_DATE_FROM = frozenset({"task", "chore"})


@dataclass(frozen=True, slots=True)
class Revision:
    """A number that is higher after each noted change; when the last was noted, None where none is or it is not known."""

    number: int
    when: datetime | None


@dataclass(frozen=True, slots=True)
class Revisions:
    """The revisions of a season by its history.

    base: changes that count for all records: edits by hand between two entries or after the last, and entries that went
    to an older file. by_record, of_dates: the places in `entries` of those that touch a record, and of those that touch
    anything the dates follow from. by_hand_last: whether the file was edited by hand after the last entry.
    """

    entries: tuple[Entry, ...]
    base: int
    by_record: Mapping[RecordKey, frozenset[int]]
    of_dates: frozenset[int]
    by_hand_last: bool

    def of(self, records: Iterable[RecordKey]) -> Revision:
        """The revision of what is told from these records alone."""
        return self._revision(frozenset[int]().union(*(self.by_record.get(r, frozenset()) for r in records)))

    def of_any_date(self) -> Revision:
        """The revision of what follows from the plan as a whole."""
        return self._revision(self.of_dates)

    def _revision(self, places: frozenset[int]) -> Revision:
        when = None if self.by_hand_last or not places else self.entries[max(places)].when
        return Revision(self.base + len(places), when)


def revisions(history: History, now: str) -> Revisions:
    """now: the SHA-256 of the season file's bytes as they are."""
    entries = history.entries
    by_hand_last = bool(entries) and entries[-1].after != now
    by_hand = sum(one.after != other.before for one, other in pairwise(entries)) + by_hand_last
    moved = 0 if history.shortened is None else history.shortened.last
    by_record: dict[RecordKey, set[int]] = {}
    of_dates: set[int] = set()
    for place, entry in enumerate(entries):
        for edit in (edit for step in entry.steps for edit in step.edits):
            by_record.setdefault(_record(edit), set()).add(place)
            if edit.kind not in _NO_DATE_FROM:
                of_dates.add(place)
    frozen = {record: frozenset(places) for record, places in by_record.items()}
    return Revisions(entries, moved + by_hand, frozen, frozenset(of_dates), by_hand_last)


def _record(edit: Edit) -> RecordKey:
    return edit.kind, str(edit.ident[0]) if edit.ident else ""
