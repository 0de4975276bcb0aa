"""Readers: each turns one plain value of a season file into the value the records keep, or says what would be right."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable
from datetime import date, datetime
from difflib import get_close_matches
from typing import Any
from zoneinfo import ZoneInfo

from calendar_tui.season.records import Span

Reader = Callable[[Any], Any]
ID = re.compile(r"\w[\w-]{0,23}")


class Unreadable(ValueError):
    """A value that is not what its field needs. The message says what it is and what would be right."""


def shown(value: Any) -> str:
    """A value as a message may show it: short, and with no control or direction characters."""
    text = (
        value.isoformat()
        if isinstance(value, date)
        else repr(value)
        if isinstance(value, str)
        else str(value)
    )
    text = "".join("?" if _unseen(c) else c for c in text)
    return text if len(text) <= 40 else text[:37] + "..."


def _unseen(char: str) -> bool:
    return unicodedata.category(char) in ("Cc", "Cf", "Cs", "Zl", "Zp")


def text(value: Any) -> str:
    if not isinstance(value, str):
        raise Unreadable(f'is {shown(value)}; write text in quotes, such as "amber"')
    if any(_unseen(c) for c in value):
        raise Unreadable("has a control character; write plain text on one line")
    return value


def name_id(value: Any) -> str:
    if not ID.fullmatch(text(value)):
        raise Unreadable(f"is {shown(value)}; an id has 1 to 24 letters, digits, - or _, such as A1")
    return str(value)


def number(low: float, high: float) -> Reader:
    def read(value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            raise Unreadable(f"is {shown(value)}; write a number from {low:g} to {high:g}")
        if not low <= value <= high:
            raise Unreadable(f"is {shown(value)}; it must be from {low:g} to {high:g}")
        return float(value)

    return read


def whole(low: int, high: int) -> Reader:
    def read(value: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            raise Unreadable(f"is {shown(value)}; write a whole number from {low} to {high}")
        return value

    return read


def yes_no(value: Any) -> bool:
    if not isinstance(value, bool):
        raise Unreadable(f"is {shown(value)}; write true or false")
    return value


def day(value: Any) -> date:
    if isinstance(value, datetime) or not isinstance(value, date):
        raise Unreadable(f"is {shown(value)}; write a date without quotes, such as 2026-10-05")
    return value


def one_of(*words: str) -> Reader:
    def read(value: Any) -> str:
        if value not in words:
            raise Unreadable(f"is {shown(value)}; it must be one of: {', '.join(words)}{near(value, words)}")
        return str(value)

    return read


def several_of(*words: str) -> Reader:
    one = one_of(*words)

    def read(value: Any) -> tuple[str, ...]:
        if not isinstance(value, list) or not value:
            raise Unreadable(f"is {shown(value)}; write a list of: {', '.join(words)}")
        return tuple(one(v) for v in value)

    return read


def clock_hours(value: Any) -> float:
    """A day length "HH:MM" as hours."""
    found = re.fullmatch(r"(\d{1,2}):([0-5]\d)", value) if isinstance(value, str) else None
    hours = int(found[1]) + int(found[2]) / 60 if found else math.inf
    if hours > 24:
        raise Unreadable(f'is {shown(value)}; write hours and minutes up to 24 h in quotes, such as "14:00"')
    return hours


def span_days(value: Any) -> Span:
    figures = value if isinstance(value, list) else [value]
    days = [number(0, 400)(v) for v in figures]
    if len(days) not in (1, 3) or days != sorted(days):
        raise Unreadable(
            f"is {shown(value)}; write early, likely and late days in rising order, such as [10, 14, 20], or one number"
        )
    return Span(*days) if len(days) == 3 else Span(days[0], days[0], days[0])


def two_metres(value: Any) -> tuple[float, float]:
    if not isinstance(value, list) or len(value) != 2:
        raise Unreadable(f"is {shown(value)}; write metres between rows and in the row, such as [1.5, 0.6]")
    between, within = (number(0.01, 100)(v) for v in value)
    return between, within


def timezone(value: Any) -> str:
    try:
        ZoneInfo(text(value))
    except (KeyError, ValueError, OSError):
        raise Unreadable(
            f"is {shown(value)}, which is no known time zone; write an IANA name, such as America/Montevideo"
        ) from None
    return str(value)


def repeat_rule(value: Any) -> str:
    """An RFC 5545 recurrence rule without a start; its end is the chore's `until` stage."""
    from dateutil.rrule import rrulestr  # only chores need it, and `week` reads no chores

    try:
        rrulestr(text(value), dtstart=datetime(2026, 1, 1))
    except (ValueError, KeyError, TypeError, AttributeError):
        raise Unreadable(
            f"is {shown(value)}; write an RFC 5545 rule of days or weeks, such as FREQ=WEEKLY or FREQ=DAILY;INTERVAL=3"
        ) from None
    if not re.search(r"FREQ=(DAILY|WEEKLY|MONTHLY|YEARLY)", value):
        raise Unreadable(
            f"is {shown(value)}; a chore repeats by days, weeks, months or years: FREQ=DAILY or FREQ=WEEKLY"
        )
    return str(value)


def near(word: Any, known: Any) -> str:
    """'; did you mean X?' where a known word is close, else nothing."""
    close = get_close_matches(str(word), [str(k) for k in known], n=1, cutoff=0.6)
    return f'; did you mean "{close[0]}"?' if close else ""
