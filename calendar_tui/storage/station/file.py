"""A weather station's daily file: a CSV beside the season file, read into days in degrees C.

Nothing in it is guessed: the season says which columns and which unit, and what does not fit is told with its line. Days
without temperatures are no problem but a gap, which is told too.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from calendar_tui.season.readers import choices
from calendar_tui.season.station_checks import RowProblem, StationRow, row_problems
from calendar_tui.season.station_gaps import gap_notes
from calendar_tui.season.weather import Station, StationDays
from calendar_tui.storage.disk.plain_file import NotPlain, read_plain, refuse_odd
from calendar_tui.storage.disk.whole_file import reason, refused
from calendar_tui.storage.problems import FileProblem, SeasonFileError
from calendar_tui.storage.station.rows import read_rows

LARGEST_MB = 50
MOST_PROBLEMS = 20


@dataclass(frozen=True, slots=True)
class StationReading:
    """days is None where there are problems."""

    days: StationDays | None
    problems: tuple[FileProblem, ...]


def read_station(folder: Path, station: Station) -> StationReading:
    """The days of a season's station file, which lies in `folder`; or its problems with their lines, the first 20.

    Raises nothing: a file that is missing or cannot be read is a problem. A file that has not changed is read once.
    """
    path = folder / station.file
    try:
        changed_ns, size = _looked_at(path)
    except SeasonFileError as error:
        return StationReading(None, error.problems)
    return _read(path, changed_ns, size, station)


def _looked_at(path: Path) -> tuple[int, int]:
    """When the file was changed last (ns), and its size in bytes. Raises SeasonFileError where it is not to be read."""
    try:
        refuse_odd(path)
        status = path.stat()
    except NotPlain as error:
        raise refused(path, f"{reason(error)}; put the CSV file itself beside the season") from error
    except FileNotFoundError:
        there = sorted(other.name for other in path.parent.glob("*.csv"))
        others = choices(path.name, there, "CSV files there") if there else ""
        message = f"there is no such file; put the station's days there, or change file in [station]{others}"
        raise refused(path, message) from None
    except (OSError, ValueError) as error:
        raise _unreadable(path, error) from error
    if status.st_size > LARGEST_MB * 1_000_000:
        size = f"has {status.st_size / 1_000_000:.0f} MB, and at most {LARGEST_MB} MB are read"
        raise refused(path, f"{size}; keep one row a day and the columns in use")
    return status.st_mtime_ns, status.st_size


@lru_cache(maxsize=4)
def _read(path: Path, changed_ns: int, size: int, station: Station) -> StationReading:
    """The file as it was at that time and size, which only tell one reading from the next."""
    try:
        rows, problems = read_rows(path, _text(path), station)
    except SeasonFileError as error:
        return StationReading(None, error.problems)
    rows.sort(key=lambda row: row.day)
    problems += row_problems(rows, station)
    if problems:
        return StationReading(None, _file_problems(path, problems))
    return StationReading(_days(path.name, rows, station.unit), ())


def _text(path: Path) -> str:
    try:
        return read_plain(path).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        raise refused(path, "these characters are not UTF-8; save the file as CSV in UTF-8", line) from None
    except OSError as error:
        raise _unreadable(path, error) from error


def _unreadable(path: Path, error: OSError | ValueError) -> SeasonFileError:
    return refused(path, f"cannot be read: {reason(error) if isinstance(error, OSError) else error}")


def _file_problems(path: Path, problems: list[RowProblem]) -> tuple[FileProblem, ...]:
    """In the order of the file, no more than a person reads."""
    problems = sorted(problems, key=lambda problem: problem.line or 0)
    shown = [FileProblem(str(path), line, message) for line, message in problems[:MOST_PROBLEMS]]
    if more := problems[MOST_PROBLEMS:]:
        count = (
            "1 more problem, on this line"
            if len(more) == 1
            else f"{len(more)} more problems, from this line on"
        )
        shown.append(FileProblem(str(path), more[0].line, f"and {count}"))
    return tuple(shown)


# --- days


def _days(name: str, rows: Sequence[StationRow], unit: str) -> StationDays:
    """Each day from the first row to the last, in C. A day that has only one of its temperatures has none."""
    first = rows[0].day.toordinal()
    lows = [math.nan] * (rows[-1].day.toordinal() - first + 1)
    highs = lows.copy()
    zero, degree = (32.0, 1.8) if unit == "F" else (0.0, 1.0)
    for row in rows:
        if row.low <= row.high:  # so neither is missing
            at = row.day.toordinal() - first
            lows[at], highs[at] = (row.low - zero) / degree, (row.high - zero) / degree
    return StationDays(
        first=rows[0].day,
        low_c=tuple(lows),
        high_c=tuple(highs),
        notes=tuple(gap_notes(name, rows[0].day, lows)),
    )
