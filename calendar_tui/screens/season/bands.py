"""One cohort as a bar on the time axis: a fill for each phase, a letter for each stage that is drawn.

A bar is calm: four letters at most. The selected cohort's has every letter, and brackets for its ranges.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from functools import lru_cache
from itertools import groupby

from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.why.phases import covered_on, letter, phases_on, stands_past_harvest
from calendar_tui.screens.kit.canvas import Canvas, Runs
from calendar_tui.screens.kit.glyphs import BRACKETS, Glyphs
from calendar_tui.screens.kit.window import Window, days_in
from calendar_tui.season.stages import RANKED

# Drawn with the fill of covers where they lie, in the phase's own colour: what plants feel matters most up to flowering.
_UNDER_COVERS = ("nursery", "run", "induced")
_CALM_LETTERS = 4
# What has not happened to a cohort of which something is left to cut, though its projected day is behind.
_NOT_YET = ("harvest", "dried")


def band_row(plan: Plan, timeline: Timeline, window: Window, glyphs: Glyphs, *, whole: bool = False) -> Runs:
    """One cohort as a row of its own, as wide as the window. whole: with every letter and range."""
    canvas = Canvas(window.width, 1)
    draw_band(canvas, 0, plan, timeline, window, glyphs, whole=whole)
    return canvas.rows()[0]


def draw_band(
    canvas: Canvas,
    y: int,
    plan: Plan,
    timeline: Timeline,
    window: Window,
    glyphs: Glyphs,
    *,
    whole: bool = False,
) -> None:
    """Draw one cohort on row y, with the lines of the months and of today."""
    _draw_fills(canvas, y, plan, timeline, window, glyphs)
    if whole:
        _draw_ranges(canvas, y, timeline, window)
    dark = _dark_columns(plan, timeline, window)
    for x in dark:
        canvas.put(x, y, glyphs.outage, "outage")
    taken: set[int] = set()
    gone = _NOT_YET if stands_past_harvest(plan, timeline) else ()
    for stage, day in _dates(timeline) if whole else _calm_dates(timeline):
        if stage.stage in gone:
            continue
        _write(canvas, y, stage, window.columns(day), taken, dark)
    draw_lines(canvas, y, plan.today, window, glyphs, taken | dark)


def draw_lines(
    canvas: Canvas, y: int, today: date, window: Window, glyphs: Glyphs, taken: set[int] | frozenset[int]
) -> None:
    """The lines of the months behind a row, and today's before it but for the cells that are taken."""
    for x in month_columns(window):
        if canvas.blank(x, y):
            canvas.put(x, y, glyphs.month)
    # The gaps take the style too: one run is cheaper to send than many.
    canvas.ground(y, (" ", glyphs.month), "other")
    x = window.column(today)
    if x in taken:
        canvas.restyle(x, y, "today")
    else:
        canvas.put(x, y, glyphs.upright, "today")


@lru_cache(maxsize=4)
def month_columns(window: Window) -> tuple[int, ...]:
    """The columns of the first days of months."""
    days = (window.first + timedelta(days=n) for n in range(window.days))
    return tuple(window.column(day) for day in days if day.day == 1)


def _draw_fills(
    canvas: Canvas, y: int, plan: Plan, timeline: Timeline, window: Window, glyphs: Glyphs
) -> None:
    x = 0
    for (fill, phase), alike in groupby(_fills(plan, timeline, days_in(window))):
        width = sum(1 for _ in alike)
        if phase is not None:
            canvas.put(x, y, glyphs.phases[fill] * width, phase)
        x += width


def _draw_ranges(canvas: Canvas, y: int, timeline: Timeline, window: Window) -> None:
    for name, (opening, closing) in BRACKETS.items():
        stage = timeline.stages.get(name)
        if stage is not None and stage.earliest < stage.latest:
            canvas.put(window.columns(stage.earliest)[0], y, opening, "range")
            canvas.put(window.columns(stage.latest)[1], y, closing, "range")


def _fills(plan: Plan, timeline: Timeline, days: Sequence[date]) -> Iterator[tuple[str, str | None]]:
    """For each day the phase whose fill is drawn, and the phase whose colour it has; None for the latter where neither is."""
    stays = timeline.stays
    for day, phase in zip(days, phases_on(plan, timeline, days), strict=True):
        covered = phase in _UNDER_COVERS and covered_on(plan, stays, day)
        yield ("covers" if covered else phase or "", phase)


def _dark_columns(plan: Plan, timeline: Timeline, window: Window) -> set[int]:
    """The columns of the nights on which the lamps failed where the cohort stood, at every zoom."""
    columns: set[int] = set()
    for outage in plan.season.outages:
        from calendar_tui.planning.lamps.dark_nights import nights_there

        for n in nights_there(timeline, plan.light, outage):
            day = plan.light.first + timedelta(days=n)
            if 0 <= (day - window.first).days < window.days:
                first, last = window.columns(day)
                columns.update(range(first, last + 1))
    return columns


def _write(
    canvas: Canvas, y: int, stage: StageDate, columns: tuple[int, int], taken: set[int], dark: set[int]
) -> None:
    """Write a stage's letter in the first free column of its day; where all are taken it is left out.

    dark: columns of nights without lamps, which stay seen behind a letter.
    """
    at = next((x for x in range(columns[0], columns[1] + 1) if x not in taken), None)
    if at is not None:
        taken.add(at)
        # What is not recorded stays in the phase's colour: one run is cheaper to send than many.
        style = "recorded" if stage.status == "recorded" else canvas.style(at, y)
        canvas.put(at, y, letter(stage), "outage" if at in dark else style)


def _dates(timeline: Timeline) -> Iterator[tuple[StageDate, date]]:
    """Every stage and each of its dates, the most telling first."""
    for name in RANKED:
        stage = timeline.stages.get(name)
        for day in () if stage is None else stage.dates or (stage.likely,):
            assert stage is not None
            yield stage, day


def _calm_dates(timeline: Timeline) -> Iterator[tuple[StageDate, date]]:
    """The most telling stages: the trigger only where no lights off tells it."""
    stages = timeline.stages
    telling = [
        name for name in RANKED if name in stages and not (name == "trigger" and "lights_off" in stages)
    ]
    return ((stages[name], stages[name].likely) for name in telling[:_CALM_LETTERS])
