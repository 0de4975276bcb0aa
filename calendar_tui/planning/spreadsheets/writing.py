"""Tables of what a season holds, to be worked on in a spreadsheet and taken in again."""

from __future__ import annotations

from collections.abc import Sequence

from calendar_tui.planning.changes.field_edits import value_at
from calendar_tui.planning.changes.held_season import HeldSeason, Record
from calendar_tui.planning.spreadsheets.cells import cell_text
from calendar_tui.planning.spreadsheets.columns import ID, Column, columns_of
from calendar_tui.planning.spreadsheets.observation_table import observation_table
from calendar_tui.planning.spreadsheets.sheets import OBSERVATION, Sheet


def table_of(held: HeldSeason, sheet: Sheet) -> list[list[str]]:
    """The cells of a table of all records of a kind, its heads first; a line a record, in the order of the file."""
    return observation_table(held) if sheet.kind == OBSERVATION else _record_table(held, sheet.kind)


def _record_table(held: HeldSeason, kind: str) -> list[list[str]]:
    records = held.records(kind)
    columns = columns_of(kind, records)
    return [[column.head for column in columns], *(_cells(record, columns) for record in records)]


def _cells(record: Record, columns: Sequence[Column]) -> list[str]:
    return [
        str(record[ID]) if field is None else cell_text(field, value_at(record, field.path))
        for _, field in columns
    ]
