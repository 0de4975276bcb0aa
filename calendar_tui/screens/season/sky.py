"""The day over the plants: the site's natural day as a hill, with the selected cohort's limits and lamps."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from math import ceil, floor
from typing import NamedTuple

from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.canvas import Canvas
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.screens.kit.hill import draw_day
from calendar_tui.screens.kit.window import Window, days_in
from calendar_tui.season.wording import hours_text

_HOUR_STEPS = (1, 2, 3, 4, 6, 12)
_DASH_EVERY = 2
# Lamps may make a day of 24 h: no more of it is drawn than so many hours over the longest natural day or limit.
_MOST_OVER_H = 2.5


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


class Mark(NamedTuple):
    """A level that is named beside the sky: a day length (h), its words, and the style of both."""

    hours: float
    words: str
    style: str


def scale_for(plan: Plan, rows: int) -> Scale:
    """The scale that holds the season's natural days, the limits of its varieties, and the days that lamps make."""
    hours = list(plan.light.natural_h)
    for timeline in plan.timelines.values():
        hours += limits_h(timeline)
    low, high = floor(min(hours) * 2) / 2, ceil(max(hours) * 2) / 2
    lights = {t.stays[-1].light for t in plan.timelines.values()}
    felt = max((max(plan.light.places[name].felt_h, default=0.0) for name in lights), default=0.0)
    high = max(high, min(ceil(felt * 2) / 2 + 0.5, high + _MOST_OVER_H))
    return Scale(low, max(high, low + 1), rows)


def limits_h(timeline: Timeline | None) -> tuple[float, ...]:
    """The day lengths (h) that decide about a cohort: critical day and full response; none where it goes by age, or is none."""
    if timeline is None or timeline.variety.response == "day-neutral":
        return ()
    return timeline.variety.critical_day.likely, timeline.variety.full_response_day.likely


def natural_h(light: Light, day: date) -> float | None:
    """The natural day (h), or None outside the season."""
    n = (day - light.first).days
    return light.natural_h[n] if 0 <= n < len(light.natural_h) else None


def draw_levels(
    canvas: Canvas, plan: Plan, timeline: Timeline, window: Window, scale: Scale, glyphs: Glyphs
) -> None:
    """Draw a cohort's limits, and the days that lamps make, over the hill.

    A limit is seen where the hill does not reach it: there the day is short enough.
    """
    _draw_lamps(canvas, plan, timeline, window, scale, glyphs)
    for mark in limit_marks(timeline):
        _draw_level(canvas, mark, scale, glyphs)


def draw_today(canvas: Canvas, today: date, window: Window, rows: int, glyphs: Glyphs) -> None:
    """Today's line, where nothing else stands in so many rows."""
    x = window.column(today)
    for y in range(rows):
        if canvas.blank(x, y):
            canvas.put(x, y, glyphs.upright, "today")


def limit_marks(timeline: Timeline) -> tuple[Mark, ...]:
    """The levels of a cohort's limits, named."""
    names = ("critical day", "threshold"), ("full response", "other")
    return tuple(
        Mark(hours, f"{name} {hours_text(hours)}", style)
        for hours, (name, style) in zip(limits_h(timeline), names, strict=False)
    )


def marks_beside(plan: Plan, timeline: Timeline) -> tuple[Mark, ...]:
    """What is named beside the sky, what matters most first: the cohort's limits and the longest day under the lamps where it grows."""
    lit = max((felt for _, felt in _lit_days(plan, timeline)), default=0.0)
    light = timeline.stays[-1].light
    lamps = (Mark(lit, f"lamps in {light} {hours_text(lit)}", "lamps"),) if lit else ()
    return (*limit_marks(timeline), *lamps)


def written_beside(marks: tuple[Mark, ...], scale: Scale) -> dict[int, Mark]:
    """Each mark by the row it is written in: its own or, where that is taken, the nearest free one."""
    rows: dict[int, Mark] = {}
    for mark in marks:
        own = scale.row(mark.hours)
        free = sorted((y for y in range(scale.rows) if y not in rows), key=lambda y: abs(y - own))
        if free:
            rows[free[0]] = mark
    return rows


def hour_labels(scale: Scale) -> dict[int, int]:
    """The full hours to write, by the row they stand in, at most one a row."""
    hours = range(ceil(scale.low), ceil(scale.high))
    for step in _HOUR_STEPS:
        rows = [scale.row(h) for h in hours if h % step == 0]
        if len(set(rows)) == len(rows):
            return {scale.row(h): h for h in hours if h % step == 0}
    return {}


def draw_hill(canvas: Canvas, light: Light, window: Window, scale: Scale, glyphs: Glyphs) -> None:
    """Draw the natural days onto the top rows."""
    for x, day in enumerate(days_in(window)):
        hours = natural_h(light, day)
        if hours is not None:
            draw_day(canvas, x, scale.rows, scale.level(hours, len(glyphs.curve)), glyphs)


def _lit_days(plan: Plan, timeline: Timeline) -> Iterator[tuple[int, float]]:
    """The days of the season, by number, on which lamps lengthen the day where a cohort grows: the day felt there (h).

    The same for all cohorts of a place: redrawing them at each move would cost more than the move.
    """
    natural, felt = plan.light.natural_h, plan.light.places[timeline.stays[-1].light].felt_h
    return ((n, hours) for n, hours in enumerate(felt) if hours > natural[n])


def _draw_lamps(
    canvas: Canvas, plan: Plan, timeline: Timeline, window: Window, scale: Scale, glyphs: Glyphs
) -> None:
    felt = dict(_lit_days(plan, timeline))
    for x, day in enumerate(days_in(window)):
        hours = felt.get((day - plan.light.first).days)
        if hours is not None:
            y, part = scale.place(hours, len(glyphs.curve))
            if canvas.blank(x, y):
                canvas.put(x, y, glyphs.curve[part], "lamps")


def _draw_level(canvas: Canvas, mark: Mark, scale: Scale, glyphs: Glyphs) -> None:
    """A level line of dashes behind the hill."""
    y, part = scale.place(mark.hours, len(glyphs.curve))
    for x in range(canvas.width):
        if canvas.blank(x, y):
            # The gaps take the style too: one run is cheaper to send than many.
            canvas.put(x, y, " " if x % _DASH_EVERY else glyphs.curve[part], mark.style)
