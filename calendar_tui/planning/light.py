"""The light of each place, day by day: the natural day joined with the lamps that any cohort there asks for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import NamedTuple
from zoneinfo import ZoneInfo

from calendar_tui.nature.lamps import Run, clock_run, dark_span_h, extension_runs, felt_by_dark_h, felt_days_h
from calendar_tui.nature.sky import CIVIL_DEG, SUNRISE_DEG, day_lengths_h, daylights
from calendar_tui.planning.early import Asking, asking
from calendar_tui.planning.stages import Stages
from calendar_tui.season.records import Cohort, Lamps, Season, Site

HORIZONS = {"sunrise-sunset": SUNRISE_DEG, "civil-twilight": CIVIL_DEG}


class Night(NamedTuple):
    """A night, named by its evening: its ends in UTC, None where the sun does not cross the site's horizon."""

    date: date
    evening: datetime | None
    morning: datetime | None


@dataclass(frozen=True, slots=True)
class PlaceLight:
    """One value a day of the season: whether lamps burn that evening, and the felt day (h).

    asked: who asks for the lamps and when, in file order.
    """

    lit: tuple[bool, ...]
    felt_h: tuple[float, ...]
    asked: tuple[tuple[str, Asking], ...] = ()

    def lit_for(self, day: date) -> tuple[str, ...]:
        """The cohorts that ask for the lamps on this evening."""
        return tuple(name for name, a in self.asked if a.first <= day < a.dark)


@dataclass(frozen=True, slots=True)
class Light:
    """The light of a season from `first`: the natural day (h) by the site's definition, and each place's light."""

    first: date
    natural_h: tuple[float, ...]
    places: Mapping[str, PlaceLight]

    def index(self, day: date) -> int:
        """The day's number, held inside the season."""
        return min(max((day - self.first).days, 0), len(self.natural_h))


def natural_days_h(site: Site, first: date, last: date) -> tuple[float, ...]:
    """Natural day length (h) by the site's own definition, one value a day from first to last."""
    zone = ZoneInfo(site.timezone)
    return day_lengths_h(site.latitude, site.longitude, zone, first, last, HORIZONS[site.day])


def season_light(season: Season, early: Mapping[str, Stages]) -> Light:
    """The light of every place of a season, given each cohort's early stages."""
    natural = natural_days_h(season.site, season.first_day, season.last_day)
    asked: dict[str, list[tuple[str, Asking]]] = {place: [] for place in season.places}
    for cohort in season.cohorts.values():
        _ask(season, cohort, early[cohort.id], asked)
    places = {name: _place_light(season, name, natural, tuple(asks)) for name, asks in asked.items()}
    return Light(season.first_day, natural, places)


def _ask(season: Season, cohort: Cohort, early: Stages, asked: dict[str, list[tuple[str, Asking]]]) -> None:
    own = asking(season, cohort, early)
    if own is not None:
        asked[cohort.place].append((cohort.id, own))
    # A nursery with lamps holds every short-day cohort in it vegetative, from its first day to its transplant.
    short_day = season.varieties[cohort.variety].response == "short-day"
    if cohort.nursery and short_day and season.places[cohort.nursery].lamps is not None:
        stay = Asking(early[cohort.first_stage].likely, early["transplant"].likely)
        asked[cohort.nursery].append((cohort.id, stay))


def _place_light(
    season: Season, name: str, natural: tuple[float, ...], asked: tuple[tuple[str, Asking], ...]
) -> PlaceLight:
    lamps = season.places[name].lamps
    if lamps is None or not asked:
        return PlaceLight((False,) * len(natural), natural)
    lit = bytearray(len(natural))
    for _, (first, dark) in asked:
        a, b = (_clamped(season, day, len(natural)) for day in (first, dark))
        lit[a:b] = b"\x01" * (b - a)
    for outage in season.outages:
        if outage.place == name:
            a = _clamped(season, outage.first, len(natural))
            b = _clamped(season, outage.last, len(natural), after=1)
            lit[a:b] = bytes(max(b - a, 0))
    burning = tuple(map(bool, lit))
    return PlaceLight(burning, _felt_h(season, lamps, natural, burning), asked)


def _felt_h(
    season: Season, lamps: Lamps, natural: tuple[float, ...], burning: Sequence[bool]
) -> tuple[float, ...]:
    if lamps.target_h is not None and lamps.method == "extend":
        return felt_days_h(natural, burning, lamps.target_h)
    nights = nights_of(season)
    return tuple(
        _felt_in_broken_night_h(day, night, lamps, season.site) if lit else day
        for day, lit, night in zip(natural, burning, nights, strict=True)
    )


def _felt_in_broken_night_h(natural_h: float, night: Night, lamps: Lamps, site: Site) -> float:
    if night.evening is None or night.morning is None:
        return natural_h
    whole_h = dark_span_h(night.evening, night.morning, ())
    span_h = dark_span_h(night.evening, night.morning, runs_of(night, lamps, site))
    # A night is not quite 24 h less the day before it; where lamps break no dark, the day is the sun's alone.
    return felt_by_dark_h(natural_h, span_h) if span_h < whole_h else natural_h


def nights_of(season: Season) -> tuple[Night, ...]:
    """One night a day of the season, between the ends of the natural day as the site defines it."""
    site = season.site
    last = season.last_day + timedelta(days=1)
    days = daylights(site.latitude, site.longitude, ZoneInfo(site.timezone), season.first_day, last)
    if site.day == "civil-twilight":
        return tuple(Night(a.date, a.dusk, b.dawn) for a, b in pairwise(days))
    return tuple(Night(a.date, a.sunset, b.sunrise) for a, b in pairwise(days))


def runs_of(night: Night, lamps: Lamps, site: Site) -> tuple[Run, ...]:
    """The runs of a place's lamps in a night on which they burn; none where the sun does not set and rise again."""
    if night.evening is None or night.morning is None:
        return ()
    if lamps.break_from is not None and lamps.break_to is not None:
        zone, follows = ZoneInfo(site.timezone), lamps.timer_follows_clock
        return (clock_run(night.date, lamps.break_from, lamps.break_to, zone, follows),)
    if lamps.target_h is None:
        return ()
    return extension_runs(night.evening, night.morning, lamps.target_h, lamps.side)


def _clamped(season: Season, day: date, most: int, after: int = 0) -> int:
    """The number of the day `after` days past `day`, from 0 to `most`."""
    return min(max((day - season.first_day).days + after, 0), most)


def felt_by(light: Light, cohort: Cohort, early: Stages) -> tuple[float, ...]:
    """The felt day (h) where the cohort stands, one value a day: nursery until transplant, then its place."""
    growing = light.places[cohort.place].felt_h
    if not cohort.nursery:
        return growing
    moved = light.index(early["transplant"].likely)
    return light.places[cohort.nursery].felt_h[:moved] + growing[moved:]
