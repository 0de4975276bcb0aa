"""The rows of a station's daily file: its columns found by name, its cells read as the season says they are written."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import islice
from pathlib import Path

from calendar_tui.season.field import DATE_FORMS
from calendar_tui.season.readers import choices, shown
from calendar_tui.season.station_checks import RowProblem, StationRow
from calendar_tui.season.table_lines import SEPARATORS
from calendar_tui.season.weather import Station
from calendar_tui.season.weather_files.cells import MISSING_NUMBERS, degrees_of
from calendar_tui.storage.disk.whole_file import refused
from calendar_tui.storage.problems import FileProblem, SeasonFileError

_COLUMNS_SHOWN = 20
# The days of the 300 years that a date can be in, and some.
MOST_ROWS = 110_000


class _Wrong(ValueError):
    """A cell that cannot be read; the message says what is in it and what would be right."""


def _with_slashes(year: int, month: int, day: int) -> Callable[[str], date]:
    """Reads dates with slashes, whose year, month and day stand in these places."""

    def read(text: str) -> date:
        parts = text.split("/")
        if len(parts) != 3:
            raise ValueError(text)
        return date(int(parts[year]), int(parts[month]), int(parts[day]))

    return read


# The date forms a season can name, each by how it writes 31 January 2026.
_DATES: Mapping[str, Callable[[str], date]] = {
    "2026-01-31": date.fromisoformat,
    "20260131": date.fromisoformat,
    "2026/01/31": _with_slashes(0, 1, 2),
    "31/01/2026": _with_slashes(2, 1, 0),
    "01/31/2026": _with_slashes(2, 0, 1),
}


@dataclass(frozen=True, slots=True)
class _Layout:
    """Where in a row the date, the low and the high stand, counted from 0, and how they are written."""

    date: int
    low: int
    high: int
    names: tuple[str, ...]
    separator: str
    date_form: str


def read_rows(path: Path, text: str, station: Station) -> tuple[list[StationRow], list[RowProblem]]:
    """The rows in the file's order, and what is wrong with the lines that are left out.

    Raises SeasonFileError where the columns cannot be found.
    """
    if not text.strip():
        raise refused(
            path, "is empty; a line with the names of its columns comes first, then a line a day", 1
        )
    header = io.StringIO(text, newline="").readline()
    separator = max(SEPARATORS.values(), key=lambda s: _fit(header, s, station))
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[StationRow] = []
    problems: list[RowProblem] = []
    try:
        layout = _layout(path, next(lines), separator, station)
        parse, count = _DATES[station.date_form], len(layout.names)
        for cells in islice(lines, MOST_ROWS):
            row: StationRow | None = None
            try:
                if len(cells) == count:
                    day, low, high = cells[layout.date], cells[layout.low], cells[layout.high]
                    row = StationRow(lines.line_num, parse(day), float(low), float(high))
            except ValueError:  # whatever it is, what reads slowly knows
                row = None
            row = row or _read_slowly(lines.line_num, cells, layout, problems)
            if row is not None:
                rows.append(row)
        if next(lines, None) is not None:
            raise refused(path, f"has more rows than {MOST_ROWS}, the days of 300 years; keep one row a day")
    except csv.Error as error:
        problems.append(
            RowProblem(lines.line_num, f"the quotes do not fit here ({error}); put whole cells in quotes")
        )
    if not rows and not problems:
        problems.append(RowProblem(None, "has no days; below the names of its columns comes a line a day"))
    return _without_marks(rows), problems


def _without_marks(rows: Sequence[StationRow]) -> list[StationRow]:
    """The rows with nan for the numbers that mark a missing value."""
    marks = MISSING_NUMBERS
    return [
        row
        if row.low not in marks and row.high not in marks
        else StationRow(row.line, row.day, *map(_measured, row[2:]))
        for row in rows
    ]


def _measured(degrees: float) -> float:
    return math.nan if degrees in MISSING_NUMBERS else degrees


def _names(station: Station) -> Mapping[str, str]:
    """The names of the columns in use, by the key they have in the season."""
    return {"date": station.columns.date, "low": station.columns.low, "high": station.columns.high}


def _fit(header: str, separator: str, station: Station) -> tuple[int, int]:
    """How well a separator fits the first line: the columns in use that it gives, and all that it gives."""
    cells = [cell.strip().strip('"') for cell in header.split(separator)]
    return len({*cells} & {*_names(station).values()}), len(cells)


def _layout(path: Path, header: Sequence[str], separator: str, station: Station) -> _Layout:
    """Raises SeasonFileError with every column that is not there exactly once."""
    columns = [name.strip() for name in header]
    there = [shown(column)[1:-1] for column in columns[:_COLUMNS_SHOWN]]
    wrong = []
    for key, name in _names(station).items():
        if name not in columns:
            message = f"there is no column {shown(name)}; name the {key} column under columns in [station]"
            wrong.append(FileProblem(str(path), 1, f"{message}{choices(name, there, 'Columns')}"))
        elif columns.count(name) > 1:
            message = f"{columns.count(name)} columns are named {shown(name)}; give each its own name"
            wrong.append(FileProblem(str(path), 1, message))
    if wrong:
        raise SeasonFileError(wrong)
    date_at, low_at, high_at = (columns.index(name) for name in _names(station).values())
    return _Layout(date_at, low_at, high_at, tuple(columns), separator, station.date_form)


def _read_slowly(
    line: int, cells: Sequence[str], layout: _Layout, problems: list[RowProblem]
) -> StationRow | None:
    """A line that is not plain numbers, one a column; None where it is blank or wrong, which is added to `problems`."""
    if not any(cell.strip() for cell in cells):
        return None
    named = len(layout.names)
    if any(cell.strip() for cell in cells[named:]) or len(cells) <= max(layout.date, layout.low, layout.high):
        comma = ", and write 12.5 with a point" if layout.separator == "," else ""
        message = (
            f"has {len(cells)} cells where the first line names {named} columns; give each column one{comma}"
        )
        problems.append(RowProblem(line, message))
        return None
    before = len(problems)
    day: date | None = None
    degrees = []
    try:
        day = _day(cells[layout.date], layout)
    except _Wrong as wrong:
        problems.append(RowProblem(line, str(wrong)))
    for at in (layout.low, layout.high):
        try:
            degrees.append(_degrees(cells[at], layout.names[at]))
        except _Wrong as wrong:
            problems.append(RowProblem(line, str(wrong)))
    return StationRow(line, day, *degrees) if day is not None and len(problems) == before else None


def _day(cell: str, layout: _Layout) -> date:
    try:
        return _DATES[layout.date_form](cell.strip())
    except ValueError:
        forms = ", ".join(form for form in DATE_FORMS if form != layout.date_form)
        raise _Wrong(
            f"the date is {shown(cell)}; write 31 January 2026 as {layout.date_form}, or set date_form in [station] to "
            f"what the file has: {forms}"
        ) from None


def _degrees(cell: str, column: str) -> float:
    """A temperature in the file's unit; nan where the cell says that none was measured."""
    try:
        return degrees_of(cell)
    except ValueError:
        raise _Wrong(
            f"{column} is {shown(cell)}; write a number such as 12.5, and leave the cell empty where nothing was measured"
        ) from None
