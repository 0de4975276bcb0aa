"""Readings within the day folded to its lowest and highest; a day with a long stretch without a reading has neither."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from typing import NamedTuple

# No longer may a day be without a reading. Hourly and three-hourly reports pass, a missed night does not. A choice, no source.
LONGEST = timedelta(hours=3)


class Folded(NamedTuple):
    """days: lowest and highest by day; torn: the days with readings that have a longer stretch without one."""

    days: Mapping[date, tuple[float, float]]
    torn: Sequence[date]


def fold(readings: Iterable[tuple[datetime, float]]) -> Folded:
    """The days of readings, in degrees, by the clock of the site. Missing readings are left out beforehand."""
    by_day: dict[date, list[tuple[datetime, float]]] = {}
    for at, degrees in sorted(readings):
        by_day.setdefault(at.date(), []).append((at, degrees))
    torn = [day for day, some in by_day.items() if _longest(day, [at for at, _ in some]) > LONGEST]
    gone = frozenset(torn)
    days = {
        day: (min(degrees for _, degrees in some), max(degrees for _, degrees in some))
        for day, some in by_day.items()
    }
    return Folded({day: pair for day, pair in days.items() if day not in gone}, torn)


def _longest(day: date, times: Sequence[datetime]) -> timedelta:
    """The longest time of a day without a reading."""
    begin = datetime.combine(day, time())
    return max(after - before for before, after in pairwise((begin, *times, begin + timedelta(days=1))))
