"""Records as files for a spreadsheet, to be taken in again."""

from __future__ import annotations

from calendar_tui.handing_on.tables.csv_text import spreadsheet_bytes, table_text
from calendar_tui.handing_on.tables.date_and_task_rows import task_table_rows
from calendar_tui.handing_on.tables.field_sheet import sheet_csv
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.spreadsheets.sheets import TASK, Sheet
from calendar_tui.planning.spreadsheets.task_table import TASK_COLUMNS
from calendar_tui.planning.spreadsheets.writing import table_of


def record_table_bytes(held: HeldSeason, sheet: Sheet) -> bytes:
    """A table of all records of a kind: CSV by RFC 4180 in UTF-8 with its mark, no cell a formula."""
    if sheet.kind == TASK:
        return spreadsheet_bytes(table_text(TASK_COLUMNS, task_table_rows(held.plan.season)))
    return sheet_csv(table_of(held, sheet))
