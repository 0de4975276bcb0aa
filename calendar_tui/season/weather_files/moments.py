"""The dates and times in weather files, and which of day and month comes first where numbers alone do not tell."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta, timezone
from functools import lru_cache
from typing import NamedTuple
from zoneinfo import ZoneInfo

from calendar_tui.season.field import FILE_ORDERS

DAY_FIRST, MONTH_FIRST, YEAR_FIRST = FILE_ORDERS
# Where in three numbers the year, the month and the day stand.
_PLACES: Mapping[str, tuple[int, int, int]] = {
    DAY_FIRST: (2, 1, 0),
    MONTH_FIRST: (2, 0, 1),
    YEAR_FIRST: (0, 1, 2),
}
_TIME = r"(?P<hour>\d{1,2})(?::?(?P<minute>\d\d))?(?::(?P<second>\d\d)(?:[.,]\d+)?)?(?:\s*(?P<half>[ap])\.?\s?m\.?)?"
_ZONE = r"\s*(?P<zone>z|utc|gmt|[+-]\d\d:?\d\d)?"
_BEHIND = rf"(?:(?:,?\s+|T){_TIME}{_ZONE})?"
_SHAPES = tuple(
    re.compile(shape, re.IGNORECASE)
    for shape in (
        r"(?P<year>\d{4})[-/. ](?P<month>\d{1,2})[-/. ](?P<day>\d{1,2})" + _BEHIND,
        r"(?P<year>\d{4})(?P<month>\d\d)(?P<day>\d\d)" + _BEHIND,
        r"(?P<a>\d{1,2})(?P<sign>[-/. ])(?P<b>\d{1,2})[-/. ](?P<c>\d{4}|\d\d)" + _BEHIND,
        r"(?P<day>\d{1,2})[-/. ](?P<name>[a-z]{3,10})\.?,?[-/. ](?P<year>\d{4}|\d\d)" + _BEHIND,
        r"(?P<name>[a-z]{3,10})\.? (?P<day>\d{1,2}),? (?P<year>\d{4}|\d\d)" + _BEHIND,
        r"(?P<year>\d{4})(?P<month>\d\d)(?P<day>\d\d)(?P<hour>\d\d)(?P<minute>\d\d)?" + _ZONE,
    )
)
# The first three letters of the months in English, Spanish and German.
_MONTHS = (
    ("jan", "ene"),
    ("feb",),
    ("mar", "mrz"),
    ("apr", "abr"),
    ("may", "mai"),
    ("jun",),
    ("jul",),
    ("aug", "ago"),
    ("sep",),
    ("oct", "okt"),
    ("nov",),
    ("dec", "dic", "dez"),
)
_BY_NAME = {name: n for n, names in enumerate(_MONTHS, 1) for name in names}
# Two digits are a year of this century up to 68, as POSIX reads them (strptime, %y).
_LAST_OF_CENTURY = 68


class Moment(NamedTuple):
    """A date or a time as written. numbers: three of which the order is open, else (); sign: what stands between them.

    zone: of the time: its offset from UTC, None where none is written; clock: the time of day, None where none is.
    """

    numbers: tuple[int, int, int] = (0, 0, 0)
    sign: str = ""
    day: date | None = None
    clock: timedelta | None = None
    zone: timedelta | None = None

    def date_in(self, order: str) -> date:
        """Its date where the numbers stand in that order. Raises ValueError where that is no date."""
        if self.day is not None:
            return self.day
        year, month, day = (self.numbers[place] for place in _PLACES[order])
        return date(_whole_year(year), month, day)

    def time_in(self, order: str) -> datetime:
        """Its date and time as written; a date alone is its midnight. Raises ValueError."""
        day = self.date_in(order)
        return datetime(day.year, day.month, day.day) + (self.clock or timedelta(0))


def _whole_year(year: int) -> int:
    if year >= 100:
        return year
    return year + (2000 if year <= _LAST_OF_CENTURY else 1900)


@lru_cache(maxsize=100_000)
def moment(text: str) -> Moment:
    """A date, with or without a time of day, in the ways in which files write it. Raises ValueError for another text."""
    for shape in _SHAPES:
        if found := shape.fullmatch(text.strip()):
            return _moment(found.groupdict())
    raise ValueError(text)


def _moment(parts: Mapping[str, str | None]) -> Moment:
    clock, zone = _clock(parts), _zone(parts.get("zone"))
    if parts.get("a"):
        numbers = tuple(int(parts[key] or 0) for key in "abc")
        return Moment((numbers[0], numbers[1], numbers[2]), parts["sign"] or "", None, clock, zone)
    name = parts.get("name")
    month = int(parts["month"] or 0) if name is None else _BY_NAME[_three(name)]
    return Moment(
        day=date(_whole_year(int(parts["year"] or 0)), month, int(parts["day"] or 0)), clock=clock, zone=zone
    )


def _three(name: str) -> str:
    short = name[:3].casefold()
    if short not in _BY_NAME:
        raise ValueError(name)
    return short


def _clock(parts: Mapping[str, str | None]) -> timedelta | None:
    if not (written := parts.get("hour")):
        return None
    hour, minute, second = int(written), int(parts.get("minute") or 0), int(parts.get("second") or 0)
    if half := parts.get("half"):
        hour = hour % 12 + (12 if half.casefold() == "p" else 0)
    if hour > 24 or minute > 59 or second > 59:
        raise ValueError(f"{hour}:{minute}")
    return timedelta(hours=hour, minutes=minute, seconds=second)


def _zone(text: str | None) -> timedelta | None:
    if not text:
        return None
    if text[0] not in "+-":
        return timedelta(0)
    sign = -1 if text[0] == "-" else 1
    return sign * timedelta(hours=int(text[1:3]), minutes=int(text[-2:]))


def possible_orders(moments: Iterable[Moment]) -> Sequence[str]:
    """The orders in which every one of these is a date: the day first where points stand between the numbers.

    Two digits are taken for a year in front only where nothing else makes dates of them.
    """
    open_ones = [one for one in moments if one.day is None]
    if not open_ones:
        return FILE_ORDERS[:1]
    orders: Sequence[str] = (DAY_FIRST,) if all(one.sign == "." for one in open_ones) else FILE_ORDERS[:2]
    fits = [order for order in orders if all(_is_date(one, order) for one in open_ones)]
    return fits or [YEAR_FIRST for _ in (1,) if all(_is_date(one, YEAR_FIRST) for one in open_ones)]


def _is_date(one: Moment, order: str) -> bool:
    try:
        one.date_in(order)
    except ValueError:
        return False
    return True


def local_time(at: datetime, offset: timedelta, zone: ZoneInfo) -> datetime:
    """A time that was written at this offset from UTC, as the clock of a zone shows it, without its zone."""
    return at.replace(tzinfo=timezone(offset)).astimezone(zone).replace(tzinfo=None)
