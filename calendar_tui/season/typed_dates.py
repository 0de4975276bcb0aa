"""Dates as a person types them: 2027-03-19, 19 mar, 19/3, +9 (days from the plan), friday, tomorrow."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime, timedelta

from dateutil.parser import ParserError, parser, parserinfo
from dateutil.relativedelta import relativedelta, weekday

from calendar_tui.season.records import Season
from calendar_tui.season.wording import full_day_text, year_day_text

DAY_FIRST, MONTH_FIRST = ORDERS = ("day-first", "month-first")
_INFO = parserinfo(dayfirst=True)
_DAYS_FROM_TODAY = {"yesterday": -1, "today": 0, "tomorrow": 1}
# Before the cause of a date.
_BECAUSE = re.compile(r"\s*\bbecause\b:?\s*", re.IGNORECASE)
_NUMBERS = re.compile(r"(?:([a-z]+),? +)?(\d{1,2})([-/. ]+)(\d{1,2})(?:[-/. ]+(\d{4}|\d\d)?)?", re.ASCII)
_CENTURY, _MONTHS = 2000, 12
# How a date may be typed that counts from another.
FROM_PLAN, FROM_TODAY = "+9 (days from the plan)", "+9 (days from today)"
FROM_DUE = "+2 (days from the task's own date)"
NIGHTS_AGO, NIGHTS_ON = "-3 (nights ago)", "+2 (nights on)"


class NotADate(ValueError):
    """A text that is no date. The message says why, and not yet what would be right."""


def read_day_text(text: str, day: date) -> str:
    """ "Mon 1 Feb 2027, the day first": a typed date as it was read, and how where it may be meant otherwise."""
    return ", ".join(filter(None, (full_day_text(day), _order_text(text, day))))


def _order_text(text: str, day: date) -> str:
    numbers = _NUMBERS.fullmatch(text.strip().casefold())
    if numbers is None or numbers[1]:
        return ""
    one, other = int(numbers[2]), int(numbers[4])
    if one == other or max(one, other) > _MONTHS:
        return ""
    return f"the {'day' if day.day == one else 'month'} first"


def is_of_numbers(text: str) -> bool:
    """Whether a text is a day and a month in numbers, in whichever order, such as 12/8."""
    return _NUMBERS.fullmatch(text.strip().casefold()) is not None


def typed_in_season(
    text: str,
    season: Season,
    *,
    today: date,
    planned: date | None,
    past: bool,
    order: str,
    counted: str = FROM_PLAN,
) -> date:
    """The date a person means in this season, as `typed_date` gives it."""
    return typed_date(
        text,
        today=today,
        planned=planned,
        first_day=season.first_day,
        last_day=season.last_day,
        past=past,
        order=order,
        counted=counted,
    )


def night_base(text: str, today: date, first: date | None) -> date:
    """From which day +N and -N count where a night without lamps is typed: +N from the first night, all else from today."""
    return first if first is not None and text.strip().startswith("+") else today


def typed_date(
    text: str,
    *,
    today: date,
    planned: date | None,
    first_day: date,
    last_day: date,
    past: bool = True,
    order: str = "",
    counted: str = FROM_PLAN,
) -> date:
    """The date a person means.

    first_day, last_day: of the season. A date without a year is the one between them.
    planned: the date from which +N and -N count; None for none.
    past: whether a weekday is the latest one up to today, else it is the next one from today. "next" before a weekday is
      the first after today.
    order: which of two numbers alone, such as 12/8, is the day: one of ORDERS, or "" where that is not set. With dots the
      day is always first.
    counted: how +N or -N may be typed here, in a sentence.
    Raises ValueError with a sentence that says what would be right.
    """
    days = today, first_day, last_day
    try:
        return _typed(text, planned, days, past, order)
    except NotADate as wrong:
        raise ValueError(f"{wrong}; {_forms_text(*days, counted if planned is not None else '')}") from None


def _forms_text(today: date, first_day: date, last_day: date, counted: str) -> str:
    """How dates may be typed, with a day of the season, today where it is one. counted: "" where no date counts from another."""
    day = min(max(today, first_day), last_day)
    named = f"{day.day} {day:%b}".casefold()
    return ", ".join(filter(None, (f"write {day}", named, counted, "a weekday", "or today")))


def _typed(text: str, planned: date | None, days: tuple[date, date, date], past: bool, order: str) -> date:
    """days: today, and the first and last day of the season; the others as in `typed_date`. Raises NotADate, ValueError."""
    today, first_day, last_day = days
    typed = text.strip().casefold()
    if typed in _DAYS_FROM_TODAY:
        return today + timedelta(days=_DAYS_FROM_TODAY[typed])
    if re.fullmatch(r"[+-]\d{1,3}", typed, re.ASCII):
        if planned is None:
            raise NotADate(f'"{text}" counts days from the planned date, but none is planned')
        return planned + timedelta(days=int(typed))
    if year_first := re.fullmatch(r"(\d{4})([-/.]?)(\d{1,2})\2(\d{1,2})", typed, re.ASCII):
        # dateutil takes the day before the month here too
        return _in_calendar(text, *(int(year_first[n]) for n in (1, 3, 4)))
    if (day := _weekday(typed, today, past)) is not None:
        return day
    if (numbers := _NUMBERS.fullmatch(typed)) and (not numbers[1] or _INFO.weekday(numbers[1]) is not None):
        return _of_numbers(text, _readings(numbers, today, first_day, last_day), order, bool(numbers[5]))
    day = _without_form(text, typed, today, first_day, last_day)
    _refuse_other_weekday(text, typed, day)
    return day


def _weekday(typed: str, today: date, past: bool) -> date | None:
    """The date of a weekday alone, or with "next" before it; None for anything else."""
    to_come = typed.startswith("next ")
    named = _INFO.weekday(typed.removeprefix("next ").strip())
    if named is None:
        return None
    start = today + timedelta(days=to_come)
    return start + relativedelta(weekday=weekday(named)(-1 if past and not to_come else +1))


def _readings(numbers: re.Match[str], today: date, first_day: date, last_day: date) -> dict[str, date]:
    """The dates that numbers can be, by the order of day and month; with dots the day is first by custom."""
    one, other = int(numbers[2]), int(numbers[4])
    year = int(numbers[5]) if numbers[5] else None
    if year is not None and len(numbers[5]) == 2:
        year += _CENTURY
    parts = {DAY_FIRST: (one, other), MONTH_FIRST: (other, one)}
    if "." in numbers[3]:
        del parts[MONTH_FIRST]
    dates = {o: _meant(day, month, year, today, first_day, last_day) for o, (day, month) in parts.items()}
    possible = {o: day for o, day in dates.items() if day is not None}
    named = _INFO.weekday(numbers[1]) if numbers[1] else None
    fitting = {o: day for o, day in possible.items() if named in (None, day.weekday())}
    if possible and not fitting:
        day = next(iter(possible.values()))
        raise NotADate(f'"{numbers[0]}" does not fit: {year_day_text(day)} is a {day:%A}')
    return fitting


def _of_numbers(text: str, readings: Mapping[str, date], order: str, with_year: bool) -> date:
    """The one date that numbers are. Raises ValueError where they may be two, or are of another order than the one set."""
    if not readings:
        raise NotADate(f'"{text}" is not a day of the calendar')
    days = list(dict.fromkeys(readings.values()))
    named = [f"{d.day} {d:%b}".casefold() + (f" {d.year}" if with_year else "") for d in days]
    texts = [year_day_text(d) for d in days]
    if order in readings:
        return readings[order]
    if order and len(days) == 1:
        raise ValueError(
            f'"{text}" is {texts[0]} only if it is read {next(iter(readings))}, and dates are set to {order}; '
            f"write {named[0]}"
        )
    if len(days) > 1:
        raise ValueError(f'"{text}" is {" or ".join(texts)}; write {" or ".join(named)}')
    return days[0]


def _in_calendar(text: str, year: int, month: int, day: int) -> date:
    day_of_year = _date(year, month, day)
    if day_of_year is None:
        raise NotADate(f'"{text}" is not a day of the calendar')
    return day_of_year


def _refuse_other_weekday(text: str, typed: str, day: date) -> None:
    for word in re.findall(r"[a-z]+", typed):
        named = _INFO.weekday(word)
        if named is not None and named != day.weekday():
            raise NotADate(f'"{text}" does not fit: {year_day_text(day)} is a {day:%A}')


def _without_form(text: str, typed: str, today: date, first_day: date, last_day: date) -> date:
    if not any(_INFO.month(word) for word in re.findall(r"[a-z]+", typed)):
        raise NotADate(f'"{text}" is not a date')
    # Two defaults that differ in every part tell which parts were typed.
    parsed = [_parsed(text, typed, default) for default in (datetime(2024, 1, 1), datetime(2028, 2, 2))]
    if (parsed[0].month, parsed[0].day) != (parsed[1].month, parsed[1].day):
        raise NotADate(f'"{text}" is not a day and a month')
    if parsed[0] == parsed[1]:
        return parsed[0]
    day = _meant(parsed[0].day, parsed[0].month, None, today, first_day, last_day)
    if day is None:
        raise NotADate(f'"{text}" is not in the calendar of this season\'s years')
    return day


def _meant(
    day: int, month: int, year: int | None, today: date, first_day: date, last_day: date
) -> date | None:
    """The date of a day and a month: without a year inside the season, else the one nearest today; None for no date."""
    years = range(first_day.year - 1, last_day.year + 2) if year is None else (year,)
    same_day = [d for d in (_date(y, month, day) for y in years) if d is not None]
    inside = [d for d in same_day if year is None and first_day <= d <= last_day]
    return min(inside or same_day, key=lambda d: abs((d - today).days), default=None)


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _parsed(text: str, typed: str, default: datetime) -> date:
    try:
        moment = parser(_INFO).parse(typed, default=default)
    except (ParserError, OverflowError):
        raise NotADate(f'"{text}" is not a date') from None
    return moment.date()


def day_and_cause(typed: str) -> tuple[str, str]:
    """A date as typed, and why it came on another day than planned: "8 dec because rain"; "" for no cause."""
    when, _, cause = _BECAUSE.sub("\n", typed, count=1).partition("\n")
    return when.strip(), cause.strip()
