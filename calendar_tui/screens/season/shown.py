"""Which cohorts the season view shows, as one value: a key makes another of it, and the view draws that."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from typing import NamedTuple

from calendar_tui.planning.arranging import Row
from calendar_tui.screens.season.arrangement import Arrangement
from calendar_tui.screens.season.bookmark import Bookmark


class Shown(NamedTuple):
    """rows: those of the arrangement, in order. selected: the number of the row pointed at. marked: cohorts that are."""

    arrangement: Arrangement
    rows: tuple[Row, ...] = ()
    selected: int = 0
    marked: frozenset[str] = frozenset()

    @property
    def row(self) -> Row | None:
        """The row pointed at, or None where none is shown."""
        return self.rows[self.selected] if 0 <= self.selected < len(self.rows) else None

    @property
    def cohort(self) -> str | None:
        """The cohort pointed at; None where none is shown, or a folded group is."""
        row = self.row
        return row.cohort or None if row else None

    # --- pointing

    def at(self, n: int) -> Shown:
        """With this row pointed at, or the nearest there is."""
        return self._replace(selected=min(max(n, 0), max(len(self.rows) - 1, 0)))

    def on(self, cohort: str) -> Shown:
        """With the row of a cohort pointed at, or of the folded group that it is in; else the first."""
        return self.at(next((n for n, row in enumerate(self.rows) if _holds(row, cohort)), 0))

    def holds(self, cohort: str) -> bool:
        """Whether a row is that of a cohort, or of the folded group that it is in."""
        return any(_holds(row, cohort) for row in self.rows)

    def on_next(self, wanted: Callable[[Row], bool]) -> Shown | None:
        """With the next such row pointed at, from the top again after the last; None where there is none."""
        count, begin = len(self.rows), self.selected + 1
        around = (n % count for n in range(begin, begin + count))
        at = next((n for n in around if wanted(self.rows[n])), None)
        return None if at is None else self.at(at)

    # --- arranging

    def arranged(self, arrangement: Arrangement, rows: tuple[Row, ...]) -> Shown:
        """With other rows; what is pointed at stays so where it is still there."""
        return self._replace(
            arrangement=arrangement, rows=rows, selected=_row_like(rows, self.row, self.selected)
        )

    @property
    def folded_otherwise(self) -> Arrangement:
        """The arrangement in which the group pointed at is folded, or is no more."""
        name = {self.row.group.name} if self.row else set()
        return self.arrangement._replace(folded=self.arrangement.folded ^ name)

    # --- marking

    def marked_otherwise(self) -> Shown:
        """With the cohort pointed at marked, or its mark off, and the next row pointed at."""
        if self.cohort is None:
            return self
        return self._replace(marked=self.marked ^ {self.cohort}).at(self.selected + 1)

    def all_marked(self) -> Shown:
        """With every cohort that is shown marked, or no mark where all of them are."""
        shown = frozenset(name for row in self.rows for name in row.group.cohorts)
        return self._replace(marked=frozenset() if self.marked == shown else shown)

    def meant(self, cohorts: Iterable[str]) -> tuple[str, ...]:
        """The cohorts that are marked, in the order of these, the one pointed at first; it alone where none is marked."""
        pointed = () if self.cohort is None else (self.cohort,)
        in_order = tuple(name for name in cohorts if name in self.marked) or pointed
        return tuple(sorted(in_order, key=lambda name: name != self.cohort))

    # --- another time

    def bookmark(self, cursor: date | None, zoom: str) -> Bookmark:
        """Where one stands, to begin there. cursor: None for today."""
        row, (way, words, folded) = self.row, self.arrangement
        cohort = "" if row is None else row.cohort or row.group.cohorts[0]
        return Bookmark("", cursor, cohort, zoom, way, words, tuple(sorted(folded)))


def _row_like(rows: Sequence[Row], before: Row | None, at: int) -> int:
    """The number of the row that is as one before; else of one of its group, or near where that was: `at`."""
    keys, groups = [row.key for row in rows], [row.group.name for row in rows]
    if before is not None and before.key in keys:
        return keys.index(before.key)
    if before is not None and before.group.name in groups:
        return groups.index(before.group.name)
    return min(at, max(len(rows) - 1, 0))


def _holds(row: Row, cohort: str) -> bool:
    return row.cohort == cohort or (not row.cohort and cohort in row.group.cohorts)
