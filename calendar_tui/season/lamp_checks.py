"""What must hold for lamps, their programmes and their outages."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date, time
from zoneinfo import ZoneInfo

from calendar_tui.nature.sky import CIVIL_DEG, SUNRISE_DEG, day_length_h, longest_day_h
from calendar_tui.season.problems import Problem
from calendar_tui.season.records import Outage, Place, Programme, Season

_Period = Outage | Programme


def _outages(season: Season) -> Iterator[Problem]:
    yield from _periods(season, "outage", season.outages)
    for i, outage in enumerate(season.outages):
        place = season.place_of(outage.place)
        if place is not None and place.lamps is None:
            yield Problem(
                ("outage", i, "place"), f"outage: place {place.id} has no lamps to fail; name another"
            )


def _periods(season: Season, kind: str, periods: Sequence[_Period]) -> Iterator[Problem]:
    """Nights in order, inside the season, and no night of a place or a part twice."""
    for i, own in enumerate(periods):
        if own.last < own.first:
            yield Problem(
                (kind, i, "to"),
                f"{kind}: to {own.last} is before from {own.first}; give the first night under from",
            )
            continue
        for key, day in (("from", own.first), ("to", own.last)):
            if not season.first_day <= day <= season.last_day:
                yield Problem(
                    (kind, i, key),
                    f"{kind} of {own.place}: {key} {day} is outside the season, {season.first_day} to {season.last_day}",
                )
    yield from _overlaps(season, kind, periods)


def _overlaps(season: Season, kind: str, periods: Sequence[_Period]) -> Iterator[Problem]:
    """One problem for each period that begins before another of its place has ended, however many those are.

    Those of a screened part are its whole place's too.
    """
    latest: dict[str, int] = {}
    for i in sorted(range(len(periods)), key=lambda i: (periods[i].first, i)):
        own = periods[i]
        if own.last < own.first:
            continue
        names = _sharing(season, own.place)
        known = max((latest[n] for n in names if n in latest), key=lambda k: periods[k].last, default=i)
        if known != i and own.first <= periods[known].last:
            here, there = periods[max(i, known)], periods[min(i, known)]
            whose = "" if here.place == there.place else f" of {there.place}"
            yield Problem(
                (kind, max(i, known), "from"),
                f"{kind} of {here.place} from {here.first} to {here.last} overlaps the one{whose} from "
                f"{there.first} to {there.last}; give each night to one of them",
            )
        if own.last >= periods[latest.get(own.place, i)].last:
            latest[own.place] = i


def _sharing(season: Season, name: str) -> tuple[str, ...]:
    """The places and parts whose periods are a place's or a part's too: a place's parts, a part's place."""
    place = season.place_of(name)
    if place is None:
        return (name,)
    return (name, *place.lights) if name == place.id else (name, place.id)


def _lamps(season: Season) -> Iterator[Problem]:
    for i, place in enumerate(season.places.values()):
        lamps = place.lamps
        if lamps is None:
            continue
        clock = {"on": lamps.on, "off": lamps.off}
        for key, message in _method_problems(
            lamps.method, lamps.target_h, clock, lamps.cyclic_min is not None
        ):
            path = ("place", i, "lamps", key) if key else ("place", i, "lamps")
            yield Problem(path, f"place {place.id}: {message}")
        if lamps.method == "extend" and lamps.target_h is not None:
            for message in _never_needed(season, lamps.target_h, season.first_day, season.last_day):
                yield Problem(("place", i, "lamps", "target_h"), f"place {place.id}: {message}")


def _programmes(season: Season) -> Iterator[Problem]:
    yield from _periods(season, "programme", season.programmes)
    for i, own in enumerate(season.programmes):
        place = season.place_of(own.place)
        if place is None:
            continue
        for key, message in _programme_problems(season, own, place):
            path = ("programme", i, key) if key else ("programme", i)
            yield Problem(path, f"programme of {own.place}: {message}")


def _programme_problems(season: Season, own: Programme, place: Place) -> Iterator[tuple[str, str]]:
    clock = {"on": own.on, "off": own.off}
    yield from _method_problems(own.method, own.target_h, clock, own.cyclic_min is not None)
    if own.method == "blackout":
        yield from _all_dark(own)
        return
    if place.lamps is None:
        yield "place", f"{place.id} has no lamps; add lamps to the place, or name another"
    if own.method == "extend" and own.target_h is not None:
        for message in _never_needed(season, own.target_h, own.first, own.last):
            yield "target_h", message


def _all_dark(own: Programme) -> Iterator[tuple[str, str]]:
    """Covers that leave plants less than an hour of light are a slip: most often, of the two times."""
    if own.on is None or own.off is None or own.on == own.off:
        return
    minutes = ((own.off.hour - own.on.hour) * 60 + own.off.minute - own.on.minute) % (24 * 60)
    if minutes > MOST_COVERED_H * 60:
        yield (
            "off",
            f"the covers would lie for {minutes // 60} h {minutes % 60:02} a day, from {own.on:%H:%M} to {own.off:%H:%M}: "
            f'at most {MOST_COVERED_H} h; on is when they are drawn and off when they are opened, such as on = "18:00", '
            f'off = "08:00"',
        )


# Plants without light are no crop; the hour is a starting value, common practice, no source.
MOST_COVERED_H = 23
_KINDS = {"night-break": "a night break", "clock": "lamps set by the clock", "blackout": "a blackout"}
_TIMES = {"night-break": ("22:00", "02:00"), "clock": ("05:00", "21:00"), "blackout": ("18:00", "08:00")}


def _method_problems(
    method: str, target_h: float | None, clock: dict[str, time | None], cyclic: bool
) -> Iterator[tuple[str, str]]:
    """The key at fault, or "" where one is missing, and what would be right. clock: the two times, by their keys."""
    if cyclic and method != "night-break":
        yield "cyclic_min", 'cyclic_min is for a night break; add method = "night-break", or leave it out'
    if method == "extend":
        if target_h is None:
            yield "", "the lamps extend the day but have no target_h; add target_h = 16.0 (h a day)"
        for key in (k for k, given in clock.items() if given is not None):
            yield key, f'{key} is for a set time; add method = "night-break" or "clock", or leave {key} out'
        return
    (first, start), (second, end) = clock.items()
    what, (begin, finish) = _KINDS[method], _TIMES[method]
    if target_h is not None and method != "night-break":
        yield "target_h", f"target_h is for a day extension; {what} has its two times: leave target_h out"
    if start is None or end is None:
        yield "", f'{what} needs both its times; add {first} = "{begin}", {second} = "{finish}" (local clock)'
    elif start == end:
        yield second, f"{first} and {second} of {what} are the same time; put {second} after {first}"


def _never_needed(season: Season, target_h: float, first: date, last: date) -> Iterator[str]:
    """Lamps whose target is below every natural day of these dates would never burn."""
    if target_h >= longest_day_h(season.site.latitude, _horizon(season)):
        return
    shortest_h, day = min((_natural_h(season, day), day) for day in _turning_days(first, last))
    if target_h < shortest_h:
        whole, minutes = divmod(round(shortest_h * 60), 60)
        yield (
            f"target_h {target_h:g} is below the shortest natural day of these dates, {whole} h {minutes:02} on {day}, "
            f"so the lamps would never burn; 16.0 is common practice"
        )


def _turning_days(first: date, last: date) -> list[date]:
    """Between these days the length of day only rises or only falls."""
    turns = [date(year, month, 21) for year in range(first.year, last.year + 1) for month in (6, 12)]
    return [first, *(day for day in turns if first < day < last), last]


def _natural_h(season: Season, day: date) -> float:
    site = season.site
    return day_length_h(site.latitude, site.longitude, day, ZoneInfo(site.timezone), _horizon(season))


def _horizon(season: Season) -> float:
    return CIVIL_DEG if season.site.day == "civil-twilight" else SUNRISE_DEG


LAMP_CHECKS: tuple[Callable[[Season], Iterator[Problem]], ...] = (_outages, _lamps, _programmes)
