"""Dates in the cells of a table that are no field of a record by its name."""

from __future__ import annotations

from datetime import date

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.spreadsheets.cells import Cell, day_cell, plain_cell
from calendar_tui.season.typed_dates import typed_in_season


def read_day(held: HeldSeason, cell: str) -> tuple[date, str]:
    """The date of a cell, and how it was read, where it may have been meant otherwise. Raises ValueError."""
    read: Cell = day_cell(plain_cell(cell))
    season, today = held.plan.season, held.plan.today
    day = typed_in_season(read.text, season, today=today, planned=None, past=True, order=held.order)
    return day, read.note
