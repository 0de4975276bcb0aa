"""A sheet of a field book as a CSV file, to be filled in a spreadsheet and taken in again."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from calendar_tui.handing_on.tables.harmless import harmless
from calendar_tui.season.observing import number_in


def sheet_csv(table: Sequence[Sequence[str]]) -> bytes:
    """The bytes of a table of cells, with a byte order mark, as spreadsheets read it."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for row in table:
        writer.writerow([cell if number_in(cell) is not None else harmless(cell) for cell in row])
    return out.getvalue().encode("utf-8-sig")
