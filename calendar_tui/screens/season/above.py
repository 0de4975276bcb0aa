"""Above the cohorts: the sky with its hours, what its levels are, and the time axis."""

from __future__ import annotations

from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.axis import draw_dates
from calendar_tui.screens.kit.canvas import Canvas, Runs, joined, restyled
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.screens.season.columns import heading_runs, zoom_runs
from calendar_tui.screens.season.layout import Layout
from calendar_tui.screens.season.sight import Sight
from calendar_tui.screens.season.sky import (
    Scale,
    draw_hill,
    draw_levels,
    draw_today,
    hour_labels,
    limits_h,
    marks_beside,
    scale_for,
    written_beside,
)
from calendar_tui.season.cells import cut_cells, filled


def above_rows(sight: Sight) -> list[Runs]:
    """The sky and the time axis. Rows that are drawn as before, whichever cohort is selected, are the same objects."""
    look, layout, timeline = sight.look, sight.layout, sight.timeline
    # What the sky shows of a cohort: its limits, and the lamps where it grows.
    about = None if timeline is None else (limits_h(timeline), timeline.stays[-1].light)
    source = (look.window, look.zoom, layout, about)
    rows = list(sight.kept.once("above", source, lambda: _without_cursor(sight)))
    if look.cursor is not None:
        x = layout.label + look.window.column(look.cursor)
        rows[layout.sky] = restyled(rows[layout.sky], x, "cursor")
    return rows


def _without_cursor(sight: Sight) -> list[Runs]:
    plan, look, layout, glyphs, timeline = sight.plan, sight.look, sight.layout, sight.glyphs, sight.timeline
    scale = sight.kept.once("scale", layout.sky, lambda: scale_for(plan, layout.sky))
    canvas = sight.kept.once("hill", (look.window, layout), lambda: _hill(sight, scale)).copy()
    if timeline is not None:
        draw_levels(canvas, plan, timeline, look.window, scale, glyphs)
    draw_today(canvas, plan.today, look.window, scale.rows, glyphs)
    left = [*_hour_column(layout, hour_labels(scale), glyphs), zoom_runs(look.zoom, layout)]
    right = [*_beside(plan, timeline, layout, scale), heading_runs(layout.right)]
    return [joined((*a, *b, *c)) for a, b, c in zip(left, canvas.rows(), right, strict=True)]


def _hill(sight: Sight, scale: Scale) -> Canvas:
    """The hill of natural days over the time axis: the same whichever cohort is selected."""
    window, sky = sight.look.window, sight.layout.sky
    canvas = Canvas(window.width, sky + 1)
    draw_hill(canvas, sight.plan.light, window, scale, sight.glyphs)
    draw_dates(canvas, sky, window, weekday=sight.look.preferences.first_weekday)
    return canvas


def _beside(plan: Plan, timeline: Timeline | None, layout: Layout, scale: Scale) -> list[Runs]:
    """Right of the sky: what the levels in it are, where there is room."""
    width = layout.right.width
    marks = () if timeline is None or not layout.right.next else marks_beside(plan, timeline)
    beside = written_beside(marks, scale)
    texts = ((f" {beside[y].words}", beside[y].style) if y in beside else ("", "") for y in range(scale.rows))
    return [((filled(cut_cells(text, width), width), style),) for text, style in texts]


def _hour_column(layout: Layout, hours: dict[int, int], glyphs: Glyphs) -> list[Runs]:
    out: list[Runs] = []
    for y in range(layout.sky):
        figure = f"{hours[y]} h{glyphs.tick}" if y in hours else glyphs.upright
        name = "day" if y == 0 else ""
        out.append(((name + figure.rjust(layout.label - len(name)), "hours"),))
    return out
