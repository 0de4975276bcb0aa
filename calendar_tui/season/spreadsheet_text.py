"""The text of a table as spreadsheets save it: tab, semicolon or comma between cells, quotes around lines and separators.

Unlike a laboratory's file it is read as a whole, since a cell may hold several lines.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator

from calendar_tui.season.readers import shown
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.table_lines import BOM, separator_of
from calendar_tui.season.trial_table import Line, TrialTable

# How the packed files of workbooks begin.
_WORKBOOK = "PK\x03\x04"
_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
# A first line by which some spreadsheets are told the separator.
_TOLD = re.compile(r'"?sep=(.)"?', re.IGNORECASE)


def read_spreadsheet(text: str, file: str) -> TrialTable:
    """The heads and the lines that are not blank, each with the line of the file on which it begins.

    Cells are as they are written; a line that is shorter than the heads is filled up. Raises Refusal, with the line.
    """
    if text.startswith(_WORKBOOK) or "\x00" in text:
        raise Refusal(f"{file} is no text, as a workbook is; save the sheet as CSV")
    plain = text.removeprefix(BOM)
    first = next((line for line in plain.splitlines() if line.strip("\t ;,")), "")
    told = _TOLD.fullmatch(first.strip())
    separator = told[1] if told else separator_of(first)
    lines = [line for line in _lines(plain, separator, file) if any(cell.strip() for cell in line.cells)]
    heads, *rows = lines[1 if told else 0 :] or [Line(1, ())]
    names = tuple(cell.strip() for cell in heads.cells)
    if len(list(filter(None, names))) < 2:
        raise Refusal(
            f"{file}: no table; write a line with the names of the columns, with a tab, semicolon or comma between them"
        )
    _refuse_doubled(names, heads, file)
    return TrialTable(file, names, tuple(_filled(row, len(names), file) for row in rows), separator)


def _lines(text: str, separator: str, file: str) -> Iterator[Line]:
    reader = csv.reader(_LINE.findall(text), delimiter=separator, strict=True)
    begins = 1
    try:
        for cells in reader:
            yield Line(begins, tuple(cells))
            begins = reader.line_num + 1
    except csv.Error as error:
        raise Refusal(
            f"{file}:{begins}: cannot be taken apart ({error}); a quote may be open that begins on this line"
        ) from None


def _refuse_doubled(names: tuple[str, ...], heads: Line, file: str) -> None:
    folded = [name.casefold() for name in names if name]
    doubled = next((name for name in names if folded.count(name.casefold()) > 1), "")
    if doubled:
        raise Refusal(
            f"{file}:{heads.number}: two columns are called {shown(doubled)}; give each its own name"
        )


def _filled(row: Line, columns: int, file: str) -> Line:
    more = [cell for cell in row.cells[columns:] if cell.strip()]
    if more:
        raise Refusal(
            f"{file}:{row.number}: {shown(more[0])} stands behind the last of the {columns} columns; give it a column, "
            "or put quotes around a cell with a separator in it"
        )
    return Line(row.number, (*row.cells[:columns], *[""] * (columns - len(row.cells))))
