"""Values that were handed on to be saved and are not seen in the file yet, and those that could not be brought there."""

from __future__ import annotations

from datetime import date

from calendar_tui.planning.field_book.entries import compare
from calendar_tui.planning.field_book.entry import DOT, SAME, Entry
from calendar_tui.planning.field_book.grid import Grid
from calendar_tui.screens.field_book.rows import NOT_SAVED, WAITS
from calendar_tui.season.records import Season

Cell = tuple[str, str]
Ident = tuple[date, str, str]


class Unsaved:
    """failed: the identities of those whose value was refused; it stands there until it is entered again."""

    def __init__(self) -> None:
        self._entries: dict[Ident, Entry] = {}
        self.failed: set[Ident] = set()

    @property
    def waiting(self) -> int:
        return len(self._entries) - len(self.failed)

    def hand_on(self, entry: Entry) -> None:
        self._entries[entry.ident] = entry
        self.failed.discard(entry.ident)

    def value_before(self, season: Season, entry: Entry) -> str:
        """What stands in the cell of an entry once all before it are saved."""
        before = self._entries.get(entry.ident)
        if before is not None and before.ident not in self.failed:
            return typed_text(before)
        (one,) = compare(season, [entry])
        return one.was

    def seen(self, season: Season) -> None:
        """Forget what the file has by now."""
        if self._entries:
            still = {one.entry.ident for one in compare(season, self._entries.values()) if one.what != SAME}
            self._entries = {ident: entry for ident, entry in self._entries.items() if ident in still}
            self.failed &= self._entries.keys()

    def settle(self) -> bool:
        """No file work waits any more: what is not in the file was refused. Gives whether that is new of any."""
        new = self._entries.keys() - self.failed
        self.failed |= new
        return bool(new)

    def over(self, grid: Grid) -> tuple[Grid, dict[Cell, str]]:
        """The grid with these values in it, and how each is marked."""
        here = [one for one in self._entries.values() if one.date == grid.day]
        own = {(one.at, one.variable): typed_text(one) for one in here}
        marks = {(one.at, one.variable): NOT_SAVED if one.ident in self.failed else WAITS for one in here}
        return grid._replace(values={**grid.values, **own}), marks


def typed_text(entry: Entry) -> str:
    """A value as it is typed; "" where it is taken out."""
    return entry.value or (DOT if entry.state else "")
