"""Covers that lie, and night breaks that burn, by day: told, since mostly their two times are swapped."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from calendar_tui.nature.lamps import Burning
from calendar_tui.planning.laying_out.nights import Night, Timer, covers_of, lamp_runs_of, nights_of
from calendar_tui.planning.laying_out.programmes import clock_text, own_lamps, timer_follows
from calendar_tui.season.problems import KeyPath, Problem
from calendar_tui.season.records import Place, Programme, Season
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import day_text

# Swapped times that would lie or burn for longer than this are no advice. A starting value, no source.
_LONGEST_ADVISED = timedelta(hours=16)
_COMMON = {"blackout": (time(18), time(8)), "night-break": (time(22), time(2))}


def by_day_problems(season: Season) -> Iterator[Problem]:
    """A sentence, and where in the file, for each blackout or night break that lies over the middle of the day."""
    for path, place, programme in _timed(season):
        if text := _by_day_text(season, place, programme):
            yield Problem(path, f"{programme.place or place.id}: {text}")


def by_day_texts(season: Season, name: str) -> tuple[str, ...]:
    """The same for one light, "H1" or a screened part's "H1 east"."""
    return tuple(
        text
        for _, place, programme in _timed(season)
        if name in place.lights and programme.place in ("", place.id, name)
        if (text := _by_day_text(season, place, programme))
    )


def _timed(season: Season) -> Iterator[tuple[KeyPath, Place, Programme]]:
    """Every blackout and night break of the season, with its place and the path of its first time."""
    for i, programme in enumerate(season.programmes):
        place = season.place_of(programme.place)
        if place is not None and programme.method in _COMMON:
            yield ("programme", i, "on"), place, programme
    for i, place in enumerate(season.places.values()):
        if place.lamps is not None and place.lamps.method in _COMMON:
            (whole,) = own_lamps(place, season.first_day, season.last_day)
            yield ("place", i, "lamps", "on"), place, whole


def _by_day_text(season: Season, place: Place, programme: Programme) -> str:
    zone, nights = ZoneInfo(season.site.timezone), nights_of(season)
    timer = Timer(zone, timer_follows(place))
    first, last = (
        min(max((d - season.first_day).days, 0), len(nights) - 1) for d in (programme.first, programme.last)
    )
    # Days grow longer and shorter slowly: the nights between these three are like them.
    tried = {n: nights[max(n - 1, 0) : n + 2] for n in (first, (first + last) // 2, last)}
    light = next(_days(tried[first]), None)
    if light is None or not all(
        _by_day(_run(nights[n], programme, timer), near) for n, near in tried.items()
    ):
        return ""
    on, off = _advised(programme)
    what = "the covers lie over the plants" if programme.method == "blackout" else "the night break burns"
    rise, fall = (at.astimezone(zone) for at in light)
    return (
        f"{what} by day, {clock_text(programme)}, when it is light from {clock(rise)} to {clock(fall)} "
        f'({day_text(rise.date())}); write on = "{on:%H:%M}", off = "{off:%H:%M}"'
    )


def _run(night: Night, programme: Programme, timer: Timer) -> Burning | None:
    """The run of a night; None where the sun does not set and rise again."""
    if night.evening is None or night.morning is None:
        return None
    if programme.method == "blackout":
        return covers_of(night, programme, timer)
    return lamp_runs_of(night, programme, timer)[0]


def _by_day(run: Burning | None, near: Sequence[Night]) -> bool:
    """Whether a run touches no night near it, or holds the middle of a day and of no night."""
    if run is None:
        return False
    dark = [(n.evening, n.morning) for n in near if n.evening is not None and n.morning is not None]
    if not any(run.on < morning and evening < run.off for evening, morning in dark):
        return True
    return any(_holds_middle(run, *day) for day in _days(near)) and not any(
        _holds_middle(run, *n) for n in dark
    )


def _days(near: Sequence[Night]) -> Iterator[tuple[datetime, datetime]]:
    """From each morning to the evening that follows it."""
    for before, after in pairwise(near):
        if before.morning is not None and after.evening is not None:
            yield before.morning, after.evening


def _holds_middle(run: Burning, start: datetime, end: datetime) -> bool:
    return run.on <= start + (end - start) / 2 < run.off


def _advised(programme: Programme) -> tuple[time, time]:
    """The two times swapped, or the common ones where these would be too long."""
    assert programme.on is not None, programme
    assert programme.off is not None, programme
    minutes = (programme.on.hour - programme.off.hour) * 60 + programme.on.minute - programme.off.minute
    if timedelta(minutes=minutes % (24 * 60)) <= _LONGEST_ADVISED:
        return programme.off, programme.on
    return _COMMON[programme.method]
