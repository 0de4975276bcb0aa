"""Which places are closed after a spray and until when, and from when a cohort may be cut. Nothing here opens a place early."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta, tzinfo
from typing import TYPE_CHECKING, NamedTuple
from zoneinfo import ZoneInfo

from calendar_tui.language.speaking import phrase
from calendar_tui.nature.local_times import day_begins, local_time
from calendar_tui.nature.spray_waits import (
    Application,
    PreHarvest,
    RecordDates,
    RecordRule,
    ReEntry,
    closed,
    record_dates,
    uncut,
)
from calendar_tui.season.records import Place, Season, light_name
from calendar_tui.season.rules import Profile
from calendar_tui.season.spray_times import application_of
from calendar_tui.season.spraying import Spray

if TYPE_CHECKING:
    from calendar_tui.planning.laying_out.timeline import Timeline


class Closure(NamedTuple):
    """A place, or a part of it, that nobody enters.

    light: its name. begins: when the first of the sprays began; until: from when it is open, both by the local clock, with a
    fold of 1 for the second of an hour that it has twice; None while it waits for what stands in `waits_for`. rule: the product with the longest interval.
    """

    light: str
    begins: datetime
    until: datetime | None
    waits_for: tuple[str, ...]
    rule: str
    sprays: tuple[Spray, ...]

    def covers(self, day: date) -> bool:
        """Whether the place is closed at any time of a day."""
        return self.begins.date() <= day and (
            self.until is None or self.until > datetime.combine(day, time())
        )


def application(spray: Spray, zone: tzinfo) -> Application:
    """A spray as its waits count. One written by hand whose times cannot be keeps its place closed until they are mended."""
    try:
        return application_of(spray, zone)
    except ValueError:
        begin = day_begins(datetime.combine(spray.date, time()), zone)
        until = ReEntry(condition=phrase("when spray {spray} really ended", spray=spray.id))
        return Application(spray.product, begin, begin, until, PreHarvest())


def lights_of(season: Season, spray: Spray) -> tuple[str, ...]:
    """The names of the lights whose places a spray closes: of the whole place, or of the parts that were treated.

    Every place, where the record has one that is not known.
    """
    place = season.place_of(spray.place)
    if place is None:
        return tuple(light for other in season.places.values() for light in other.lights)
    if spray.place != place.id:
        return (spray.place,)
    return tuple(light_name(place.id, part) for part in _parts(place, spray)) or place.lights


def _parts(place: Place, spray: Spray) -> tuple[str, ...]:
    # Parts of a place that is not screened share one air: all of it is closed.
    return tuple(part for part in spray.parts if part in place.screened)


def closures(season: Season, day: date) -> tuple[Closure, ...]:
    """The closures that are not over at the beginning of a day, in the order of their places; those of later days too."""
    zone = ZoneInfo(season.site.timezone)
    beginning = day_begins(datetime.combine(day, time()), zone)
    by_light: dict[str, list[Spray]] = {}
    for spray in season.sprays.values():
        for light in lights_of(season, spray):
            by_light.setdefault(light, []).append(spray)
    return tuple(
        _closure(light, together, zone)
        for light in sorted(by_light)
        for together in _runs(by_light[light], zone)
        if _is_on([application(spray, zone) for spray in together], beginning)
    )


def closures_of(season: Season, names: Collection[str]) -> tuple[Closure, ...]:
    """The closures in which any of these sprays has a part."""
    days = [season.sprays[name].date for name in names if name in season.sprays]
    if not days:
        return ()
    return tuple(c for c in closures(season, min(days)) if any(spray.id in names for spray in c.sprays))


def _runs(sprays: Iterable[Spray], zone: tzinfo) -> Iterator[list[Spray]]:
    """Sprays of one place that close it without a gap: those of which each begins before the place is open again."""
    in_turn = sorted(sprays, key=lambda spray: application(spray, zone).begin)
    run: list[Spray] = []
    for spray in in_turn:
        begins = application(spray, zone).begin
        if run and not _is_on([application(one, zone) for one in run], begins):
            yield run
            run = []
        run.append(spray)
    if run:
        yield run


def _is_on(applications: Sequence[Application], moment: datetime) -> bool:
    """Whether a place with these applications is not open yet at an instant (UTC), or is still to be closed."""
    wait = closed(applications)
    return wait.until is None or moment < wait.until


def _closure(light: str, sprays: Sequence[Spray], zone: tzinfo) -> Closure:
    applications = [application(spray, zone) for spray in sprays]
    wait = closed(applications)
    begins = local_time(min(one.begin for one in applications), zone)
    until = None if wait.until is None else _opens(wait.until, zone)
    return Closure(light, begins, until, wait.waits_for, wait.rule, tuple(sprays))


def _opens(moment: datetime, zone: tzinfo) -> datetime:
    """The minute of the local clock from which a wait is over, never before it; its fold is 1 where the clock has it a second time."""
    whole = moment.replace(second=0, microsecond=0)
    return (whole + timedelta(minutes=whole < moment)).astimezone(zone).replace(tzinfo=None)


def closed_on(season: Season, light: str, day: date) -> Closure | None:
    """The closure of a place, or of a part of it, on a day; None where it is open all day."""
    return next((one for one in closures(season, day) if one.light == light and one.covers(day)), None)


def closed_today(season: Season, today: date) -> Mapping[str, Closure]:
    """What is closed at any time of a day, by the names of the lights; the last of the day where there are several."""
    return {one.light: one for one in closures(season, today) if one.covers(today)} if season.sprays else {}


class FirstCut(NamedTuple):
    """From when a cohort may be cut as far as sprays go, by the local clock; moment: None while a wait is not known."""

    moment: datetime | None
    waits_for: tuple[str, ...]
    rule: str

    @property
    def day(self) -> date | None:
        """The first day on which it may be cut, from the hour of `moment` on."""
        return None if self.moment is None else self.moment.date()


def first_cut(season: Season, timeline: Timeline, up_to: date | None = None) -> FirstCut | None:
    """From when a cohort may be cut, after every spray that it stood under; None where there was none. up_to: no spray after this day."""
    zone = ZoneInfo(season.site.timezone)
    under = [
        application(spray, zone)
        for spray in season.sprays.values()
        if timeline.begun <= spray.date <= (up_to or date.max)
        and timeline.stay_on(spray.date).light in lights_of(season, spray)
    ]
    if not under:
        return None
    wait = uncut(under, zone)
    return FirstCut(None if wait.until is None else _opens(wait.until, zone), wait.waits_for, wait.rule)


def spray_rules(season: Season, day: date) -> Profile | None:
    """The newest rules that hold on a day and have a time for the records of sprays; None where none do."""
    held = [p for p in season.profiles.values() if p.spray_write_d is not None and p.holds_on(day)]
    return max(held, key=lambda p: p.starts or date.min, default=None)


def record_days(season: Season, spray: Spray, rule: RecordRule) -> RecordDates:
    """By when the record of a spray is written, until when it is shown and kept."""
    zone = ZoneInfo(season.site.timezone)
    until = closed([application(spray, zone)]).until
    return record_dates(spray.ended_on, None if until is None else local_time(until, zone).date(), rule)
