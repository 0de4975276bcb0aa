"""How long a spray closes a place and holds back the cut, and until when its record is written, shown and kept.

The label governs. A re-entry interval counts real hours from the END of the application (40 CFR 156.208, read, has hours, days or
a condition); a day of it is 24 hours (common practice, no source). A pre-harvest interval counts whole days with the last
application as day 0; some labels give hours. Of several the longest holds (40 CFR 170.112(a)(3), read). An interval that nobody
has entered is not zero: it keeps the place closed. Nothing here ever opens a place early.
"""

from __future__ import annotations

import calendar
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from decimal import Decimal

from calendar_tui.language.speaking import phrase
from calendar_tui.nature.local_times import day_begins

_LONGEST_H = 24 * 365


@dataclass(frozen=True, slots=True)
class ReEntry:
    """hours: from the end of the application, None where the label gives none. condition: what somebody must record as
    reached, "" for none. Where there are both, both hold; where there is neither, it is not known."""

    hours: Decimal | None = None
    condition: str = ""

    def __post_init__(self) -> None:
        _refuse_odd("a re-entry interval", self.hours, "h", _LONGEST_H)


@dataclass(frozen=True, slots=True)
class PreHarvest:
    """days: whole days after the day of the last application; hours: from its end. One of them; neither: not known."""

    days: int | None = None
    hours: Decimal | None = None

    def __post_init__(self) -> None:
        if self.days is not None and self.hours is not None:
            raise ValueError(
                f"a pre-harvest interval of {self.days} d and {self.hours} h; give the one on the label"
            )
        _refuse_odd("a pre-harvest interval", self.hours, "h", _LONGEST_H)
        _refuse_odd("a pre-harvest interval", self.days, "d", _LONGEST_H // 24)


@dataclass(frozen=True, slots=True)
class Application:
    """One product put on. begin, end: instants (UTC); condition_met: when its condition was recorded as reached, or None.

    Raises ValueError for one that ends before it begins, and for a condition that was met before the end.
    """

    product: str
    begin: datetime
    end: datetime
    re_entry: ReEntry
    pre_harvest: PreHarvest
    condition_met: datetime | None = None

    def __post_init__(self) -> None:
        if self.end < self.begin:
            raise ValueError(f"{self.product} ends before it begins; change them round, or look at the dates")
        if self.condition_met is not None and self.condition_met < self.end:
            raise ValueError(
                f'the condition "{self.re_entry.condition}" of {self.product} is recorded before the spray ended; '
                "record when it was reached after it"
            )


@dataclass(frozen=True, slots=True)
class Wait:
    """until: the instant (UTC) from which it is over; None while it waits for what is named in waits_for.

    rule: the product whose interval is the longest, "" where there is none.
    """

    until: datetime | None
    waits_for: tuple[str, ...] = ()
    rule: str = ""


def re_entry_end(one: Application) -> datetime | None:
    """When the place may be entered after this application (UTC); None where that is not known yet."""
    ends = [] if one.re_entry.hours is None else [one.end + _hours(one.re_entry.hours)]
    if one.re_entry.condition:
        if one.condition_met is None:
            return None
        ends.append(one.condition_met)
    return max(ends, default=None)


def closed(applications: Sequence[Application]) -> Wait:
    """How long a place with these applications is closed to everybody; until is None and waits_for empty where there are none."""
    return _longest((one, re_entry_end(one), _why_closed(one)) for one in applications)


def is_closed(applications: Iterable[Application], moment: datetime) -> bool:
    """Whether an instant is inside an application or its re-entry interval. Those that begin later do not close it yet."""
    return any(one.begin <= moment and _still_closed(one, moment) for one in applications)


def closed_between(applications: Iterable[Application], begin: datetime, end: datetime) -> bool:
    """Whether a place is closed at any time from begin to end (UTC), such as on a day or during a visit."""
    return any(one.begin < end and _still_closed(one, begin) for one in applications)


def _still_closed(one: Application, moment: datetime) -> bool:
    opens = re_entry_end(one)
    return opens is None or moment < opens


def pre_harvest_end(one: Application, zone: tzinfo) -> datetime | None:
    """When the pre-harvest interval of this application is over (UTC); None where it is not known."""
    if one.pre_harvest.hours is not None:
        return one.end + _hours(one.pre_harvest.hours)
    if one.pre_harvest.days is None:
        return None
    if one.pre_harvest.days == 0:
        return one.end
    first_day = harvest_from(one.end.astimezone(zone).date(), one.pre_harvest.days)
    return day_begins(datetime.combine(first_day, time()), zone)


def harvest_from(last_application: date, days: int) -> date:
    """The first day on which cutting is allowed: the last application is day 0."""
    return last_application + timedelta(days=days)


def uncut(applications: Sequence[Application], zone: tzinfo) -> Wait:
    """From when what these applications were put on may be cut: every pre-harvest and every re-entry interval over."""
    waits = (
        _longest((one, pre_harvest_end(one, zone), _why_uncut(one)) for one in applications),
        closed(applications),
    )
    last = max((w for w in waits if w.until), key=lambda w: w.until or _NEVER, default=Wait(None))
    waits_for = tuple(dict.fromkeys(why for wait in waits for why in wait.waits_for))
    return Wait(None if waits_for else last.until, waits_for, last.rule)


_NEVER = datetime.min.replace(tzinfo=UTC)


def _longest(waits: Iterable[tuple[Application, datetime | None, str]]) -> Wait:
    every = list(waits)
    waits_for = tuple(why for _, until, why in every if until is None)
    known = [(until, one.product) for one, until, _ in every if until is not None]
    until, rule = max(known, key=lambda pair: pair[0], default=(None, ""))
    return Wait(None if waits_for else until, waits_for, rule)


def _why_closed(one: Application) -> str:
    if one.re_entry.condition:
        return f"{one.product}: {one.re_entry.condition}"
    return phrase(
        "{product}: its re-entry interval is not set; enter what the label says", product=one.product
    )


def _why_uncut(one: Application) -> str:
    return phrase(
        "{product}: its pre-harvest interval is not set; enter what the label says", product=one.product
    )


def _hours(hours: Decimal) -> timedelta:
    # Up to the next second, so that no fraction of an hour opens a place early.
    seconds = hours * 3600
    whole = int(seconds)
    return timedelta(seconds=whole + (seconds > whole))


def _refuse_odd(what: str, figure: Decimal | int | None, unit: str, most: int) -> None:
    if figure is not None and not (Decimal(figure).is_finite() and 0 <= figure <= most):
        raise ValueError(f"{what} of {figure} {unit}; it must be from 0 to {most} {unit}")


@dataclass(frozen=True, slots=True)
class RecordRule:
    """write_d: days after the application within which it is written; show_d: days after the re-entry interval for which it
    is displayed; keep_years: years after the application for which it is kept. None where a rule has none."""

    write_d: int | None
    show_d: int | None
    keep_years: int | None


@dataclass(frozen=True, slots=True)
class RecordDates:
    """The last day to write the record, to show it, to keep it. None where there is no such rule, or no end of re-entry yet."""

    write_by: date | None
    show_until: date | None
    keep_until: date | None


def record_dates(applied: date, re_entry_ends: date | None, rule: RecordRule) -> RecordDates:
    """applied: the day of the application; re_entry_ends: the day its re-entry interval is over, None while it is not known."""
    return RecordDates(
        write_by=None if rule.write_d is None else applied + timedelta(days=rule.write_d),
        show_until=None
        if rule.show_d is None or re_entry_ends is None
        else re_entry_ends + timedelta(days=rule.show_d),
        keep_until=None if rule.keep_years is None else years_after(applied, rule.keep_years),
    )


def years_after(day: date, years: int) -> date:
    """The same day so many years on; of 29 February, in a year without one, 1 March: kept a day longer and not shorter."""
    year = day.year + years
    if (day.month, day.day) == (2, 29) and not calendar.isleap(year):
        return date(year, 3, 1)
    return day.replace(year=year)
