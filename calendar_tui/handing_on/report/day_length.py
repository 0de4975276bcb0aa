"""The length of the day through the season, lamps and thresholds, drawn and told at the position that is given away."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from calendar_tui.handing_on.paper.markup import drawing, element, label
from calendar_tui.handing_on.report.chart import INK, TEXT, Frame, axes, line
from calendar_tui.handing_on.report.subject import Subject
from calendar_tui.nature.sky import Daylight, daylights
from calendar_tui.season.wording import MONTHS, hours_text

_HIGH = 74.0
_EDGE, _BAR = 18.0, 1.4
_CRITICAL, _FULL = "4 1.5", "1 1.2"


def days_of(subject: Subject) -> tuple[Daylight, ...]:
    """Every day of the season, where the page says that it is."""
    season = subject.plan.season
    latitude, longitude = subject.position
    zone = ZoneInfo(season.site.timezone)
    return daylights(latitude, longitude, zone, season.first_day, season.last_day)


def length_h(subject: Subject, day: Daylight) -> float:
    """By the definition of the season."""
    return day.civil_h if subject.plan.season.site.day == "civil-twilight" else day.natural_h


def day_svg(subject: Subject, wide: float) -> str:
    """The natural day; the limits of each variety; a bar for the time from lights on to lights off of each place with lamps."""
    days = days_of(subject)
    lengths = [(float(one.date.toordinal()), length_h(subject, one)) for one in days]
    limits, lamps = dict(_limits(subject)), list(_lamps(subject))
    every = [*(h for _, h in lengths), *limits.values(), *(h for *_, h in lamps)]
    frame = Frame(lengths[0][0], lengths[-1][0], int(min(every)) - 1, int(max(every)) + 2, wide, _HIGH)
    inside = [*axes(frame, list(_months(days[0].date, days[-1].date)), "h"), line(frame, lengths, 0.7)]
    room = (wide - _EDGE) / max(len(limits), 4)
    for n, (text, hours) in enumerate(limits.items()):
        dash = _FULL if text.endswith("full response") else _CRITICAL
        inside.append(line(frame, [(frame.first, hours), (frame.last, hours)], 0.3, dash))
        inside.append(label(frame.x(frame.first) + 1 + room * n, frame.y(hours) - 0.8, text, TEXT * 0.8))
    for n, (name, first, last, hours) in enumerate(lamps):
        inside += _lamp(frame, n, name, (first.toordinal(), last.toordinal()), hours)
    title = "Length of the day through the season, limits of the varieties, and lamps"
    return drawing(title, frame.wide, frame.high, inside)


def _lamp(frame: Frame, n: int, name: str, days: tuple[int, int], hours: float) -> Iterator[str]:
    """A bar at its hours; where places are lit alike, one above the other, each with its name behind."""
    y = frame.y(hours) - n * 2 * _BAR
    first, last = map(frame.x, days)
    yield element("rect", x=first, y=y - _BAR / 2, width=last - first, height=_BAR, fill=INK)
    yield label(last + 1, y + _BAR / 2, f"lamps {name}", TEXT * 0.8)


def _months(first: date, last: date) -> Iterator[tuple[float, str]]:
    day = first.replace(day=1)
    while day <= last:
        if day >= first:
            yield float(day.toordinal()), MONTHS[day.month - 1]
        day = (day + timedelta(days=32)).replace(day=1)


def _limits(subject: Subject) -> Iterator[tuple[str, float]]:
    """Two for each short-day variety."""
    for variety in subject.varieties:
        if variety.response == "short-day":
            yield f"{variety.id}: critical day", variety.critical_day.likely
            yield f"{variety.id}: full response", variety.full_response_day.likely


def _lamps(subject: Subject) -> Iterator[tuple[str, date, date, float]]:
    """Each place whose lamps extend the day: from the first lights on to the last lights off of its cohorts."""
    for place in subject.plan.season.places.values():
        if place.lamps is None or place.lamps.target_h is None or place.kind == "nursery":
            continue
        spans = [
            (on, off)
            for one in subject.timelines
            if one.cohort.place == place.id
            and (on := one.likely("lights_on"))
            and (off := one.likely("lights_off"))
        ]
        if spans:
            yield place.id, min(on for on, _ in spans), max(off for _, off in spans), place.lamps.target_h


def day_text_at(subject: Subject, day: date) -> str:
    """The natural day on a date, to the minute; "" outside the season."""
    days = days_of(subject)
    at = (day - days[0].date).days
    return hours_text(length_h(subject, days[at])) if 0 <= at < len(days) else ""
