"""Tables as CSV by RFC 4180, row by row."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence

from calendar_tui.season.harmless import harmless

FILE_LINE_END = "\r\n"


def csv_text(rows: Iterable[Iterable[object]], line_end: str = FILE_LINE_END) -> str:
    """Rows of cells as CSV: dates by ISO 8601, numbers with a point, an empty cell for None."""
    out = io.StringIO()
    csv.writer(out, lineterminator=line_end).writerows(rows)
    return out.getvalue()


def table_text(
    columns: Sequence[str], rows: Iterable[Mapping[str, object]], line_end: str = FILE_LINE_END
) -> str:
    """A table with the names of its columns as the first line; no cell is a formula. Raises KeyError where a row lacks one."""
    return csv_text([columns, *([_cell(row[name]) for name in columns] for row in rows)], line_end)


def _cell(value: object) -> object:
    return harmless(value) if isinstance(value, str) else value


def spreadsheet_bytes(text: str) -> bytes:
    """A table as a file in UTF-8, with the mark that spreadsheets know UTF-8 by."""
    return text.encode("utf-8-sig")
