"""The nights of a site, what lamps and covers do in them, and the day that is felt with and without them."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple
from zoneinfo import ZoneInfo

from calendar_tui.nature.lamps import (
    Burning,
    clock_run,
    covered_span_h,
    dark_span_h,
    extension_runs,
    felt_by_dark_h,
    felt_under_covers_h,
)
from calendar_tui.nature.sky import CIVIL_DEG, SUNRISE_DEG, day_lengths_h, daylights
from calendar_tui.season.records import Programme, Season, Site

HORIZONS = {"sunrise-sunset": SUNRISE_DEG, "civil-twilight": CIVIL_DEG}


class Night(NamedTuple):
    """A night, named by its evening: its ends in UTC, None where the sun does not cross the site's horizon."""

    date: date
    evening: datetime | None
    morning: datetime | None


class Felt(NamedTuple):
    """The felt day (h) of one date: without lamps, with its evening's, with the next date's alone, and with both.

    Only lamps by the clock burn on into the night before their date.
    """

    dark: float
    lit: float
    next_lit: float
    both_lit: float


class Timer(NamedTuple):
    """By which clock a place's lamps are switched and its covers drawn."""

    zone: ZoneInfo
    follows: bool


def natural_days_h(site: Site, first: date, last: date) -> tuple[float, ...]:
    """Natural day length (h) by the site's own definition, one value a day from first to last."""
    zone = ZoneInfo(site.timezone)
    return day_lengths_h(site.latitude, site.longitude, zone, first, last, HORIZONS[site.day])


def nights_of(season: Season) -> tuple[Night, ...]:
    """One night a day of the season, between the ends of the natural day as the site defines it."""
    return nights_between(season.site, season.first_day, season.last_day)


@lru_cache(maxsize=32)
def nights_between(site: Site, first: date, last: date) -> tuple[Night, ...]:
    """One night a day from first to last, both included, as `nights_of`."""
    zone, after = ZoneInfo(site.timezone), last + timedelta(days=1)
    days = daylights(site.latitude, site.longitude, zone, first, after)
    if site.day == "civil-twilight":
        return tuple(Night(a.date, a.dusk, b.dawn) for a, b in pairwise(days))
    return tuple(Night(a.date, a.sunset, b.sunrise) for a, b in pairwise(days))


def lamp_runs_of(night: Night, programme: Programme, timer: Timer) -> tuple[Burning, ...]:
    """The runs of the lamps of the night's date; none under covers, or where the sun does not set and rise again.

    Those of lamps by the clock may begin in the morning before.
    """
    if programme.method == "blackout" or night.evening is None or night.morning is None:
        return ()
    if programme.method == "extend":
        return extension_runs(night.evening, night.morning, programme.target_h or 0.0, programme.side)
    on, off = _times(programme)
    return (clock_run(night.date, on, off, timer.zone, timer.follows, programme.method == "clock"),)


def covers_of(night: Night, programme: Programme, timer: Timer) -> Burning:
    """When the covers of a blackout are drawn and opened, in UTC."""
    return clock_run(night.date, *_times(programme), timer.zone, timer.follows)


def _times(programme: Programme) -> tuple[time, time]:
    assert programme.on is not None, programme
    assert programme.off is not None, programme
    return programme.on, programme.off


@lru_cache(maxsize=256)
def felt_days(
    site: Site, first: date, last: date, programmes: tuple[Programme, ...], follows: bool
) -> tuple[Felt, ...]:
    """The felt days of a place under these programmes, one a day of the season from first to last.

    programmes: of its evenings, in order of time; follows: whether its timer changes with the clock.
    """
    natural = natural_days_h(site, first, last)
    in_force = _in_force(first, len(natural), programmes)
    if all(p.method == "extend" for p in programmes):
        return tuple([_felt_of_target(h, own) for h, own in zip(natural, in_force, strict=True)])
    timer, nights = Timer(ZoneInfo(site.timezone), follows), nights_between(site, first, last)
    return tuple(
        _felt_in_night(day_h, nights[n : n + 2], in_force[n : n + 2], timer)
        for n, day_h in enumerate(natural)
    )


def _in_force(first: date, days: int, programmes: tuple[Programme, ...]) -> list[Programme | None]:
    """The programme of each evening, None where there is none."""
    out: list[Programme | None] = [None] * days
    for programme in programmes:
        begin, end = (programme.first - first).days, (programme.last - first).days + 1
        for n in range(max(begin, 0), min(end, days)):
            out[n] = programme
    return out


def _felt_of_target(natural_h: float, own: Programme | None) -> Felt:
    lit_h = natural_h if own is None else max(natural_h, own.target_h or 0.0)
    return Felt(natural_h, lit_h, natural_h, lit_h)


def _felt_in_night(
    natural_h: float, nights: tuple[Night, ...], in_force: list[Programme | None], timer: Timer
) -> Felt:
    """The felt day before a night. nights, in_force: of this date and, but for the last, the next."""
    night, own = nights[0], in_force[0]
    if own is not None and own.method == "blackout":
        span_h = covered_span_h(night.evening, night.morning, covers_of(night, own, timer))
        return Felt(*(felt_under_covers_h(natural_h, span_h),) * len(Felt._fields))
    then: tuple[Burning, ...] = ()
    if (after := in_force[-1]) is not None and after.method == "clock" and len(nights) > 1:
        then = lamp_runs_of(nights[1], after, timer)
    if not then and (own is None or own.method == "extend"):
        return _felt_of_target(natural_h, own)
    mine = () if own is None else lamp_runs_of(night, own, timer)
    return _felt_by_runs(natural_h, night, mine, then)


def _felt_by_runs(
    natural_h: float, night: Night, mine: tuple[Burning, ...], then: tuple[Burning, ...]
) -> Felt:
    one, other = _felt_h(natural_h, night, mine), _felt_h(natural_h, night, then)
    both = _felt_h(natural_h, night, tuple(sorted(mine + then))) if then else one
    return Felt(natural_h, one, other, both)


def _felt_h(natural_h: float, night: Night, runs: tuple[Burning, ...]) -> float:
    """The day (h) felt after a night with these runs, in order of time."""
    if not runs or night.evening is None or night.morning is None:
        return natural_h
    span_h = dark_span_h(night.evening, night.morning, runs)
    # A night is not quite 24 h less the day before it; where lamps break no dark, the day is the sun's alone.
    broken = span_h < dark_span_h(night.evening, night.morning, ())
    return felt_by_dark_h(natural_h, span_h) if broken else natural_h
