"""A calendar file by RFC 5545: events that keep their names for good, so that a later one brings an earlier one up to date.

Each event has a UID made of the season and of what it is about. Its SEQUENCE and LAST-MODIFIED come from the season's
history; where an earlier calendar file of the season is at hand, an event that is as it was there keeps both, one that
differs has a higher SEQUENCE, and one that is no more stays as cancelled, so that it leaves the calendars it went to.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from icalendar import Alarm, Calendar, Event

from calendar_tui.handing_on.calendar.events import Happening
from calendar_tui.handing_on.calendar.revisions import Revision, Revisions
from calendar_tui.season.readers import plain
from calendar_tui.season.records import Season

PRODID = "-//calendar-tui//calendar-tui//EN"
# Names of events are made inside this one, so that they meet no others.
_NAMES = UUID("5a1d1a2e-7c0b-4f6e-9d58-0f4b1c7e2a63")
_STAMPS = ("dtstamp", "last-modified", "sequence")
_STAMPED = tuple(name.upper() + end for name in _STAMPS for end in ":;")
_ONCE = (*_STAMPS, "uid", "status", "dtstart")
_MOST_SEQUENCE = 2**31 - 1  # RFC 5545 3.3.8


@dataclass(frozen=True, slots=True)
class AlarmAt:
    """When a whole day's event is called out: at a time of the clock, days before it."""

    at: time
    days_before: int


@dataclass(frozen=True, slots=True)
class Call:
    """Which alarms are wanted. day: for whole days; lamps_min: minutes before lamps go on; None for none."""

    day: AlarmAt | None = None
    lamps_min: int | None = None


def season_identity(season: Season) -> str:
    """What names a season in its events for good: its name and the year it begins in."""
    return f"{season.name}|{season.first_day.year}"


def calendar_bytes(
    season: Season,
    happenings: Iterable[Happening],
    revisions: Revisions,
    now: datetime,
    *,
    part: str = "",
    call: Call = Call(),
    earlier: bytes | None = None,
) -> bytes:
    """A calendar file. now: when it is made, with its offset; part: whose it is, where it holds one role's work alone.

    earlier: a calendar file that was made before and is to be replaced; one of anything else is passed over.
    """
    uid = str(uuid5(_NAMES, f"{season_identity(season)}|calendar|{part}"))
    then = _events_of(earlier, uid)
    stamp, zone = now.astimezone(UTC).replace(microsecond=0), ZoneInfo(season.site.timezone)
    ordered = sorted(happenings, key=lambda h: (_day_of(h), h.key))
    events = [_event(season, h, call, zone) for h in ordered]
    for event, happening in zip(events, ordered, strict=True):
        revision = revisions.of(happening.records) if happening.records else revisions.of_any_date()
        _sign(event, revision, then.pop(str(event["uid"]), None), stamp)
    events += [_cancelled(event, stamp) for event in then.values()]
    return bytes(_calendar(season, part, uid, events).to_ical())


def _calendar(season: Season, part: str, uid: str, events: Iterable[Event]) -> Calendar:
    name = plain(f"{season.name}, {part}" if part else season.name)
    calendar = Calendar()
    calendar.add("prodid", PRODID)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("uid", uid)  # this and the name: RFC 7986; phones show the name by the older X-WR-CALNAME
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)
    for event in events:
        calendar.add_component(event)
    return calendar


def _event(season: Season, happening: Happening, call: Call, zone: ZoneInfo) -> Event:
    """The event but for its stamps."""
    event = Event()
    event.add("uid", str(uuid5(_NAMES, "|".join((season_identity(season), *happening.key)))))
    event.add("dtstart", happening.start)
    event.add("dtend", happening.end or happening.start + timedelta(days=1))
    event.add("summary", plain(happening.summary))
    for name, value in (("description", happening.description), ("location", happening.place)):
        if value:
            event.add(name, plain(value))
    event.add("status", happening.status)
    event.add("categories", [part for part in (happening.category, plain(happening.role)) if part])
    event.add("transp", "TRANSPARENT")  # a day with work in it is not a day that is taken
    before = None if happening.done else _lead(happening, call, zone)
    if before is not None:
        event.add_component(_alarm(before, plain(happening.summary)))
    return event


def _lead(happening: Happening, call: Call, zone: ZoneInfo) -> timedelta | None:
    """How long before its start an event is called out; None where it is not."""
    if isinstance(happening.start, datetime):
        return None if call.lamps_min is None else timedelta(minutes=call.lamps_min)
    if call.day is None:
        return None
    called = datetime.combine(happening.start - timedelta(days=call.day.days_before), call.day.at, zone)
    # By real time, as RFC 5545 3.3.6 counts hours, so that a clock change in between does not shift the alarm.
    return datetime.combine(happening.start, time(), zone).astimezone(UTC) - called.astimezone(UTC)


def _alarm(before: timedelta, text: str) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", text)
    alarm.add("trigger", -before)
    return alarm


def _sign(event: Event, revision: Revision, then: Event | None, now: datetime) -> None:
    """Give an event its SEQUENCE (RFC 5545 3.8.7.4), LAST-MODIFIED and DTSTAMP.

    The latter two are one in a file without a METHOD: when the event was last revised (3.8.7.2).
    """
    number, when = revision.number, (revision.when or now).astimezone(UTC).replace(microsecond=0)
    if then is not None:
        was, before = _sequence(then), _modified(then)
        if _as_it_was(event, then):
            number, when = was, before or when
        else:
            number = max(number, was + 1)
            when = when if before is None or when > before else max(now, before)
    event.add("sequence", number)
    event.add("last-modified", when)
    event.add("dtstamp", when)


def _cancelled(then: Event, now: datetime) -> Event:
    """An event that is no more, as it goes on in the file: cancelled, and called out no more."""
    if then.get("status") == "CANCELLED":
        return then
    gone = _read(then.to_ical())
    gone.subcomponents = []
    for name in (*_STAMPS, "status"):
        gone.pop(name, None)
    gone.add("status", "CANCELLED")
    gone.add("sequence", _sequence(then) + 1)
    when = max(now, _modified(then) or now)
    gone.add("last-modified", when)
    gone.add("dtstamp", when)
    return gone


# --- an earlier file


def _events_of(earlier: bytes | None, uid: str) -> dict[str, Event]:
    """The events of an earlier file of this calendar by their UIDs; none of a file that is another, or no calendar."""
    if earlier is None:
        return {}
    try:
        calendar = Calendar.from_ical(earlier)
        mine = isinstance(calendar, Calendar) and str(calendar.get("uid")) == uid
        events = calendar.walk("VEVENT") if mine else []
        return {str(event["uid"]): event for event in events if isinstance(event, Event) and _whole(event)}
    except (ValueError, KeyError):  # not a calendar file: the person was asked before it is replaced
        return {}


def _whole(event: Event) -> bool:
    """Whether an event of an earlier file can be gone by: somebody may have edited it."""
    if event.errors or not {"uid", "dtstart"} <= {name.lower() for name in event}:
        return False
    return (
        not any(isinstance(event.get(name), list) for name in _ONCE)
        and 0 <= _sequence(event) < _MOST_SEQUENCE
    )


def _sequence(event: Event) -> int:
    return int(event.get("sequence", 0))


def _modified(event: Event) -> datetime | None:
    modified = event.get("last-modified")
    at = None if modified is None else modified.dt
    return at if isinstance(at, datetime) and at.tzinfo is not None else None


def _as_it_was(event: Event, then: Event) -> bool:
    """Whether two events are the same but for their stamps; a new one is read back only where its lines differ."""
    return _lines(event) == _lines(then) or _lines(_read(event.to_ical())) == _lines(then)


def _lines(event: Event) -> list[str]:
    return [line for line in event.content_lines() if not line.startswith(_STAMPED)]


def _read(text: bytes) -> Event:
    event = Event.from_ical(text)
    assert isinstance(event, Event), text
    return event


def _day_of(happening: Happening) -> tuple[date, str]:
    start = happening.start
    if isinstance(start, datetime):
        return start.date(), f"{start:%H:%M}"
    return start, ""
