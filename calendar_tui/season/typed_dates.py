"""Dates as a person types them: 2027-03-19, 19 mar, +9 (days from the plan), friday."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

from dateutil.parser import ParserError, parser, parserinfo
from dateutil.relativedelta import relativedelta, weekday

FORMS = "write 2027-03-19, 19 mar, +9 (days from the plan), a weekday, or today"
_INFO = parserinfo(dayfirst=True)


def typed_date(
    text: str, *, today: date, planned: date | None, first_day: date, last_day: date, past: bool = True
) -> date:
    """The date a person means.

    A date without a year is the one inside the season, first_day to last_day. +N and -N count from `planned`. A
    weekday is the latest one up to today where `past`, else the next one from today. Raises ValueError with a
    sentence that says what would be right.
    """
    typed = text.strip().casefold()
    if typed in ("today", "yesterday"):
        return today - timedelta(days=typed == "yesterday")
    if re.fullmatch(r"[+-]\d{1,3}", typed):
        if planned is None:
            raise ValueError(f'"{text}" counts days from the planned date, but none is planned; {FORMS}')
        return planned + timedelta(days=int(typed))
    if year_first := re.fullmatch(r"(\d{4})([-/.]?)(\d{1,2})\2(\d{1,2})", typed):
        # dateutil takes the day before the month here too
        return _in_calendar(text, *(int(year_first[n]) for n in (1, 3, 4)))
    day_name = _INFO.weekday(typed)
    if day_name is not None:
        return today + relativedelta(weekday=weekday(day_name)(-1 if past else +1))
    found = _without_form(text, typed, today, first_day, last_day)
    _refuse_other_weekday(text, typed, found)
    return found


def _in_calendar(text: str, year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise ValueError(f'"{text}" is not a day of the calendar; {FORMS}') from None


def _refuse_other_weekday(text: str, typed: str, found: date) -> None:
    for word in re.findall(r"[a-z]+", typed):
        named = _INFO.weekday(word)
        if named is not None and named != found.weekday():
            raise ValueError(f'"{text}" does not fit: {found} is a {found:%A}; {FORMS}')


def _without_form(text: str, typed: str, today: date, first_day: date, last_day: date) -> date:
    # Two defaults that differ in every part tell which parts were typed.
    found = [_parsed(text, typed, default) for default in (datetime(2024, 1, 1), datetime(2028, 2, 2))]
    if (found[0].month, found[0].day) != (found[1].month, found[1].day):
        raise ValueError(f'"{text}" is not a day and a month; {FORMS}')
    if found[0] == found[1]:
        return found[0]
    years = range(first_day.year - 1, last_day.year + 2)
    same_day = [d for d in (_in_year(found[0], y) for y in years) if d is not None]
    if not same_day:
        raise ValueError(f'"{text}" is not in the calendar of this season\'s years; {FORMS}')
    inside = [d for d in same_day if first_day <= d <= last_day]
    return min(inside or same_day, key=lambda d: abs((d - today).days))


def _in_year(day: date, year: int) -> date | None:
    if (day.month, day.day) == (2, 29) and (year % 4 or (year % 100 == 0 and year % 400)):
        return None
    return day.replace(year=year)


def _parsed(text: str, typed: str, default: datetime) -> date:
    try:
        found = parser(_INFO).parse(typed, default=default)
    except (ParserError, OverflowError):
        raise ValueError(f'"{text}" is not a date; {FORMS}') from None
    return found.date()
