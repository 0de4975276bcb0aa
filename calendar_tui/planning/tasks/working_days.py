"""The farm's working days and hours of daylight, and what they make of the date of a task."""

from __future__ import annotations

import re
from collections.abc import Container
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from typing import NamedTuple
from zoneinfo import ZoneInfo

from calendar_tui.language.speaking import phrase
from calendar_tui.nature.sky import daylight
from calendar_tui.season.records import Chore, Crew, Season, Site
from calendar_tui.season.stages import DECIDED
from calendar_tui.season.wording import weekday_text

# How far from its day a task is moved at most; a starting value, no source.
FARTHEST_D = 10
_EVERY_DAY = Crew()


class DayBounds(NamedTuple):
    """The dates inside which a task has to stay; None where nothing holds it on that side."""

    first: date | None
    last: date | None

    def holds(self, day: date) -> bool:
        return (self.first is None or self.first <= day) and (self.last is None or day <= self.last)


class Put(NamedTuple):
    """The date a task is put on, and why it is another than its chore's, or what is wrong with it; "" for nothing."""

    day: date
    why: str


def kept(chore: Chore, first: date, last: date) -> DayBounds:
    """What holds the tasks of a chore whose own dates run from first to last.

    Work that leads up to a stage stays before it, work after a stage after it, and a repeat before its end.
    """
    anchor = first - timedelta(days=chore.offset_d)
    if chore.repeat:
        return DayBounds(None if chore.offset_d < 0 else anchor, last)
    return DayBounds(None, anchor - timedelta(days=1)) if chore.offset_d < 0 else DayBounds(anchor, None)


def put(season: Season, chore: Chore, day: date, within: DayBounds, taken: Container[date] = ()) -> Put:
    """The working day nearest to `day`, the earlier of two as near. taken: dates with a task of this chore already."""
    crew = season.crew or _EVERY_DAY
    put_on, why = day, ""
    if not crew.works(day) and not _any_day(chore):
        near = None if _is_stage(chore) else _nearest(crew, day, within, taken)
        if near is None:
            why = phrase("{day} is no working day; it stays on its date", day=weekday_text(day))
        else:
            put_on, why = near, phrase("moved from {day}, no working day", day=weekday_text(day))
    dark = _dark_text(season.site, chore, put_on)
    return Put(put_on, "; ".join(part for part in (why, dark) if part))


def _any_day(chore: Chore) -> bool:
    return chore.any_day or daily(chore.repeat)


def daily(rule: str) -> bool:
    """Whether a rule falls on every day."""
    parts = {part for part in rule.upper().split(";") if part}
    return bool(parts) and all(re.fullmatch(r"FREQ=DAILY|INTERVAL=0*1|WKST=.*", part) for part in parts)


def _is_stage(chore: Chore) -> bool:
    """Whether it is itself the work of a stage, whose date is the grower's."""
    return chore.stage in DECIDED and not chore.offset_d and not chore.repeat


def _nearest(crew: Crew, day: date, within: DayBounds, taken: Container[date]) -> date | None:
    near = (day + timedelta(days=side * by) for by in range(1, FARTHEST_D + 1) for side in (-1, 1))
    working = [other for other in near if crew.works(other) and within.holds(other)]
    free = next((other for other in working if other not in taken), None)
    return free or next(iter(working), None)


def _dark_text(site: Site, chore: Chore, day: date) -> str:
    """What is wrong with work by daylight that begins in the dark, or ""."""
    return _dark_at(site, chore.time, day) if chore.daylight and chore.time is not None else ""


@lru_cache(maxsize=4096)
def _dark_at(site: Site, begins: time, day: date) -> str:
    zone = ZoneInfo(site.timezone)
    light = daylight(site.latitude, site.longitude, zone, day)
    at = datetime.combine(day, begins, zone).astimezone(UTC)
    if light.sunrise is None and light.sunset is None:
        dark = phrase("{time} is in the dark: the sun does not rise", time=f"{begins:%H:%M}")
        return "" if light.natural_h else dark
    if light.sunrise is not None and at < light.sunrise:
        rises = f"{light.sunrise.astimezone(zone):%H:%M}"
        return phrase("{time} is before sunrise at {sun}", time=f"{begins:%H:%M}", sun=rises)
    if light.sunset is not None and at >= light.sunset:
        sets = f"{light.sunset.astimezone(zone):%H:%M}"
        return phrase("{time} is after sunset at {sun}", time=f"{begins:%H:%M}", sun=sets)
    return ""
