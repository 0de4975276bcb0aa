"""Dates as a person types them: 2027-03-19, 19 mar, 19/3, +9 (days from the plan), friday, tomorrow, in 2 weeks, 2027-W11.

In English and in Spanish, whatever the letters' case and accents: 19 de marzo, proximo viernes, manana.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any, NamedTuple

from dateutil.parser import ParserError, parser, parserinfo
from dateutil.relativedelta import relativedelta, weekday

from calendar_tui.language.speaking import phrase, phrase_form
from calendar_tui.season.date_words import (
    AGO,
    BEFORE_AGO,
    DAYS_FROM_TODAY,
    IN,
    LAST,
    LINKS,
    MONTHS,
    NEXT,
    ONE,
    UNIT_DAYS,
    WEEK,
    WEEKDAYS,
    any_of,
    plain_date_text,
    without_links,
)
from calendar_tui.season.records import Season
from calendar_tui.season.wording import WEEKDAY_NAMES, full_day_text, year_day_text

DAY_FIRST, MONTH_FIRST = ORDERS = ("day-first", "month-first")
_JUMP = [*parserinfo.JUMP, *LINKS]


class _Words(parserinfo):
    """How dateutil reads the words of a date."""

    # Several names a month are more than the types of dateutil's names know of.
    MONTHS: Any = MONTHS
    WEEKDAYS: Any = WEEKDAYS
    JUMP = _JUMP


_INFO = _Words(dayfirst=True)
_NUMBERS = re.compile(r"(?:([a-z]+),? +)?(\d{1,2})([-/. ]+)(\d{1,2})(?:[-/. ]+(\d{4}|\d\d)?)?", re.ASCII)
_CENTURY, _MONTHS = 2000, 12
_AMOUNT = rf"(\d{{1,3}}|{any_of(ONE)}) ?({any_of(UNIT_DAYS)})"
_COUNTED = re.compile(rf"([+-] ?\d{{1,3}}) ?({any_of(UNIT_DAYS)})?", re.ASCII)
_FROM_NOW = re.compile(rf"{any_of(IN)} {_AMOUNT}", re.ASCII)
_BEFORE_NOW = re.compile(rf"{any_of(BEFORE_AGO)} {_AMOUNT}|{_AMOUNT} {any_of(AGO)}", re.ASCII)
# ISO 8601: 2027-W02, 2027W02, and with its day 2027-W02-5.
_WEEK = re.compile(rf"(?:(\d{{4}})[- ]?)?{any_of(WEEK)}(\d{{1,2}})(?:-?([1-7]))?", re.ASCII)
_NEXT = re.compile(rf"{any_of(NEXT)} | {any_of(NEXT)}")
_LAST = re.compile(rf"{any_of(LAST)} | {any_of(LAST)}")
_NO_DATE, _NO_DAY = (
    phrase_form('"{typed}" is not a date'),
    phrase_form('"{typed}" is not a day of the calendar'),
)
# How a date may be typed that counts from another.
FROM_PLAN, FROM_TODAY = phrase_form("+9 (days from the plan)"), phrase_form("+9 (days from today)")
FROM_DUE = phrase_form("+2 (days from the task's own date)")
NIGHTS_AGO, NIGHTS_ON = "-3 (nights ago)", "+2 (nights on)"


class _Typed(NamedTuple):
    """A date as typed, and as `plain_date_text` makes it; the others as in `typed_date`."""

    text: str
    plain: str
    today: date
    planned: date | None
    first_day: date
    last_day: date
    past: bool
    order: str

    @property
    def linkless(self) -> str:
        return without_links(self.plain)

    def nearest(self, days: Sequence[date]) -> date:
        """The day in the season, else the nearest to today."""
        inside = [day for day in days if self.first_day <= day <= self.last_day]
        return min(inside or days, key=lambda day: abs((day - self.today).days))


class NotADate(ValueError):
    """A text that is no date. The message says why, and not yet what would be right."""


def read_day_text(text: str, day: date) -> str:
    """ "Mon 1 Feb 2027, the day first": a typed date as it was read, and how where it may be meant otherwise."""
    return ", ".join(filter(None, (full_day_text(day), _order_text(text, day), _week_text(text))))


def _week_text(text: str) -> str:
    week = _WEEK.fullmatch(plain_date_text(text))
    return f"the Monday of week {int(week[2])}" if week and not week[3] else ""


def _order_text(text: str, day: date) -> str:
    numbers = _NUMBERS.fullmatch(without_links(plain_date_text(text)))
    if numbers is None or numbers[1]:
        return ""
    one, other = int(numbers[2]), int(numbers[4])
    if one == other or max(one, other) > _MONTHS:
        return ""
    return f"the {'day' if day.day == one else 'month'} first"


def is_of_numbers(text: str) -> bool:
    """Whether a text is a day and a month in numbers, in whichever order, such as 12/8."""
    return _NUMBERS.fullmatch(without_links(plain_date_text(text))) is not None


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
      the first after today, "last" the last before it. A week is its Monday.
    order: which of two numbers alone, such as 12/8, is the day: one of ORDERS, or "" where that is not set. With dots the
      day is always first.
    counted: how +N or -N may be typed here, in a sentence.
    Raises ValueError with a sentence that says what would be right.
    """
    typed = _Typed(text, plain_date_text(text), today, planned, first_day, last_day, past, order)
    try:
        return next(day for read in _WAYS if (day := read(typed)) is not None)
    except NotADate as wrong:
        forms = _forms_text(today, first_day, last_day, counted if planned is not None else "")
        raise ValueError(f"{wrong}; {forms}") from None


def _forms_text(today: date, first_day: date, last_day: date, counted: str) -> str:
    """How dates may be typed, with a day of the season, today where it is one. counted: "" where no date counts from another."""
    day = min(max(today, first_day), last_day)
    named = f"{day.day} {day:%b}".casefold()
    form = phrase_form("write {iso}, {near}, a weekday, in 2 weeks, {week} (its Monday), or today")
    if counted:
        form = phrase_form(
            "write {iso}, {near}, {from_day}, a weekday, in 2 weeks, {week} (its Monday), or today"
        )
    return phrase(form, iso=day, near=named, from_day=counted, week=f"{day:%G-W%V}")


def _day_word(typed: _Typed) -> date | None:
    """Today, tomorrow ..."""
    count = DAYS_FROM_TODAY.get(typed.plain)
    return None if count is None else _days_on(typed, typed.today, count)


def _from_today(typed: _Typed) -> date | None:
    """In 2 weeks, 3 days ago."""
    for pattern, sign in ((_FROM_NOW, 1), (_BEFORE_NOW, -1)):
        if amount := pattern.fullmatch(typed.plain):
            number, unit = filter(None, amount.groups())
            count = int(number) if number.isdecimal() else 1
            return _days_on(typed, typed.today, sign * count * UNIT_DAYS[unit])
    return None


def _from_plan(typed: _Typed) -> date | None:
    """+9, -3, +2w."""
    counted = _COUNTED.fullmatch(typed.plain)
    if counted is None:
        return None
    if typed.planned is None:
        raise NotADate(
            phrase('"{typed}" counts days from the planned date, but none is planned', typed=typed.text)
        )
    count = int(counted[1].replace(" ", ""))
    return _days_on(typed, typed.planned, count * UNIT_DAYS[counted[2] or "d"])


def _year_first(typed: _Typed) -> date | None:
    """2027-3-9, in which dateutil would take the day before the month too."""
    numbers = re.fullmatch(r"(\d{4})([-/.]?)(\d{1,2})\2(\d{1,2})", typed.plain, re.ASCII)
    return _in_calendar(typed.text, *(int(numbers[n]) for n in (1, 3, 4))) if numbers else None


def _of_week(typed: _Typed) -> date | None:
    """A week's Monday, or its day; without a year the one in the season, else the one nearest today."""
    week = _WEEK.fullmatch(typed.plain)
    if week is None:
        return None
    years = (int(week[1]),) if week[1] else range(typed.first_day.year - 1, typed.last_day.year + 2)
    days = [d for year in years if (d := _iso_day(year, int(week[2]), int(week[3] or 1))) is not None]
    if not days:
        raise NotADate(phrase('"{typed}" is not a week of the calendar', typed=typed.text))
    return typed.nearest(days)


def _weekday(typed: _Typed) -> date | None:
    """A weekday alone, or with "next" or "last" beside it."""
    to_come, gone = _NEXT.search(typed.linkless) is not None, _LAST.search(typed.linkless) is not None
    named = _INFO.weekday(_LAST.sub("", _NEXT.sub("", typed.linkless)))
    if named is None or (to_come and gone):
        return None
    start = typed.today + timedelta(days=to_come - gone)
    return start + relativedelta(weekday=weekday(named)(-1 if gone or (typed.past and not to_come) else +1))


def _numbers(typed: _Typed) -> date | None:
    """19/3, fri 19.3.2027."""
    numbers = _NUMBERS.fullmatch(typed.linkless)
    if numbers is None or (numbers[1] and _INFO.weekday(numbers[1]) is None):
        return None
    return _of_numbers(typed.text, _readings(numbers, typed), typed.order, bool(numbers[5]))


def _with_month(typed: _Typed) -> date:
    """19 mar, march 19 2027, with or without a weekday. Raises NotADate for all else."""
    day = _without_form(typed)
    _refuse_other_weekday(typed.text, typed.linkless, day)
    return day


# In this order the first that knows what is typed gives the date.
_WAYS = (_day_word, _from_today, _from_plan, _year_first, _of_week, _weekday, _numbers, _with_month)


def _days_on(typed: _Typed, day: date, count: int) -> date:
    try:
        return day + timedelta(days=count)
    except OverflowError:
        raise NotADate(phrase(_NO_DAY, typed=typed.text)) from None


def _iso_day(year: int, week: int, day: int) -> date | None:
    try:
        return date.fromisocalendar(year, week, day)
    except ValueError:
        return None


def _readings(numbers: re.Match[str], typed: _Typed) -> dict[str, date]:
    """The dates that numbers can be, by the order of day and month; with dots the day is first by custom."""
    one, other = int(numbers[2]), int(numbers[4])
    year = int(numbers[5]) if numbers[5] else None
    if year is not None and len(numbers[5]) == 2:
        year += _CENTURY
    parts = {DAY_FIRST: (one, other), MONTH_FIRST: (other, one)}
    if "." in numbers[3]:
        del parts[MONTH_FIRST]
    dates = {o: _meant(day, month, year, typed) for o, (day, month) in parts.items()}
    possible = {o: day for o, day in dates.items() if day is not None}
    named = _INFO.weekday(numbers[1]) if numbers[1] else None
    fitting = {o: day for o, day in possible.items() if named in (None, day.weekday())}
    if possible and not fitting:
        day = next(iter(possible.values()))
        raise _other_weekday(numbers[0], day)
    return fitting


def _of_numbers(text: str, readings: Mapping[str, date], order: str, with_year: bool) -> date:
    """The one date that numbers are. Raises ValueError where they may be two, or are of another order than the one set."""
    if not readings:
        raise NotADate(phrase(_NO_DAY, typed=text))
    days = list(dict.fromkeys(readings.values()))
    named = [f"{d.day} {d:%b}".casefold() + (f" {d.year}" if with_year else "") for d in days]
    texts = [year_day_text(d) for d in days]
    if order in readings:
        return readings[order]
    if order and len(days) == 1:
        raise ValueError(
            phrase(
                '"{typed}" is {day} only if it is read {order}, and dates are set to {setting}; write {near}',
                typed=text,
                day=texts[0],
                order=next(iter(readings)),
                setting=order,
                near=named[0],
            )
        )
    if len(days) > 1:
        raise ValueError(
            phrase(
                '"{typed}" is {day} or {last}; write {near} or {other}',
                typed=text,
                day=texts[0],
                last=texts[1],
                near=named[0],
                other=named[1],
            )
        )
    return days[0]


def _in_calendar(text: str, year: int, month: int, day: int) -> date:
    day_of_year = _date(year, month, day)
    if day_of_year is None:
        raise NotADate(phrase(_NO_DAY, typed=text))
    return day_of_year


def _other_weekday(text: str, day: date) -> NotADate:
    named = phrase(WEEKDAY_NAMES[day.weekday()])
    return NotADate(
        phrase(
            '"{typed}" does not fit: {day} is a {weekday}', typed=text, day=year_day_text(day), weekday=named
        )
    )


def _refuse_other_weekday(text: str, typed: str, day: date) -> None:
    for word in re.findall(r"[a-z]+", typed):
        named = _INFO.weekday(word)
        if named is not None and named != day.weekday():
            raise _other_weekday(text, day)


def _without_form(typed: _Typed) -> date:
    text, plain = typed.text, typed.linkless
    if plain == "mar":
        raise NotADate(phrase('"{typed}" is March or martes', typed=text))
    if not any(_INFO.month(word) for word in re.findall(r"[a-z]+", plain)):
        raise NotADate(phrase(_NO_DATE, typed=text))
    # Two defaults that differ in every part tell which parts were typed.
    parsed = [_parsed(text, plain, default) for default in (datetime(2024, 1, 1), datetime(2028, 2, 2))]
    if (parsed[0].month, parsed[0].day) != (parsed[1].month, parsed[1].day):
        raise NotADate(phrase('"{typed}" is not a day and a month', typed=text))
    if parsed[0] == parsed[1]:
        return parsed[0]
    day = _meant(parsed[0].day, parsed[0].month, None, typed)
    if day is None:
        raise NotADate(phrase('"{typed}" is not in the calendar of this season\'s years', typed=text))
    return day


def _meant(day: int, month: int, year: int | None, typed: _Typed) -> date | None:
    """The date of a day and a month: without a year inside the season, else the one nearest today; None for no date."""
    years = range(typed.first_day.year - 1, typed.last_day.year + 2) if year is None else (year,)
    same_day = [d for d in (_date(y, month, day) for y in years) if d is not None]
    return typed.nearest(same_day) if same_day else None


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _parsed(text: str, typed: str, default: datetime) -> date:
    try:
        moment = parser(_INFO).parse(typed, default=default)
    except (ParserError, OverflowError):
        raise NotADate(phrase(_NO_DATE, typed=text)) from None
    return moment.date()
