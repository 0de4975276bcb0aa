"""A neighbour's lamps on a cohort that asks for none: the nights they cost, and the ways out with their figures."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from datetime import date, timedelta

from calendar_tui.planning.lamps.ways_out import Lost, trigger_in, ways_out_text
from calendar_tui.planning.laying_out.light import Light, PlaceLight
from calendar_tui.planning.laying_out.stays import growing
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Season
from calendar_tui.season.wording import day_text, night_count_text, some_text


def nights_lost(season: Season, timeline: Timeline, light: Light) -> Lost | None:
    """The nights on which a short-day cohort could count and does not, for lamps that only others ask for; None without any.

    From its lights-off (or arrival), its plants ready, to its trigger.
    """
    nights = _nights_lost(season, timeline, light)
    others = _holders(timeline, light, nights)
    return Lost(timeline, light, nights, others) if others else None


def _nights_lost(season: Season, timeline: Timeline, light: Light) -> tuple[int, ...]:
    cohort = timeline.cohort
    lights = (light.places[name] for name in cohort.growing_lights)
    if all(own.by_cohort.keys() <= {cohort.id} for own in lights):
        return ()
    begin = timeline.likely("lights_off") or timeline.planted
    end = timeline.likely("trigger") or timeline.likely("flowering") or season.last_day
    if timeline.ready is None:
        return ()
    begin = max(begin, timeline.ready.likely)
    return tuple(
        n
        for stay in growing(timeline.stays)
        for n in range(light.index(max(begin, stay.first)), light.index(min(end, stay.end)))
        if _is_lost(timeline, light.places[stay.light], n)
    )


def _is_lost(timeline: Timeline, own: PlaceLight, n: int) -> bool:
    """Whether a day is too long to count under this light's lamps, and would count without them."""
    return own.lit[n] and own.felt_h[n] >= timeline.variety.critical_day.likely > own.dark_h[n]


def _holders(timeline: Timeline, light: Light, nights: tuple[int, ...]) -> tuple[str, ...]:
    """The other cohorts for which it is lit where this one grows on these nights."""
    names: set[str] = set()
    for stay in growing(timeline.stays):
        begin, end = light.index(stay.first), light.index(stay.end)
        lost_here = tuple(n for n in nights if begin <= n < end)
        for asking, who in light.places[stay.light].askers.items() if lost_here else ():
            if _any_in(lost_here, light.index(asking.first), light.index(asking.dark)):
                names.update(who)
    return tuple(sorted(names - {timeline.cohort.id}))


def _any_in(nights: tuple[int, ...], first: int, end: int) -> bool:
    """Whether one of these nights, in order, is from `first` up to, not including, `end`."""
    at = bisect_left(nights, first)
    return at < len(nights) and nights[at] < end


def held_back_text(season: Season, timelines: Mapping[str, Timeline], lost: Lost, today: date) -> str:
    """What the nights lost cost a cohort, and the ways out of those to come."""
    timeline, light, nights, others = lost
    cohort = timeline.cohort
    last = light.first + timedelta(days=nights[-1])
    where = list(dict.fromkeys(timeline.stay_on(light.first + timedelta(days=n)).light for n in nights))
    cost = (
        f"{cohort.id} is held back {night_count_text(len(nights))} up to {day_text(last)}: {some_text(where)} {'is' if len(where) == 1 else 'are'} lit for "
        f"{some_text(others)}{_alone_text(timeline, light)}"
    )
    if last < today:
        return cost
    to_come = tuple(n for n in nights if light.first + timedelta(days=n) >= today)
    return f"{cost}. {ways_out_text(season, timelines, lost._replace(nights=to_come), today)}"


def _alone_text(timeline: Timeline, light: Light) -> str:
    alone, now = trigger_alone(timeline, light), timeline.likely("trigger")
    if alone is None or alone == now:
        return ""
    return f"; alone it would trigger on {day_text(alone)}" + (f", not {day_text(now)}" if now else "")


def trigger_alone(timeline: Timeline, light: Light) -> date | None:
    """The likely trigger of a cohort were its place lit only when it asks for the lamps itself."""
    felt = list(timeline.felt_h)
    for stay in growing(timeline.stays):
        own = light.places[stay.light]
        asks = own.by_cohort.get(timeline.cohort.id, ())
        for n in range(light.index(stay.first), light.index(stay.end)):
            day = light.first + timedelta(days=n)
            if own.lit[n] and not any(a.first <= day < a.dark for a in asks):
                felt[n] = own.dark_h[n]
    return trigger_in(timeline, light, felt)
