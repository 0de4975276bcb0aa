"""What a season has of temperatures: its station's days, those read off a thermometer, the years its dates may repeat."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from calendar_tui.planning.laying_out.warmth import season_warmth
from calendar_tui.season.records import Season
from calendar_tui.season.weather import by_day, known_days
from calendar_tui.season.weather_files.reading import Answers, kept_answers

# Told where temperatures are taken in or shown, and the season has no heat.
NO_HEAT = (
    "is not set, so stages last a number of days and temperatures move no date; to let them, once the season has a station's file "
    "or monthly means: calendar-tui set heat method single-sine"
)


class WeatherHeld(NamedTuple):
    """heat: whether dates run on heat; file: of the station, "" for none; first, last: None without any day; days: with
    temperatures; newest: the newest of them with its low and high in C; read_off: how many were read off a thermometer.

    years: the years that the season's dates may repeat, by name; monthly: whether the site has monthly means; kept: what was
    said of files that were taken in, by form; notes: what the temperatures lack, in sentences.
    """

    heat: bool
    file: str
    first: date | None
    last: date | None
    days: int
    lacking: int
    newest: tuple[date, tuple[float, float]] | None
    read_off: int
    years: tuple[str, ...]
    monthly: bool
    kept: Mapping[str, Answers]
    notes: tuple[str, ...]


def weather_held(season: Season) -> WeatherHeld:
    """The temperatures of a season."""
    known, warmth = known_days(season), season_warmth(season)
    measured = by_day(known)
    newest = max(measured, default=None)
    years = next(iter(warmth.places.values()), ()) if warmth else ()
    return WeatherHeld(
        heat=season.heat is not None,
        file="" if season.station is None else season.station.file,
        first=min(measured, default=None),
        last=newest,
        days=len(measured),
        lacking=0 if known is None else len(known.low_c) - len(measured),
        newest=None if newest is None else (newest, measured[newest]),
        read_off=len(season.thermometer),
        years=tuple(year.name for year in years),
        monthly=season.site.monthly_low_c is not None,
        kept={form: one for form, one in kept_answers(season.station).items() if form},
        notes=warmth.notes if warmth else (known.notes if known else ()),
    )
