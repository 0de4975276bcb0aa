"""The day-length plot: the site's natural day over the window, with the thresholds of varieties."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from math import ceil, floor
from typing import NamedTuple

from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.canvas import Canvas
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.screens.kit.window import Window, days_of
from calendar_tui.season.records import Variety
from calendar_tui.season.wording import hours_text

_HOUR_STEPS = (1, 2, 3, 4, 6, 12)
_DASH_EVERY, _DOT_EVERY = 4, 12
# Styles of cells that a line's value may be written over.
_FREE = ("", "threshold", "other")


class Scale(NamedTuple):
    """Hours from `low` at the foot to `high` at the top of `rows` rows."""

    low: float
    high: float
    rows: int

    def level(self, hours: float, parts: int) -> int:
        """Which of rows * parts steps, 0 lowest, a day length (h) falls in."""
        steps = self.rows * parts
        return min(max(int((hours - self.low) / (self.high - self.low) * steps), 0), steps - 1)

    def place(self, hours: float, parts: int) -> tuple[int, int]:
        """The row, 0 on top, and the part of it, 0 lowest."""
        up, part = divmod(self.level(hours, parts), parts)
        return self.rows - 1 - up, part

    def row(self, hours: float) -> int:
        """The row, 0 on top."""
        return self.place(hours, 1)[0]


def scale_for(plan: Plan, rows: int) -> Scale:
    """The scale that holds the season's natural days and every variety's thresholds."""
    hours = list(plan.light.natural_h)
    for variety in _short_day(plan):
        hours += (variety.critical_day.likely, variety.full_response_day.likely)
    low, high = floor(min(hours) * 2) / 2, ceil(max(hours) * 2) / 2
    return Scale(low, max(high, low + 1), rows)


def natural_h(light: Light, day: date) -> float | None:
    """The natural day (h), or None outside the season."""
    n = (day - light.first).days
    return light.natural_h[n] if 0 <= n < len(light.natural_h) else None


def draw_plot(canvas: Canvas, plan: Plan, window: Window, scale: Scale, glyphs: Glyphs) -> None:
    """Draw the curve, the thresholds and today's upright onto the top rows."""
    _draw_curve(canvas, plan.light, window, scale, glyphs)
    today = window.column(plan.today)
    for y in range(scale.rows):
        if canvas.blank(today, y):
            canvas.put(today, y, glyphs.upright, "other")
    _draw_thresholds(canvas, plan, scale, glyphs)


def hour_labels(scale: Scale) -> dict[int, int]:
    """The full hours to write, by the row they stand in, at most one a row."""
    hours = range(ceil(scale.low), ceil(scale.high))
    for step in _HOUR_STEPS:
        rows = [scale.row(h) for h in hours if h % step == 0]
        if len(set(rows)) == len(rows):
            return {scale.row(h): h for h in hours if h % step == 0}
    return {}


def _draw_curve(canvas: Canvas, light: Light, window: Window, scale: Scale, glyphs: Glyphs) -> None:
    for x, day in enumerate(days_of(window)):
        hours = natural_h(light, day)
        if hours is not None:
            y, part = scale.place(hours, len(glyphs.curve))
            canvas.put(x, y, glyphs.curve[part], "curve")


def _short_day(plan: Plan) -> Iterator[Variety]:
    """The varieties of the season's cohorts that go by day length."""
    used = {c.variety for c in plan.season.cohorts.values()}
    return (v for v in plan.season.varieties.values() if v.response == "short-day" and v.id in used)


def _draw_thresholds(canvas: Canvas, plan: Plan, scale: Scale, glyphs: Glyphs) -> None:
    """Every variety's critical day, and fainter its full-response day where that row is free.

    The same whichever cohort is selected: redrawing them at each move would cost more than the move.
    """
    critical = _by_row(scale, ((v.id, v.critical_day.likely) for v in _short_day(plan)))
    full = _by_row(scale, ((v.id, v.full_response_day.likely) for v in _short_day(plan)))
    for hours, _ in critical.values():
        _draw_line(canvas, scale, glyphs, hours, _DASH_EVERY, "threshold")
    for y, (hours, _) in full.items():
        if y not in critical:
            _draw_line(canvas, scale, glyphs, hours, _DOT_EVERY, "other")
    for y, (_, texts) in critical.items():
        _write_values(canvas, scale, y, "critical", texts, "threshold", from_left=False)
    for y, (_, texts) in full.items():
        _write_values(canvas, scale, y, "full", texts, "other", from_left=True)


def _by_row(scale: Scale, named: Iterable[tuple[str, float]]) -> dict[int, tuple[float, list[str]]]:
    """The lines to draw, one a row: its day length (h), and the names and values of all in that row."""
    rows: dict[int, tuple[float, list[str]]] = {}
    for name, hours in named:
        rows.setdefault(scale.row(hours), (hours, []))[1].append(f"{name} {hours_text(hours)}")
    return rows


def _draw_line(canvas: Canvas, scale: Scale, glyphs: Glyphs, hours: float, every: int, style: str) -> None:
    """A level line of dashes behind the curve."""
    y, part = scale.place(hours, len(glyphs.curve))
    for x in range(canvas.width):
        if canvas.blank(x, y):
            # The gaps take the style too: one run is cheaper to send than many.
            canvas.put(x, y, " " if x % every else glyphs.curve[part], style)


def _write_values(
    canvas: Canvas, scale: Scale, y: int, name: str, texts: Sequence[str], style: str, *, from_left: bool
) -> None:
    """Write the values of a row's lines: together in their row, else there without `name`, else one by one."""
    together = ", ".join(texts)
    for whole in (f"{name} {together}", together):
        if _write_value(canvas, (y,), whole, style, from_left=from_left):
            return
    rows = [row for row in (y, y + 1, y - 1) if 0 <= row < scale.rows]
    for text in texts:
        _write_value(canvas, rows, f"{name} {text}", style, from_left=from_left)


def _write_value(canvas: Canvas, rows: Sequence[int], text: str, style: str, *, from_left: bool) -> bool:
    """Write a value where the curve leaves room for it in one of these rows, the first best; gives whether."""
    room = len(text) + 2
    starts = range(canvas.width - room + 1)
    for row in rows:
        for x in starts if from_left else reversed(starts):
            if canvas.free(x, row, room, _FREE):
                canvas.put(x, row, f" {text} ", f"{style} value")
                return True
    return False
