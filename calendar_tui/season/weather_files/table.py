"""The table in a weather file: the line with its headings found, its form known, its rows as cells."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from calendar_tui.season.field import HEADING_ROLES
from calendar_tui.season.readers import shown
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.weather_files.cells import plain_heading
from calendar_tui.season.weather_files.forms import FORMS, Layout, layout_of, layout_said

SEPARATORS = (",", ";", "\t")
# The headings stand within so many lines; below them come the rows.
_LINES_ABOVE = 80
_SHOWN = 12
_POSITION = re.compile(
    r"lat(?:itude)?:?\s*(-?\d+(?:\.\d+)?)\s*,?\s+lon(?:gitude)?:?\s*(-?\d+(?:\.\d+)?)", re.IGNORECASE
)


class WeatherTable(NamedTuple):
    """The rows of a file, each with its line from 1. above: the lines over the headings; position: degrees north and east."""

    layout: Layout
    rows: tuple[tuple[int, list[str]], ...]
    above: tuple[str, ...]
    position: tuple[float, float] | None


class NoForm(Refusal):
    """A file of no known form. headings: of its widest line, whose columns may be given roles."""

    def __init__(self, message: str, headings: Sequence[str]) -> None:
        super().__init__(message)
        self.headings = tuple(headings)


def read_table(text: str, roles: Mapping[str, str]) -> WeatherTable:
    """The table in a text. roles: what columns hold, by their headings, as a person has said. Raises NoForm."""
    lines = text.splitlines()
    if not any(line.strip() for line in lines):
        raise NoForm("the file is empty", ())
    for form in FORMS:
        if form.begins and re.match(form.begins, lines[0]):
            layout = layout_of(form, form.headings, "")
            assert layout is not None
            return WeatherTable(layout, tuple(_rows(lines, 0, ",")), (), None)
    for n, line in enumerate(lines[:_LINES_ABOVE]):
        above = lines[:n]
        for separator in sorted(SEPARATORS, key=line.count, reverse=True):
            headings = _cells(line, separator)
            found = layout_said(roles, headings) or _known(headings, "\n".join([*above, line]))
            if found is not None:
                rows = tuple(_rows(lines, n + 1, separator))
                layout = _in_tenths_or_not(found, headings, rows)
                return WeatherTable(layout, rows, tuple(above), _position(above, headings, rows))
    raise _no_form(lines)


def _known(headings: Sequence[str], above: str, scaled: bool = True) -> Layout | None:
    forms = (form for form in FORMS if not form.begins and (scaled or form.scale == 1))
    return next((one for form in forms if (one := layout_of(form, headings, above))), None)


def _in_tenths_or_not(
    layout: Layout, headings: Sequence[str], rows: Sequence[tuple[int, list[str]]]
) -> Layout:
    """The same columns as another form where a form in tenths has decimals: then its numbers are degrees."""
    if layout.form.scale == 1:
        return layout
    columns = [at for at in (layout.low, layout.high) if at is not None]
    decimal = any("." in cells[at] for _, cells in rows for at in columns if at < len(cells))
    return (_known(headings, "", scaled=False) or layout) if decimal else layout


def _cells(line: str, separator: str) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=separator), [])]
    except csv.Error:
        return []


def _rows(lines: Sequence[str], start: int, separator: str) -> Iterator[tuple[int, list[str]]]:
    """The rows from a line on, blank ones left out."""
    reader = csv.reader(lines[start:], delimiter=separator)
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield start + reader.line_num, cells
    except csv.Error as error:
        raise Refusal(
            f"line {start + reader.line_num}: the quotes do not fit ({error}); put whole cells in quotes"
        ) from None


def _no_form(lines: Sequence[str]) -> NoForm:
    """What stands in the file's widest line, as its headings may."""
    wide = max((_cells(line, s) for line in lines[:_LINES_ABOVE] for s in SEPARATORS), key=len)
    shown_ones = ", ".join(shown(cell)[1:-1] for cell in wide[:_SHOWN])
    return NoForm(
        f"no line has headings of a form that is known, with a date and temperatures. Its widest line has: {shown_ones}; say what "
        f"its columns hold: {', '.join(HEADING_ROLES)}",
        wide,
    )


def _position(
    above: Sequence[str], headings: Sequence[str], rows: Sequence[tuple[int, list[str]]]
) -> tuple[float, float] | None:
    """Where the station stands by the lines above the headings, or by its columns."""
    if found := _POSITION.search("\n".join(above)):
        return float(found[1]), float(found[2])
    of_block = metadata(above)
    try:
        if {"latitude", "longitude"} <= of_block.keys():
            return float(of_block["latitude"]), float(of_block["longitude"])
        plain = [plain_heading(heading) for heading in headings]
        if rows and {"latitude", "longitude"} <= {*plain}:
            cells = rows[0][1]
            return float(cells[plain.index("latitude")]), float(cells[plain.index("longitude")])
    except (ValueError, IndexError):  # no numbers there: then the file does not say where it is
        return None
    return None


def metadata(above: Sequence[str]) -> Mapping[str, str]:
    """A block of two lines above the headings, names and values, by name; {} where there is none."""
    filled = [_cells(line, ",") for line in above if line.strip()]
    if len(filled) < 2 or len(filled[0]) != len(filled[1]):
        return {}
    return dict(zip(filled[0], filled[1], strict=True))
