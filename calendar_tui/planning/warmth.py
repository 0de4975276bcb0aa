"""The warmth of a season: its days' temperatures in each place, and what they sum to, for each year it may repeat."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from math import isnan, nan
from typing import Any, NamedTuple

from calendar_tui.nature.heat import (
    degree_day_series,
    germination_day_ch,
    normal_lows_and_highs,
    running_sums,
)
from calendar_tui.planning.wording import day_text, days_text
from calendar_tui.season.records import Heat, Place, Season, StationDays

# Gaps of up to so many days are filled by straight lines; a longer one leaves its year out. A choice, no source.
FILLED_D = 3
YEAR_D = 365
_UNDER_GLASS = ("nursery", "greenhouse", "hoop house")


@dataclass(frozen=True, slots=True)
class YearHeat:
    """One year's temperatures (C) over the season's days in one place, and their running sums.

    name: "2013", "2013-14" or "monthly means"; heat: C x days; germination: C x hours.
    """

    name: str
    low_c: tuple[float, ...]
    high_c: tuple[float, ...]
    heat: tuple[float, ...]
    germination: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Warmth:
    """places: the years of each place, the same years for all. told: what the temperatures lack, in sentences."""

    places: Mapping[str, tuple[YearHeat, ...]]
    told: tuple[str, ...] = ()


class _Days(NamedTuple):
    """A year's lowest and highest temperatures over the season's days, C; nan where there is none."""

    name: str
    low_c: tuple[float, ...]
    high_c: tuple[float, ...]


def season_warmth(season: Season) -> Warmth | None:
    """The warmth of every place of a season, or None where heat is switched off.

    The season's own days are as its station has them; the rest of each year is as in one full year of the station, or
    by the site's monthly means where the station has none. Without any temperatures the places have no years.
    """
    if season.heat is None:
        return None
    years, told = _years(season)
    climates: dict[tuple[Any, ...], tuple[YearHeat, ...]] = {}
    for place in season.places.values():
        climate = _climate(place)
        if climate not in climates:
            climates[climate] = tuple(_year_heat(season.heat, place, year) for year in years)
    told = (*told, *_as_cold_as_the_site(season)) if years else told
    return Warmth({p.id: climates[_climate(p)] for p in season.places.values()}, told)


def _as_cold_as_the_site(season: Season) -> Iterator[str]:
    bare = [p.id for p in season.places.values() if p.kind in _UNDER_GLASS and _climate(p) == (0.0, None)]
    if bare:
        yield (
            f"{', '.join(bare)}: taken to be as cold as the site outside; give warmer_c or held_c to a place that is not"
        )


def warmth_inputs(season: Season) -> tuple[Any, ...]:
    """All that the warmth of a season depends on."""
    places = tuple((p.id, _climate(p)) for p in season.places.values())
    return season.heat, season.site, season.weather, season.first_day, season.last_day, places


def _climate(place: Place) -> tuple[Any, ...]:
    return place.warmer_c, place.held_c


def _year_heat(heat: Heat, place: Place, year: _Days) -> YearHeat:
    low, high = (_in_place(place, side) for side in (year.low_c, year.high_c))
    sums = running_sums(degree_day_series(low, high, heat.base_c, heat.upper_c, heat.method))
    germination = running_sums(map(germination_day_ch, low, high))
    return YearHeat(year.name, low, high, sums, germination)


def _in_place(place: Place, side: Sequence[float]) -> tuple[float, ...]:
    """The site's temperatures as they are in a place."""
    warmed = [degrees + place.warmer_c for degrees in side] if place.warmer_c else side
    if place.held_c is None:
        return tuple(warmed)
    least, most = place.held_c
    return tuple([min(max(degrees, least), most) for degrees in warmed])


def _years(season: Season) -> tuple[list[_Days], tuple[str, ...]]:
    """The years that the season may repeat, and sentences about what they lack."""
    told: list[str] = []
    years: list[_Days] = []
    if season.weather is not None:
        told += season.weather.told
        told += _ends_before(season, season.weather)
        own = _own_days(season, season.weather)
        for year in _station_years(season, season.weather):
            whole = _over(own, year)
            lacking = _lacking(season, whole)
            if not lacking:
                years.append(whole)
            elif year.name != _year_name(season, season.first_day.year):
                told.append(f"{year.name} is left out of the years: {lacking}")
        if not years:
            told.append("the station has no full year of the season's days")
    if not years and season.site.monthly_low_c is not None and season.site.monthly_high_c is not None:
        monthly = normal_lows_and_highs(
            season.site.monthly_low_c, season.site.monthly_high_c, season.first_day, season.last_day
        )
        normal = _Days("monthly means", *monthly)
        years.append(normal if season.weather is None else _over(_own_days(season, season.weather), normal))
    if not years:
        told.append(
            "no temperatures for the season, so stages run on days; add monthly_low_c and monthly_high_c to [site], or "
            "full years to the station's file"
        )
    return years, tuple(told)


def _ends_before(season: Season, weather: StationDays) -> Iterator[str]:
    last = weather.first + timedelta(days=len(weather.low_c) - 1)
    if last < season.first_day:
        yield f"the station's days end on {last}, before the season: all its dates are by other years"


def _station_years(season: Season, weather: StationDays) -> Iterator[_Days]:
    """Each year of the station that has the season's first day; its days, gaps of up to FILLED_D filled."""
    last = weather.first + timedelta(days=len(weather.low_c) - 1)
    for year in range(weather.first.year, last.year + 1):
        begin = (_same_day(season.first_day, year) - weather.first).days
        if 0 <= begin < len(weather.low_c):
            yield _slice(season, weather, begin, _year_name(season, year))


def _same_day(day: date, year: int) -> date:
    """This day of another year; 29 February becomes 28 February where there is none."""
    return day.replace(year=year, day=28) if (day.month, day.day) == (2, 29) else day.replace(year=year)


def _year_name(season: Season, year: int) -> str:
    return str(year) if season.first_day.year == season.last_day.year else f"{year}-{(year + 1) % 100:02d}"


def _slice(season: Season, weather: StationDays, begin: int, name: str) -> _Days:
    length = (season.last_day - season.first_day).days + 1
    sides = (
        _repeated(_filled(_padded(side[begin : begin + length], length)), len(side) - begin)
        for side in (weather.low_c, weather.high_c)
    )
    return _Days(name, *sides)


def _repeated(days: tuple[float, ...], known: int) -> tuple[float, ...]:
    """Days of more than a year, those past the first `known` as a year before: the station's record ends there."""
    out = list(days)
    for n in range(max(known, YEAR_D), len(out)):
        out[n] = out[n - YEAR_D]
    return tuple(out)


def _padded(days: tuple[float, ...], length: int) -> tuple[float, ...]:
    return days + (nan,) * (length - len(days))


def _filled(days: tuple[float, ...]) -> tuple[float, ...]:
    """Short gaps between two known days filled by straight lines."""
    if not any(map(isnan, days)):
        return days
    out = list(days)
    known = [i for i, value in enumerate(days) if not isnan(value)]
    for before, after in pairwise(known):
        gap = after - before
        if 1 < gap <= FILLED_D + 1:
            step = (days[after] - days[before]) / gap
            out[before + 1 : after] = [days[before] + step * n for n in range(1, gap)]
    return tuple(out)


def _own_days(season: Season, weather: StationDays) -> _Days:
    """The days of the season itself that the station has."""
    begin = (season.first_day - weather.first).days
    length = (season.last_day - season.first_day).days + 1
    if begin < 0:
        lead = (nan,) * min(-begin, length)
        sides = tuple(lead + side[: max(length + begin, 0)] for side in (weather.low_c, weather.high_c))
    else:
        sides = tuple(side[begin : begin + length] for side in (weather.low_c, weather.high_c))
    low, high = (_filled(_padded(side, length)) for side in sides)
    return _Days("this season", low, high)


def _over(own: _Days, year: _Days) -> _Days:
    """A year with the season's own days laid over it."""
    low = tuple([a if isnan(b) else b for a, b in zip(year.low_c, own.low_c, strict=True)])
    high = tuple([a if isnan(b) else b for a, b in zip(year.high_c, own.high_c, strict=True)])
    return _Days(year.name, low, high)


def _lacking(season: Season, year: _Days) -> str:
    """Which of the season's days a year lacks, or ""."""
    missing = [i for i, pair in enumerate(zip(year.low_c, year.high_c, strict=True)) if any(map(isnan, pair))]
    if not missing:
        return ""
    first, last = (season.first_day + timedelta(days=missing[i]) for i in (0, -1))
    until = "" if first == last else f" to {day_text(last)}"
    return f"it lacks {days_text(len(missing))} of the season's, from {day_text(first)}{until}"
