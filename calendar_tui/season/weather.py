"""The immutable records of a season's weather: how its heat is counted, the days of its station and of its thermometer."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING

from calendar_tui.season.station_gaps import gap_notes

if TYPE_CHECKING:
    from calendar_tui.season.records import Season


@dataclass(frozen=True, slots=True, kw_only=True)
class StationColumns:
    """The names of a station file's columns."""

    date: str = "date"
    low: str = "low"
    high: str = "high"


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A weather station's daily file beside the season file; unit: "C" or "F", of its temperatures.

    units, stations, date_orders: what a person said of files that were taken in, by their form; headings: what their columns hold.
    """

    file: str
    unit: str
    columns: StationColumns = field(default_factory=StationColumns)
    date_form: str = "2026-01-31"
    units: Mapping[str, str] = field(default_factory=dict, hash=False)
    stations: Mapping[str, str] = field(default_factory=dict, hash=False)
    date_orders: Mapping[str, str] = field(default_factory=dict, hash=False)
    headings: Mapping[str, str] = field(default_factory=dict, hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThermometerDay:
    """A day's lowest and highest temperature in C, read off by a person."""

    date: date
    low_c: float
    high_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StationDays:
    """A station's days from `first` on, in C; nan where the file has none. notes: sentences about what it lacks."""

    first: date
    low_c: tuple[float, ...]
    high_c: tuple[float, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """How temperature sums are made, where heat is switched on.

    base_c, upper_c: between them development runs; reference_c: the mean temperature at which a variety's figures in
    days hold.
    """

    method: str = "single-sine"
    base_c: float = 1.0
    upper_c: float = 29.0
    reference_c: float = 20.0


def known_days(season: Season) -> StationDays | None:
    """The days of a season's station with those of its thermometer, which stand above them; None where it has neither."""
    read_off = {one.date: (one.low_c, one.high_c) for one in season.thermometer}
    if not read_off:
        return season.weather
    name = "thermometer" if season.station is None else season.station.file
    return days_of({**by_day(season.weather), **read_off}, name)


def by_day(days: StationDays | None) -> dict[date, tuple[float, float]]:
    """The days with temperatures, their low and high in C, in order; {} of None."""
    if days is None:
        return {}
    pairs = enumerate(zip(days.low_c, days.high_c, strict=True))
    return {days.first + timedelta(days=n): pair for n, pair in pairs if not math.isnan(pair[0])}


def days_of(measured: Mapping[date, tuple[float, float]], name: str) -> StationDays:
    """Days by their dates, from the first to the last of them, with what they lack told under a name. At least one is needed."""
    first = min(measured)
    none = (math.nan, math.nan)
    length = (max(measured) - first).days + 1
    pairs = [measured.get(first + timedelta(days=n), none) for n in range(length)]
    lows, highs = (tuple(side) for side in zip(*pairs, strict=True))
    return StationDays(first=first, low_c=lows, high_c=highs, notes=tuple(gap_notes(name, first, lows)))
