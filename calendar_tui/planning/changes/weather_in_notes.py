"""What a weather file was taken for, and what of it is left out, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from calendar_tui.season.readers import shown
from calendar_tui.season.weather_files.days import WeatherFile, WrongCell
from calendar_tui.season.wording import days_text, first_to_last_text, some_text, year_day_text

# So many lines and days are named, and the rest counted.
MOST_NAMED = 5


def file_notes(name: str, file: WeatherFile) -> Iterator[str]:
    """How a file was read, and what is left out, by line. name: the file's."""
    yield _taken_text(file)
    measured, lacking = days_text(len(file.days)), days_text(file.lacking)
    yield f"{first_to_last_text(file.first, file.last)}: {measured} with temperatures, {lacking} without"
    if file.missing:
        marks = (
            f"{mark if mark == 'empty' else shown(mark)} {count}" for mark, count in file.missing.items()
        )
        yield f"marks for nothing measured, by how often: {', '.join(marks)}"
    yield from _cells(name, file.wrong, "left out for what air never has")
    yield from _cells(name, file.unread, "left out for what cannot be read")
    if file.flagged:
        yield f"{file.flagged} values failed a check of the service and are left out"
    if file.torn:
        yield f"{days_text(len(file.torn))} with more than 3 h without a reading left out: {_dates(file.torn)}"
    if file.twice:
        yield f"{days_text(file.twice)} more than once in it: the last of each counts"
    if file.note:
        yield f"of this form: {file.note}"


def _taken_text(file: WeatherFile) -> str:
    parts = [f"taken for {file.title} ({file.form})"]
    parts += [f"station {file.station}"] if file.station else []
    parts += [f"degrees {file.unit}, {file.unit_by}"]
    parts += [f"dates {file.order.replace('-', ' ')}, {file.order_by}"] if file.order_by else []
    parts += [f"{shown(heading)} is {role}" for heading, role in file.columns.items()]
    return "; ".join(parts)


def _cells(name: str, cells: Sequence[WrongCell], why: str) -> Iterator[str]:
    if not cells:
        return
    named = (f"{name}:{cell.line}: {cell.text}" if cell.line else cell.text for cell in cells[:MOST_NAMED])
    more = f"; and {len(cells) - MOST_NAMED} more" if len(cells) > MOST_NAMED else ""
    yield f"{why}: {'; '.join(named)}{more}"


def _dates(days: Sequence[date]) -> str:
    return some_text([year_day_text(day) for day in days])


def strange_notes(strange: Sequence[tuple[date, str]]) -> Iterator[str]:
    """The days that are left out because only in the other unit they fit those around them."""
    if strange:
        yield (
            f"{days_text(len(strange))} left out: only in the other unit they fit the days around them: "
            f"{_dates([day for day, _ in strange])}"
        )
