"""Readings within the day folded to its lowest and highest; a day with a long stretch between readings has neither."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from typing import NamedTuple

# No longer may a day be without a reading. Hourly and three-hourly reports pass, a missed night does not. A
# choice, no source.
LONGEST = timedelta(hours=3)


class Folded(NamedTuple):
    """days: lowest and highest by day; torn: the days with readings that have a longer stretch without one."""

    days: Mapping[date, tuple[float, float]]
    torn: Sequence[date]


def fold(readings: Iterable[tuple[datetime, float]]) -> Folded:
    """The days of readings, in degrees, by the clock of the site. Missing readings are left out beforehand."""
    by_day: dict[date, list[float]] = {}
    times: list[datetime] = []
    for at, degrees in sorted(readings):
        by_day.setdefault(at.date(), []).append(degrees)
        times.append(at)
    torn = {day for before, after in _stretches(times) for day in _touched(before, after)}
    days = {day: (min(some), max(some)) for day, some in by_day.items() if day not in torn}
    return Folded(days, sorted(torn & by_day.keys()))


def _stretches(times: Sequence[datetime]) -> list[tuple[datetime, datetime]]:
    """What lies between readings and is too long, from the first day's beginning to the last one's end."""
    if not times:
        return []
    begin = datetime.combine(times[0].date(), time())
    end = datetime.combine(times[-1].date(), time()) + timedelta(days=1)
    return [(a, b) for a, b in pairwise((begin, *times, end)) if b - a > LONGEST]


def _touched(before: datetime, after: datetime) -> Iterable[date]:
    """The days that a stretch lies in, in whole or in part."""
    days = (before.date() + timedelta(days=n) for n in range((after.date() - before.date()).days + 1))
    return (day for day in days if after > datetime.combine(day, time()))
