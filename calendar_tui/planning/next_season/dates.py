"""Dates of one season on the same dates of a later one, and its name."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from typing import Any

from calendar_tui.season.records import Season

_A_DAY = timedelta(days=1)
# "2026", "2026-27", "2026/2027"
_YEARS = re.compile(r"(?<!\d)(\d{4})(?:([-/–])(\d{4}|\d{2}))?(?!\d)")


def years_on(day: date, years: int) -> date:
    """The same date so many years later: day and month stay, and the weekday moves. 29 Feb becomes 1 Mar where there is none."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return date(day.year + years, 3, 1)


def last_on(day: date, years: int) -> date:
    """The same for the last day of a period, so that what begins on the day after it still does: 28 Feb may become 29 Feb."""
    return years_on(day + _A_DAY, years) - _A_DAY


def is_date(value: Any) -> bool:
    """Whether a value of a season file is a date of the local calendar, and not a moment."""
    return isinstance(value, date) and not isinstance(value, datetime)


def moved(value: Any, years: int) -> Any:
    """A value with every date in it so many years later; lists and tables too. The same object where it holds none."""
    if is_date(value):
        return years_on(value, years)
    if isinstance(value, list):
        new_list = [moved(part, years) for part in value]
        return value if new_list == value else new_list
    if isinstance(value, dict):
        new = {key: moved(part, years) for key, part in value.items()}
        return value if new == value else new
    return value


def name_on(season: Season, years: int) -> str:
    """The season's name with its years so much later; with the years behind it where it names none."""
    of_season = range(season.first_day.year, season.last_day.year + 1)

    def later(match: re.Match[str]) -> str:
        if int(match[1]) not in of_season:
            return match[0]
        first = str(int(match[1]) + years)
        if not match[2]:
            return first
        digits = len(match[3])
        return f"{first}{match[2]}{(int(match[3]) + years) % 10**digits:0{digits}d}"

    name = _YEARS.sub(later, season.name)
    return name if name != season.name else f"{season.name} {_years_text(season, years)}"


def _years_text(season: Season, years: int) -> str:
    first, last = season.first_day.year + years, season.last_day.year + years
    return str(first) if first == last else f"{first}-{last % 100:02d}"
