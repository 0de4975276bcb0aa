"""What stands around a field book's grid: which places nobody enters, what is due and missing, and how stages rise."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from calendar_tui.handing_on.words.field_book_text import round_text
from calendar_tui.planning.field_book.due import Round, rounds_of_week
from calendar_tui.planning.field_book.findings import (
    Offer,
    Rise,
    StandSum,
    offer_of,
    rise_text,
    rises,
    stand_sum_text,
    stand_sums,
    stands,
)
from calendar_tui.planning.field_book.grid import Grid
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.closed import closed_places, closure_over
from calendar_tui.screens.kit.drawing import HEADING, WARNING, ListRow, fitted, row, wrapped
from calendar_tui.season.records import Season

ROUND, RISE = "round", "rise"
DUE = "Due this week, and missing from before"
HALF = "Half of the plants"
COUNTED = "Counted, of planned"
NO_VARIABLE = (
    "There is no variable yet. Take in some that come with the program: calendar-tui field-book --start "
    "height,stand; or add one on the farm, with its unit."
)
NO_PLACE = "No plot and no cohort is there to be measured on this day."
RECORDED = "It is recorded, or noted, already."


class Below(NamedTuple):
    """missing: rounds of which something is; rises: of every cohort; sums: of what was counted in plots."""

    missing: tuple[Round, ...] = ()
    rises: tuple[Rise, ...] = ()
    sums: tuple[StandSum, ...] = ()

    def round_at(self, key: str) -> Round | None:
        """The round on whose line the cursor stands."""
        return self.missing[n] if (n := _number(key, ROUND)) is not None and n < len(self.missing) else None

    def offer_at(self, season: Season, key: str) -> Offer | None:
        """What the rise on whose line the cursor stands offers to be recorded."""
        n = _number(key, RISE)
        return None if n is None or n >= len(self.rises) else offer_of(season, self.rises[n])

    def rows(self, season: Season, width: int) -> Iterator[ListRow]:
        for n, one in enumerate(self.missing):
            yield from () if n else (row(), row((DUE, HEADING)))
            yield row(fitted(round_text(season, one), width).rstrip(), key=f"{ROUND} {n}")
        for n, rise in enumerate(self.rises):
            yield from () if n else (row(), row((HALF, HEADING)))
            first, *rest = wrapped(rise_text(rise), width, "", "  ")
            yield ListRow(first.segments, f"{RISE} {n}")
            yield from rest
        for n, counted in enumerate(self.sums):
            yield from () if n else (row(), row((COUNTED, HEADING)))
            yield from wrapped(stand_sum_text(counted), width, "", "  ")

    def text_at(self, season: Season, key: str, enter: str) -> str:
        """What Enter does on a line. enter: how the key is written."""
        if (one := self.round_at(key)) is not None:
            return f"{round_text(season, one)}. {enter} opens that day."
        if _number(key, RISE) is None:
            return ""
        offer = self.offer_at(season, key)
        if offer is None:
            return RECORDED
        does = "notes that on that day it was not there yet" if offer.not_yet else "records that day"
        return f"{enter} {does}; what moves is shown first."


def _number(key: str, kind: str) -> int | None:
    name, _, n = key.partition(" ")
    return int(n) if name == kind and n.isdigit() else None


def below_of(plan: Plan, begins: int) -> Below:
    """begins: the day with which weeks begin, as `first_of_week` takes it."""
    due, late = rounds_of_week(plan.season, plan.today, begins)
    missing = tuple(one for one in (*late, *due) if one.missing)
    sums = stand_sums(plan.season, list(stands(plan.season)))
    return Below(missing, tuple(rises(plan.season)), tuple(sums))


def closed_rows(plan: Plan, grid: Grid, width: int) -> Iterator[ListRow]:
    """That nobody enters a place where plants of the grid stand, and until when."""
    cohorts = dict.fromkeys(row.at if row.plot is None else row.plot.cohort for row in grid.rows)
    known = [name for name in cohorts if name in plan.timelines]
    if over := closure_over(plan, known, closed_places(plan)):
        from calendar_tui.planning.spraying.closed_work import entry_texts

        for text in entry_texts(over):
            yield from wrapped(text, width, "", "  ", WARNING)


def nothing_rows(season: Season, width: int) -> list[ListRow]:
    """What stands in place of a grid."""
    return wrapped(NO_PLACE if season.variables else NO_VARIABLE, width)
