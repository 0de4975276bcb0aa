"""The warmth of a season: its days' temperatures in each place, and what they sum to, for each year it may repeat."""

from __future__ import annotations

from calendar import isleap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from math import isnan, nan
from typing import TYPE_CHECKING, Any, NamedTuple

from calendar_tui.nature.heat import (
    degree_day_series,
    germination_day_ch,
    normal_lows_and_highs,
    running_sums,
)
from calendar_tui.season.records import Place, Season
from calendar_tui.season.weather import known_days
from calendar_tui.season.wording import day_text, days_text, full_day_text

if TYPE_CHECKING:
    from calendar_tui.season.weather import Heat, StationDays

# Gaps of up to so many days are filled by straight lines; a longer one leaves its year out. A choice, no source.
FILLED_D = 3
# With monthly means at hand, a year that lacks no more days than this has them by these. A choice, no source.
MENDED_D = 30
# With fewer full years than this, the monthly means count as one more: a mean of thirty years says more of what is likely than
# one odd year, and each year still widens the range. A choice, no source.
ENOUGH_YEARS = 10
YEAR_D = 365
MONTHLY = "monthly means"
_LEFT_OUT = "is left out of the years"
_NO_FULL_YEAR = "the station has no full year of the season's days"
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
    """places: the years of each place, the same years for all. notes: what the temperatures lack, in sentences."""

    places: Mapping[str, tuple[YearHeat, ...]]
    notes: tuple[str, ...] = ()


class _Days(NamedTuple):
    """A year's lowest and highest temperatures over the season's days, C; nan where there is none."""

    name: str
    low_c: tuple[float, ...]
    high_c: tuple[float, ...]


def season_warmth(season: Season) -> Warmth | None:
    """The warmth of every place of a season, or None where heat is switched off.

    The season's own days are as its station has them; the rest of each year is as in one full year of the station, or
    by the site's monthly means: where the station has no full year, and as one year more where it has few. Without
    any temperatures the places have no years.
    """
    if season.heat is None:
        return None
    years, notes = _years(season)
    climates: dict[tuple[Any, ...], tuple[YearHeat, ...]] = {}
    for place in season.places.values():
        climate = _climate(place)
        if climate not in climates:
            climates[climate] = tuple(_year_heat(season.heat, place, year) for year in years)
    notes = (*notes, *_as_cold_as_the_site(season)) if years else notes
    return Warmth({p.id: climates[_climate(p)] for p in season.places.values()}, notes)


def _as_cold_as_the_site(season: Season) -> Iterator[str]:
    bare = [p.id for p in season.places.values() if p.kind in _UNDER_GLASS and _climate(p) == (0.0, None)]
    if bare:
        yield (
            f"{', '.join(bare)}: taken to be as cold as the site outside; set how much warmer it is, or what it is held at, for a place that is not"
        )


def warmth_inputs(season: Season) -> tuple[Any, ...]:
    """All that the warmth of a season depends on."""
    places = tuple((p.id, _climate(p)) for p in season.places.values())
    read_off = tuple((one.date, one.low_c, one.high_c) for one in season.thermometer)
    return season.heat, season.site, season.weather, read_off, season.first_day, season.last_day, places


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
    """The years that the season may repeat, and sentences about what they lack.

    The station's full years, and the site's monthly means beside them where they are few or in their place where there is
    none; without monthly means the station's years with their gaps filled from one another.
    """
    monthly, weather = _monthly(season), known_days(season)
    if weather is None:
        years, notes = [] if monthly is None else [monthly], list[str]()
    else:
        full, torn = _full_and_torn(season, weather)
        if monthly is None:
            years, notes = _by_station(season, full, torn)
        else:
            years, notes = _by_station_and_means(
                season, full, torn, _over(_own_days(season, weather), monthly)
            )
        notes = [
            *weather.notes,
            *_ends_before(season, weather),
            *notes,
            *_stood_in_for(season, weather, years),
        ]
    if not years:
        notes.append(
            "no temperatures for the season, so stages run on days; set the monthly low and the monthly high of the "
            "site, or put full years into the station's file"
        )
    return years, tuple(notes)


def _by_station(
    season: Season, full: Sequence[_Days], torn: Sequence[_Days]
) -> tuple[list[_Days], list[str]]:
    """The full years, else all with their gaps filled from one another; and what became of those with gaps."""
    years, how = list(full), _LEFT_OUT
    if not full and (years := _filled_from_others(torn)):
        how = "has the mean of the other years where it has gaps"
    notes = [_gaps_text(season, year, how) for year in torn]
    return years, notes if years else [*notes, _NO_FULL_YEAR]


def _by_station_and_means(
    season: Season, full: Sequence[_Days], torn: Sequence[_Days], by_means: _Days
) -> tuple[list[_Days], list[str]]:
    """The full years and those with few gaps, and the monthly means as one more where these are few.

    by_means: the monthly means, the season's own days laid over them.
    """
    few = [year for year in torn if len(_missing(year)) <= MENDED_D]
    many = [year for year in torn if len(_missing(year)) > MENDED_D]
    years = sorted(
        [*full, *(_over(year, by_means)._replace(name=year.name) for year in few)], key=lambda year: year.name
    )
    notes = [
        *(_gaps_text(season, year, "has the monthly means where it has gaps") for year in few),
        *(_gaps_text(season, year, _LEFT_OUT) for year in many),
    ]
    if not years:
        return [by_means], [*notes, _NO_FULL_YEAR]
    if len(years) < ENOUGH_YEARS:
        count = f"{len(years)} full year{'' if len(years) == 1 else 's'}"
        notes.append(
            f"the monthly means count as one year more beside the station's {count}; from {ENOUGH_YEARS} on they do not"
        )
        years.append(by_means)
    return years, notes


def _gaps_text(season: Season, year: _Days, how: str) -> str:
    return f"{year.name} {how}: {_lacking(season, year)}"


def _stood_in_for(season: Season, weather: StationDays, years: Sequence[_Days]) -> Iterator[str]:
    """Which of the season's own days the station has not, up to its newest, and what stands in for them."""
    if not years:
        return
    own, begin = _own_days(season, weather), (weather.first - season.first_day).days
    known = range(max(begin, 0), max(min(begin + len(weather.low_c), len(own.low_c)), 0))
    missing = [n for n in known if isnan(own.low_c[n]) or isnan(own.high_c[n])]
    if missing:
        by = "by the monthly means" if years[0].name == MONTHLY else "as in the station's other years"
        yield f"{_days_of(season, missing, 'of this season')}, {'is' if len(missing) == 1 else 'are'} {by}"


def _monthly(season: Season) -> _Days | None:
    low, high = season.site.monthly_low_c, season.site.monthly_high_c
    if low is None or high is None:
        return None
    return _Days(MONTHLY, *normal_lows_and_highs(low, high, season.first_day, season.last_day))


def _full_and_torn(season: Season, weather: StationDays) -> tuple[list[_Days], list[_Days]]:
    """The station's years, the season's own days laid over each: those without a gap, and those with one.

    The season's own year is not among the second: what it has is laid over all.
    """
    own = _own_days(season, weather)
    years = [_over(own, year) for year in _station_years(season, weather)]
    now = _year_name(season, season.first_day.year)
    full = [year for year in years if not _lacking(season, year)]
    return full, [year for year in years if year.name != now and _lacking(season, year)]


def _filled_from_others(torn: Sequence[_Days]) -> list[_Days]:
    """Each year with its missing days as the mean of those days in the others; none where all lack the same day."""
    low, high = (
        tuple(map(_mean, zip(*sides, strict=True)))
        for sides in ([year.low_c for year in torn], [year.high_c for year in torn])
    )
    return (
        []
        if not torn or any(map(isnan, low + high))
        else [_over(year, _Days(year.name, low, high)) for year in torn]
    )


def _mean(degrees: Sequence[float]) -> float:
    known = [one for one in degrees if not isnan(one)]
    return sum(known) / len(known) if known else nan


def _ends_before(season: Season, weather: StationDays) -> Iterator[str]:
    last = weather.first + timedelta(days=len(weather.low_c) - 1)
    if last < season.first_day:
        yield f"the station's days end on {full_day_text(last)}, before the season: all its dates are by other years"


def _station_years(season: Season, weather: StationDays) -> Iterator[_Days]:
    """Each year of the station that has the season's first day; its days, gaps of up to FILLED_D filled."""
    last = weather.first + timedelta(days=len(weather.low_c) - 1)
    for year in range(weather.first.year, last.year + 1):
        begin = (_same_day(season.first_day, year) - weather.first).days
        if 0 <= begin < len(weather.low_c):
            yield _laid_on(season, weather, year)


def _same_day(day: date, year: int) -> date:
    """This day of another year; 29 February becomes 28 February where there is none."""
    leap_day = (day.month, day.day) == (2, 29) and not isleap(year)
    return day.replace(year=year, day=28 if leap_day else day.day)


def _year_name(season: Season, year: int) -> str:
    return str(year) if season.first_day.year == season.last_day.year else f"{year}-{(year + 1) % 100:02d}"


def _laid_on(season: Season, weather: StationDays, year: int) -> _Days:
    """A station's days laid on the season's by their calendar date, the first of them from `year`."""
    stretches = list(_stretches(season, weather, year))
    return _Days(
        _year_name(season, year),
        *(_repeated(season, _joined(_filled(s), stretches)) for s in (weather.low_c, weather.high_c)),
    )


def _stretches(season: Season, weather: StationDays, year: int) -> Iterator[tuple[int, int]]:
    """The days of the station that follow one another as the season's do, as numbers: the first, and the one after.

    A new stretch begins on and after each 29 February of the season: one that the station's year has not is as its 28
    February, and one that only the station's year has is left out.
    """
    last = season.last_day + timedelta(days=1)
    leap = [date(y, 2, 29) for y in range(season.first_day.year, last.year + 1) if isleap(y)]
    marches = [date(y, 3, 1) for y in range(season.first_day.year, last.year + 1)]
    cuts = sorted(
        {season.first_day, last, *(day for day in (*leap, *marches) if season.first_day < day < last)}
    )
    for first, after in pairwise(cuts):
        begin = (_same_day(first, first.year + year - season.first_day.year) - weather.first).days
        yield begin, begin + (after - first).days


def _joined(side: Sequence[float], stretches: Sequence[tuple[int, int]]) -> tuple[float, ...]:
    """The days of the stretches one after another, up to where the station's end."""
    out: list[float] = []
    for begin, after in stretches:
        out += side[begin:after]
        if after > len(side):
            break
    return tuple(out)


def _repeated(season: Season, days: tuple[float, ...]) -> tuple[float, ...]:
    """All the season's days; those past the end of the station's are as a year before, or nan in the first year."""
    length = (season.last_day - season.first_day).days + 1
    out = list(_padded(days, length))
    for n in range(max(len(days), YEAR_D), length):
        day = season.first_day + timedelta(days=n)
        before = (_same_day(day, day.year - 1) - season.first_day).days
        out[n] = out[before] if before >= 0 else nan
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
    missing = _missing(year)
    whose = "of the season's"
    return f"it lacks {_days_of(season, missing, whose)}" if missing else ""


def _missing(year: _Days) -> list[int]:
    return [i for i, pair in enumerate(zip(year.low_c, year.high_c, strict=True)) if any(map(isnan, pair))]


def _days_of(season: Season, days: Sequence[int], whose: str) -> str:
    """ "4 days of the season's, from 31 May to 3 Jun"."""
    first, last = (season.first_day + timedelta(days=days[i]) for i in (0, -1))
    until = "" if first == last else f" to {day_text(last)}"
    return f"{days_text(len(days))} {whose}, from {day_text(first)}{until}"
