"""A sheet of a field book as a CSV file, to be filled in a spreadsheet and taken in again."""

from __future__ import annotations

from collections.abc import Sequence

from calendar_tui.handing_on.tables.csv_text import csv_text, spreadsheet_bytes
from calendar_tui.season.harmless import harmless
from calendar_tui.season.observing import number_in


def sheet_csv(table: Sequence[Sequence[str]]) -> bytes:
    """The bytes of a table of cells, with a byte order mark, as spreadsheets read it."""
    return spreadsheet_bytes(csv_text([_cell(cell) for cell in row] for row in table))


def _cell(text: str) -> str:
    return text if number_in(text) is not None else harmless(text)
