"""What must hold among the days of a station's file: a list of small functions, each from its rows to its problems.

Rows come in the order of their days; their temperatures are in the file's unit, nan where nothing was measured.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby, pairwise
from typing import NamedTuple

from calendar_tui.season.readers import FIRST_DATE, LAST_DATE
from calendar_tui.season.weather import Station
from calendar_tui.season.weather_files.cells import LEAST_C, MOST_C


class StationRow(NamedTuple):
    """A day of the file, and the line it stands on."""

    line: int
    day: date
    low: float
    high: float


class RowProblem(NamedTuple):
    """A problem and its line; None where it is the file's as a whole."""

    line: int | None
    message: str


class _Unit(NamedTuple):
    """degree: how much one degree C is; least, most: of air anywhere; as_other: a value written in the other unit."""

    degree: float
    least: float
    most: float
    other: str
    as_other: Callable[[float], float]


_UNITS: Mapping[str, _Unit] = {
    "C": _Unit(1.0, LEAST_C, MOST_C, "F", lambda value: (value - 32) / 1.8),
    "F": _Unit(1.8, LEAST_C * 1.8 + 32, MOST_C * 1.8 + 32, "C", lambda value: value * 1.8 + 32),
}
# A day's mean that differs this much (degrees C) from a day or so before, and would fit it in the other unit this well.
_JUMP_C, _FIT_C, _JUMP_DAYS = 25, 8, 3
# Where no day of a year gets warmer than this, degrees F, no crop grows; in degrees C every year stays under it.
_COLD_YEAR_F, _YEAR_DAYS = 50.0, 365


def row_problems(rows: Sequence[StationRow], station: Station) -> list[RowProblem]:
    """All that does not hold, check by check."""
    return [problem for check in _CHECKS for problem in check(rows, station)]


def _years(rows: Sequence[StationRow], _station: Station) -> Iterator[RowProblem]:
    for row in rows:
        if not FIRST_DATE <= row.day <= LAST_DATE:
            yield RowProblem(
                row.line, f"the date is {row.day}; it must be from {FIRST_DATE.year} to {LAST_DATE.year}"
            )


def _twice(rows: Sequence[StationRow], _station: Station) -> Iterator[RowProblem]:
    for first, second in pairwise(rows):
        if first.day == second.day:
            yield RowProblem(
                second.line, f"{second.day} is on line {first.line} already; keep one line for each day"
            )


def _any_temperature(rows: Sequence[StationRow], _station: Station) -> Iterator[RowProblem]:
    if rows and not any(row.low <= row.high or row.low > row.high for row in rows):
        yield RowProblem(
            None, "no day has both its temperatures; the file needs a low and a high for each day"
        )


def _swapped(rows: Sequence[StationRow], station: Station) -> Iterator[RowProblem]:
    swapped = [row for row in rows if row.low > row.high and not _beyond_air(row, station)]
    low, high = station.columns.low, station.columns.high
    if 2 * len(swapped) > len(rows) > 1:
        yield RowProblem(
            swapped[0].line,
            f"{low} is over {high} on this day and on {len(swapped)} of {len(rows)} in all, so the columns are changed "
            f'round; under columns in [station] write low = "{high}" and high = "{low}"',
        )
        return
    for row in swapped:
        yield RowProblem(
            row.line,
            f"{low} is {row.low:g}, over {high}, which is {row.high:g}; change them round or empty both",
        )


def _impossible(rows: Sequence[StationRow], station: Station) -> Iterator[RowProblem]:
    for row in rows:
        if _looks_f(row, station):
            continue
        names = {"low": station.columns.low, "high": station.columns.high}
        values = ", and ".join(
            f"{names[key]} is {value:g}" for key, value in _beyond_air(row, station).items()
        )
        if values:
            yield RowProblem(
                row.line,
                f"{values}, which air never has in {station.unit}; empty both cells of the day if nothing was measured",
            )


def _beyond_air(row: StationRow, station: Station) -> Mapping[str, float]:
    """The temperatures of a day that air has nowhere, by "low" and "high"."""
    unit = _UNITS[station.unit]
    return {k: v for k, v in (("low", row.low), ("high", row.high)) if v < unit.least or v > unit.most}


def _other_unit(rows: Sequence[StationRow], station: Station) -> Iterator[RowProblem]:
    """Days that look like F where C is told, one sentence for each run of them."""
    for looks, group in groupby(rows, key=lambda row: _looks_f(row, station)):
        days = list(group)
        if looks:
            first, last = days[0], days[-1]
            until = "" if len(days) == 1 else f", and so on to line {last.line}: {len(days)} days"
            yield RowProblem(
                first.line,
                f"{first.low:g} and {first.high:g} go over {_UNITS['C'].most:g} C{until}. The season says unit = "
                f'"C", and nothing is guessed. It may be F: put these lines into C, or write unit = "F" in [station] if '
                f"all lines are F",
            )


def _looks_f(row: StationRow, station: Station) -> bool:
    """Whether a day goes over what air has in C and would be in reach in F."""
    return station.unit == "C" and any(_UNITS["C"].most < v <= _UNITS["F"].most for v in (row.low, row.high))


def _jumps(rows: Sequence[StationRow], station: Station) -> Iterator[RowProblem]:
    """Days that do not follow from the one before in the unit told, and would in the other."""
    unit = _UNITS[station.unit]
    measured = [row for row in rows if unit.least <= row.low <= row.high <= unit.most]
    limit = 2 * _JUMP_C * unit.degree
    for before, row in pairwise(measured):
        step = row.low + row.high - before.low - before.high
        if (
            abs(step) > limit
            and (row.day - before.day).days <= _JUMP_DAYS
            and _fits_otherwise(before, row, unit)
        ):
            yield RowProblem(
                row.line,
                f"{row.low:g} and {row.high:g} follow {before.low:g} and {before.high:g} on line {before.line}, as {unit.other} "
                f'would follow {station.unit} or the other way round. The season says unit = "{station.unit}", and nothing is '
                f"guessed: put all lines into {station.unit}; empty both cells if it is neither",
            )


def strange_days(rows: Sequence[StationRow], station: Station) -> list[tuple[date, str]]:
    """The days that would be as the days around them in the other unit, and why each is strange."""
    by_line = {row.line: row.day for row in rows}
    return [(by_line[one.line], one.message) for one in _jumps(rows, station) if one.line is not None]


def _fits_otherwise(before: StationRow, row: StationRow, unit: _Unit) -> bool:
    """Whether two days come close if one of them is written in the other unit."""
    fit = _FIT_C * unit.degree
    return any(
        abs(unit.as_other(one.low) - other.low) <= fit and abs(unit.as_other(one.high) - other.high) <= fit
        for one, other in ((before, row), (row, before))
    )


def _cold_years(rows: Sequence[StationRow], station: Station) -> Iterator[RowProblem]:
    highs = [row.high for row in rows if not math.isnan(row.high)]
    if station.unit == "F" and len(highs) >= _YEAR_DAYS and max(highs) <= _COLD_YEAR_F:
        yield RowProblem(
            None,
            f'the warmest of {len(highs)} days has {max(highs):g}, and the season says unit = "F", and nothing is '
            'guessed. It may be C: write unit = "C" in [station] if it is',
        )


_CHECKS: tuple[Callable[[Sequence[StationRow], Station], Iterator[RowProblem]], ...] = (
    _years,
    _twice,
    _any_temperature,
    _swapped,
    _impossible,
    _other_unit,
    _jumps,
    _cold_years,
)
