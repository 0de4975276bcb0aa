"""What a season has of temperatures, as plain text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calendar_tui.handing_on.words.plain_text import wrapped
from calendar_tui.planning.weather_held import NO_HEAT, WeatherHeld
from calendar_tui.planning.weather_moves import WeatherMove
from calendar_tui.season.measures import degrees_range_text
from calendar_tui.season.weather_files.forms import TITLES
from calendar_tui.season.wording import days_text, first_to_last_text, some_text, year_day_text


def weather_text(held: WeatherHeld, moves: Sequence[WeatherMove]) -> Iterator[str]:
    """The station's days, the thermometer's, the years, what was said of files, what moved since yesterday, and what lacks."""
    for text in _sentences(held):
        yield from wrapped(text, "  ")
    if moves:
        texts = some_text([move.text for move in moves])
        yield from wrapped(f"Moved by the temperatures since yesterday: {texts}", "  ")
    for note in held.notes:
        yield from wrapped(note, "    ", first="  note: ")


def _sentences(held: WeatherHeld) -> Iterator[str]:
    yield f"Heat: {'dates run on heat' if held.heat else NO_HEAT}"
    yield f"Station: {held.file or 'is not set; calendar-tui station SEASON FILE takes a weather file in'}"
    if held.first is not None and held.last is not None:
        yield f"Days: {days_text(held.days)} with temperatures, {first_to_last_text(held.first, held.last)}, {days_text(held.lacking)} without"
    if held.newest is not None:
        day, pair = held.newest
        yield f"Newest: {year_day_text(day)}, {degrees_range_text(*pair)}"
    if held.read_off:
        yield f"Thermometer: {days_text(held.read_off)} read off, which stand above the station's"
    if held.years:
        yield f"Years that dates may repeat: {some_text(held.years)}"
    yield f"Monthly means of the site: {'set' if held.monthly else 'are not set'}"
    for form, one in held.kept.items():
        said = ("unit", one.unit), ("station", one.station), ("dates", one.dates)
        known = ", ".join(f"{key} {value}" for key, value in said if value)
        yield f"Kept of files of the form {TITLES.get(form, form)}: {known}"
