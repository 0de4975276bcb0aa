"""The table in a weather file: the line with its headings found, its form known, its rows as cells."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from calendar_tui.season.field import HEADING_ROLES
from calendar_tui.season.readers import shown
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.table_lines import SEPARATORS
from calendar_tui.season.weather_files.cells import MOST_C, plain_heading, unit_in
from calendar_tui.season.weather_files.forms import FORMS, PLACE, Layout, layout_of, layout_said

# The headings stand within so many lines; below them come the rows.
_LINES_ABOVE = 80
_SHOWN = 12
# A file of a station in tenths holds years, and so a day over 14 C; no day has so many degrees F.
_MOST_F = MOST_C * 1.8 + 32
_POSITION = re.compile(
    r"lat(?:itude)?:?\s*(-?\d+(?:\.\d+)?)\s*,?\s+lon(?:gitude)?:?\s*(-?\d+(?:\.\d+)?)", re.IGNORECASE
)


class WeatherTable(NamedTuple):
    """The rows of a file, each with its line from 1. above: the lines over all headings."""

    layout: Layout
    rows: tuple[tuple[int, list[str]], ...]
    above: tuple[str, ...]


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
            return WeatherTable(layout, tuple(_rows(lines, 0, len(lines), ",")), ())
    for n, line in enumerate(lines[:_LINES_ABOVE]):
        above = lines[:n]
        for separator in sorted(SEPARATORS.values(), key=line.count, reverse=True):
            headings = _cells(line, separator)
            said = layout_said(roles, headings)
            found = said or _known(headings, "\n".join([*above, line]))
            if found is not None:
                layout, start, end = _longest_of_days(lines, n, separator, found)
                if layout is not said:
                    _without_twins(layout)
                rows = tuple(_rows(lines, start, end, separator))
                return WeatherTable(_in_tenths_or_not(layout, rows), rows, tuple(above))
    raise _no_form(lines)


def _longest_of_days(lines: Sequence[str], n: int, separator: str, first: Layout) -> tuple[Layout, int, int]:
    """Of tables one below another the one that is read, and where its rows begin and end: days before hours, then the longest.

    The first has its headings in line n, from 0; those of the others begin with the same one, and are not the same.
    """
    begin = lines[n].partition(separator)[0] + separator
    below = [m for m in range(n + 1, len(lines)) if lines[m].startswith(begin) and lines[m] != lines[n]]
    above = "\n".join(lines[: n + 1])
    known = [first, *(_known(_cells(lines[m], separator), above) for m in below)]
    tables = [
        (layout, start + 1, end)
        for layout, start, end in zip(known, (n, *below), (*below, len(lines)), strict=True)
        if layout is not None
    ]
    return min(tables, key=lambda table: (FORMS.index(table[0].form), table[1] - table[2]))


def _known(headings: Sequence[str], above: str, scaled: bool = True) -> Layout | None:
    forms = (form for form in FORMS if scaled or form.scale == 1)
    return next((one for form in forms if (one := layout_of(form, headings, above))), None)


def _in_tenths_or_not(layout: Layout, rows: Sequence[tuple[int, list[str]]]) -> Layout:
    """The same columns as another form where one in tenths has decimals, or nothing that could not be whole degrees F: then it is
    asked what its numbers are.
    """
    if layout.form.scale == 1 or layout.high is None:
        return layout
    texts = [
        cells[at]
        for _, cells in rows
        for at in (layout.low, layout.high)
        if at is not None and at < len(cells)
    ]
    whole = [int(text) for text in texts if text.strip().isdecimal()]
    if not any("." in text for text in texts) and max(whole, default=0) > _MOST_F:
        return layout
    return _known(layout.headings, "", scaled=False) or layout


def _without_twins(layout: Layout) -> None:
    """Raises NoForm where another column could as well be one that is read: of like heading, in the same unit."""
    form = layout.form
    for at, pattern in (
        (layout.low, form.low),
        (layout.high, form.high),
        (layout.temperature, form.temperature),
    ):
        if at is None:
            continue
        unit = unit_in(layout.headings[at])
        twins = [h for h in layout.headings if re.fullmatch(pattern, plain_heading(h)) and unit_in(h) == unit]
        if len(twins) > 1:
            raise NoForm(
                f"{len(twins)} columns may be the one that is meant: {', '.join(shown(h)[1:-1] for h in twins)}; say what the columns "
                f"hold, each with a heading of its own: {', '.join(HEADING_ROLES)}",
                layout.headings,
            )


def _cells(line: str, separator: str) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=separator), [])]
    except csv.Error:
        return []


def _rows(lines: Sequence[str], start: int, end: int, separator: str) -> Iterator[tuple[int, list[str]]]:
    """The rows from a line on to another, blank ones left out."""
    reader = csv.reader(lines[start:end], delimiter=separator)
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
    wide = max((_cells(line, s) for line in lines[:_LINES_ABOVE] for s in SEPARATORS.values()), key=len)
    shown_ones = ", ".join(shown(cell)[1:-1] for cell in wide[:_SHOWN])
    return NoForm(
        f"no line has headings of a form that is known, with a date and temperatures. Its widest line has: {shown_ones}; say what "
        f"its columns hold: {', '.join(HEADING_ROLES)}",
        wide,
    )


def position_of(table: WeatherTable, station: str, cells: Sequence[str]) -> tuple[float, float] | None:
    """Where a station stands by the lines above the headings, or by its columns; cells: a row of it. None where neither says it."""
    if found := _POSITION.search("\n".join(table.above)):
        return float(found[1]), float(found[2])
    names = [plain_heading(heading) for heading in table.layout.headings]
    said = {**dict(zip(names, cells, strict=False)), **metadata(table.above, station)}
    latitude, longitude = (
        next((text for name, text in said.items() if re.fullmatch(pattern, name)), "") for pattern in PLACE
    )
    try:
        return float(latitude), float(longitude)
    except ValueError:  # no numbers there: then the file does not say where it is
        return None


def metadata(above: Sequence[str], station: str) -> Mapping[str, str]:
    """A block above the headings, a line of names and one of values for each place, by name; {} where there is none.

    station: the value that comes first in its line, where there are several.
    """
    names, *values = [_cells(line, ",") for line in above if line.strip()] or [[]]
    places = [place for place in values if len(place) == len(names)]
    return next((dict(zip(names, p, strict=True)) for p in places if p[0] == station or len(places) == 1), {})
