"""The season view as rows of runs: a plan, a look at it and a size in, text and style names out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.why.phases import LETTERS, PHASES
from calendar_tui.screens.kit.canvas import Canvas, Row, fitted, joined
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.screens.kit.window import Window
from calendar_tui.screens.season.bands import draw_band
from calendar_tui.screens.season.details import cursor_row, detail_rows, empty_rows
from calendar_tui.screens.season.plot import draw_plot, hour_labels, scale_for
from calendar_tui.season.wording import MONTHS, WEEKDAYS, day_text, full_day_text

SMALLEST = (60, 16)
# Letters of the season's name that stay, whatever stands beside it.
LEAST_NAME = 20
# Title, time axis and the line of the day at the cursor.
_FIXED_ROWS = 3
# Rows of the legend, by the height from which there is room for them.
_LEGEND = ((36, 3), (30, 2))
_LABEL_WIDE_FROM = 110
_PLOT_MOST = 14
_LABEL_LEAST, _LABEL_MOST, _LABEL_WIDE = 9, 13, 26


@dataclass(frozen=True, slots=True)
class Look:
    """What of a plan is on screen. selected and top: places in the list of cohorts; cursor: None on paper."""

    window: Window
    zoom: str
    selected: int
    top: int
    cursor: date | None


class Layout(NamedTuple):
    """Rows of each part of the season view, and the cells of its label column."""

    label: int
    plot: int
    cohorts: int
    legend: int
    detail: int

    @property
    def first_cohort(self) -> int:
        """The row of the first cohort."""
        return 2 + self.plot


def lay(plan: Plan, width: int, height: int) -> Layout:
    """Divide a screen of this size, its footer not counted."""
    body = height - _FIXED_ROWS
    # Details change at each move to another cohort: few lines of them keep that cheap on a small screen.
    plot, detail = (4, 4) if height < 21 else (6, 5)
    legend = next((rows for least, rows in _LEGEND if height >= least), 0)
    cohorts = min(len(plan.season.cohorts), body - plot - detail - legend)
    spare = body - plot - cohorts - legend - detail
    plot += min(spare if height < _LEGEND[-1][0] else spare // 2, _PLOT_MOST - plot)
    return Layout(_label_width(plan, width), plot, cohorts, legend, body - plot - cohorts - legend)


def _label_width(plan: Plan, width: int) -> int:
    most = _LABEL_MOST if width < _LABEL_WIDE_FROM else _LABEL_WIDE
    needed = max((len(c.id) + len(c.variety) for c in plan.season.cohorts.values()), default=0) + 4
    return min(max(needed, _LABEL_LEAST), most)


def selected_timeline(plan: Plan, look: Look) -> Timeline | None:
    timelines = list(plan.timelines.values())
    return timelines[look.selected] if 0 <= look.selected < len(timelines) else None


def season_rows(
    plan: Plan, look: Look, width: int, height: int, glyphs: Glyphs, notice: str = "", file_name: str = ""
) -> list[Row]:
    """The season view without its footer: exactly `height` rows of exactly `width` cells."""
    layout = lay(plan, width, height)
    timeline = selected_timeline(plan, look)
    cursor = look.cursor or plan.today
    rows = [title_row(plan, width, glyphs, notice), *chart_rows(plan, look, layout, glyphs)]
    rows += legend_rows(width, glyphs, layout.legend)
    rows.append(cursor_row(plan, timeline, cursor))
    if timeline is None:
        rows += empty_rows(file_name, width)
    else:
        rows += detail_rows(plan, timeline, cursor, width, layout.detail, glyphs)
    rows += [()] * (height - len(rows))
    return [fitted(row, width, glyphs.ellipsis) for row in rows[:height]]


def title_row(plan: Plan, width: int, glyphs: Glyphs, notice: str) -> Row:
    """The season's name, today, and the notice; where there is no room the name gives way, but for its beginning."""
    today = f"  today {full_day_text(plan.today)}"
    said = f"  {notice}" if notice else ""
    room = max(width - len(today) - len(said), LEAST_NAME)
    name = plan.season.name
    if len(name) > room:
        name = name[: room - len(glyphs.ellipsis)] + glyphs.ellipsis
    return fitted(((name, "title"), (today, ""), (said, "notice")), width, glyphs.ellipsis)


def chart_rows(plan: Plan, look: Look, layout: Layout, glyphs: Glyphs) -> list[Row]:
    """The plot, the time axis and the cohorts on it, each row led by its label."""
    window, scale = look.window, scale_for(plan, layout.plot)
    timelines = list(plan.timelines.values())[look.top : look.top + layout.cohorts]
    canvas = Canvas(window.width, layout.plot + 1 + layout.cohorts)
    draw_plot(canvas, plan, window, scale, glyphs, look.cursor)
    _draw_axis(canvas, layout.plot, window, plan.today, glyphs)
    for y, one in enumerate(timelines, layout.plot + 1):
        draw_band(canvas, y, plan, one, window, glyphs)
    if look.cursor is not None:
        canvas.restyle(window.column(look.cursor), layout.plot, "cursor")
    labels = [*_hour_column(layout, hour_labels(scale), glyphs), ((look.zoom.ljust(layout.label), "label"),)]
    labels += [_cohort_label(plan, look, layout, i, glyphs) for i in range(len(timelines))]
    return [joined((*label, *row)) for label, row in zip(labels, canvas.rows(), strict=True)]


def _hour_column(layout: Layout, hours: dict[int, int], glyphs: Glyphs) -> list[Row]:
    out: list[Row] = []
    for y in range(layout.plot):
        figure = f"{hours[y]} h{glyphs.tick}" if y in hours else glyphs.upright
        name = "day" if y == 0 else ""
        out.append(((name + figure.rjust(layout.label - len(name)), "hours"),))
    return out


def _cohort_label(plan: Plan, look: Look, layout: Layout, n: int, glyphs: Glyphs) -> Row:
    """The cohort's id and variety; the selected one pointed at; arrows where there are more above or below."""
    cohort = list(plan.season.cohorts.values())[look.top + n]
    more_above = n == 0 and look.top > 0
    more_below = n == layout.cohorts - 1 and look.top + layout.cohorts < len(plan.season.cohorts)
    arrow = glyphs.up if more_above else glyphs.down if more_below else " "
    selected = look.top + n == look.selected and look.cursor is not None
    pointer = glyphs.pointer if selected else " "
    name = f"{pointer}{cohort.id} {cohort.variety}"[: layout.label - 2].ljust(layout.label - 2)
    return ((name, "pointed" if selected else "label"), (f"{arrow} ", "label"))


def _draw_axis(canvas: Canvas, y: int, window: Window, today: date, glyphs: Glyphs) -> None:
    draw_dates(canvas, y, window)
    # Today's mark stands at the foot of the plot, so that the dates stay legible.
    canvas.put(window.column(today), y - 1, glyphs.today, "today")


def draw_dates(canvas: Canvas, y: int, window: Window) -> None:
    """Dates along a time axis, as fine as there is room for."""
    free = 0
    for n in range(window.days):
        day = window.first + timedelta(days=n)
        text = _axis_text(day, window.width / window.days)
        x = window.column(day)
        if text and x >= free and x + len(text) <= window.width:
            canvas.put(x, y, text, "axis")
            free = x + len(text) + 1


def _axis_text(day: date, columns: float) -> str:
    """What the axis says at a day that has this many columns, or ""."""
    if columns >= 7:
        return f"{WEEKDAYS[day.weekday()]} {day.day}" if day.day > 1 else day_text(day)
    if columns >= 3:
        return MONTHS[day.month - 1] if day.day == 1 else str(day.day)
    if columns >= 1:
        return day_text(day) if day.weekday() == 0 else ""
    if day.day != 1:
        return ""
    return f"{MONTHS[day.month - 1]} {day.year}" if day.month == 1 else MONTHS[day.month - 1]


def legend_rows(width: int, glyphs: Glyphs, most: int) -> list[Row]:
    """What the fills, capitals, brackets and letters mean, in at most this many rows; the rest is left out."""
    items = [f"{glyphs.phases[key] * 2} {name}" for key, name in PHASES.items()]
    items += ["CAPITAL recorded", "( ) [ ] earliest, latest"]
    items += [f"{small} {name.replace('_', ' ')}" for name, small in LETTERS.items()]
    lines = [""]
    for item in items:
        longer = f"{lines[-1]}  {item}" if lines[-1] else item
        if len(longer) <= width:
            lines[-1] = longer
        else:
            lines.append(item)
    return [((line, "legend"),) for line in lines[:most]]
