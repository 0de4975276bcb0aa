"""How dates, hours and spans are worded, the same on every screen and in every table."""

from __future__ import annotations

from datetime import date

from calendar_tui.season.records import Span

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def day_text(day: date) -> str:
    """ "31 Jul"."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def weekday_text(day: date) -> str:
    """ "Fri 31 Jul"."""
    return f"{WEEKDAYS[day.weekday()]} {day_text(day)}"


def full_day_text(day: date) -> str:
    """ "Fri 31 Jul 2026"."""
    return f"{weekday_text(day)} {day.year}"


def hours_text(hours: float) -> str:
    """ "13 h 58", to the nearest minute."""
    minutes = round(hours * 60)
    return f"{minutes // 60} h {minutes % 60:02d}"


def span_text(span: Span) -> str:
    """ "45 d (38-54)"."""
    early, likely, late = (round(n) for n in span)
    return f"{likely} d" if early == late else f"{likely} d ({early}-{late})"


def days_text(days: int) -> str:
    return f"{days} day" if abs(days) == 1 else f"{days} days"


def night_count_text(nights: int) -> str:
    return "1 night" if nights == 1 else f"{nights} nights"


def delay_text(days: int) -> str:
    """ "9 d late", "2 d early", "on the day"."""
    if days == 0:
        return "on the day"
    return f"{days} d late" if days > 0 else f"{-days} d early"


def stage_text(stage: str) -> str:
    """ "lights off" for lights_off."""
    return stage.replace("_", " ")
