"""Weeks by ISO 8601."""

from __future__ import annotations

from datetime import date, timedelta

_SINCE_MONDAY = tuple(timedelta(days=n) for n in range(7))


def iso_week(day: date) -> str:
    """The week of a day by ISO 8601: "2026-W53" for 1 January 2027."""
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"


def monday_of(day: date) -> date:
    """The first day of a day's ISO week."""
    return day - _SINCE_MONDAY[day.weekday()]


def first_of_week(day: date, begins: int = 0) -> date:
    """The first day of the week that holds a day. begins: its weekday, counted from Monday as 0."""
    return day - _SINCE_MONDAY[(day.weekday() - begins) % 7]
