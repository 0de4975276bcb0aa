"""The dates along a time axis."""

from __future__ import annotations

from datetime import date, timedelta

from calendar_tui.screens.kit.canvas import Canvas
from calendar_tui.screens.kit.window import Window
from calendar_tui.season.wording import MONTHS, WEEKDAYS, day_text


def draw_dates(canvas: Canvas, y: int, window: Window, first_year: bool = False, weekday: int = 0) -> None:
    """Dates along a time axis, as fine as there is room for.

    first_year: whether the first of them names its year. weekday: with which a week begins, counted from Monday as 0.
    """
    free = 0
    for n in range(window.days):
        day = window.first + timedelta(days=n)
        columns = window.width / window.days
        # Where days are numbers, the first one on screen has its month.
        text = day_text(day) if not n and 3 <= columns < 7 else _axis_text(day, columns, weekday)
        x = window.column(day)
        if text and first_year and not free and not text.endswith(str(day.year)):
            text = f"{text} {day.year}"
        if text and x >= free and x + len(text) <= window.width:
            canvas.put(x, y, text, "axis")
            free = x + len(text) + 1


def _axis_text(day: date, columns: float, weekday: int) -> str:
    """What the axis says at a day that has this many columns, or ""."""
    if columns >= 7:
        return f"{WEEKDAYS[day.weekday()]} {day.day}" if day.day > 1 else day_text(day)
    if columns >= 3:
        return MONTHS[day.month - 1] if day.day == 1 else str(day.day)
    if columns >= 1:
        return day_text(day) if day.weekday() == weekday else ""
    if day.day != 1:
        return ""
    return f"{MONTHS[day.month - 1]} {day.year}" if day.month == 1 else MONTHS[day.month - 1]
