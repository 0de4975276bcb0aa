"""The season view as rows of runs: a plan, a look at it and a size in, text and style names out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from typing import TYPE_CHECKING

from calendar_tui.planning.arranging import Group, Row
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.actions import written
from calendar_tui.screens.kit.canvas import Canvas, Runs, fitted, joined
from calendar_tui.screens.kit.closed import closed_places, closure_over
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.screens.kit.kept import Kept
from calendar_tui.screens.season.above import above_rows
from calendar_tui.screens.season.bands import band_row, draw_lines
from calendar_tui.screens.season.columns import Marks, harvest_runs, label_runs
from calendar_tui.screens.season.details import (
    NO_CLASHES_YET,
    clash_lines,
    cursor_row,
    detail_rows,
    empty_rows,
)
from calendar_tui.screens.season.legend import legend_rows
from calendar_tui.screens.season.panes import side_by_side, story_width, work_rows
from calendar_tui.screens.season.sight import Look, Sight, layout_of, sight_of
from calendar_tui.screens.season.title import kept_waits, title_row

if TYPE_CHECKING:
    from calendar_tui.planning.spraying.closures import Closure


def season_rows(
    plan: Plan,
    look: Look,
    width: int,
    height: int,
    glyphs: Glyphs,
    notice: str = "",
    aside: str = "",
    kept: Kept | None = None,
) -> list[Runs]:
    """The season view without its footer: exactly `height` rows of exactly `width` cells.

    notice, aside: beside the title. kept: what was drawn before. A row that is drawn as it was is the same object.
    """
    kept = Kept() if kept is None else kept
    kept.on(plan, glyphs)
    layout = layout_of(kept, plan, look.arrangement, width, height)
    sight = sight_of(plan, look, layout, glyphs, kept)
    waits = kept_waits(kept, plan, look.clashes)
    rows = [title_row(plan, width, glyphs, waits, notice, aside), *chart_rows(sight)]
    rows += kept.once("legend", (width, layout.legend), lambda: _legend(width, layout.legend, glyphs))
    below = _below(sight, width)
    below += [()] * (height - len(rows) - len(below))
    return [*rows, *(fitted(row, width, glyphs.ellipsis) for row in below)][:height]


def _legend(width: int, most: int, glyphs: Glyphs) -> list[Runs]:
    return [fitted(row, width, glyphs.ellipsis) for row in legend_rows(width, glyphs, most)]


# --- the sky and the cohorts


def chart_rows(sight: Sight) -> list[Runs]:
    """The sky, the time axis and the cohorts on it, each row between its label and its harvest."""
    layout = sight.layout
    drawn = [*above_rows(sight), *_cohort_rows(sight)]
    blank = ((" " * (layout.label + sight.look.window.width + layout.right.width), ""),)
    return drawn + [blank] * (layout.sky + 1 + layout.rows - len(drawn))


def _cohort_rows(sight: Sight) -> Iterator[Runs]:
    """The rows on screen. Where one is kept, a move to another cohort makes only the two that it is about anew."""
    plan, look, layout, _, kept, rows = sight
    last = layout.rows - 1
    closed = _closed(sight)
    names = {place.id for light in closed if (place := plan.season.place_of(light)) is not None}
    for n, row in enumerate(rows[look.top : look.top + layout.rows]):
        marks = Marks(
            look.top + n == look.selected and look.cursor is not None,
            bool(row.cohort) and row.cohort in look.marked,
            look.clashes and kept.once(("warned", row.key), row, partial(warned, plan, row)),
            n == 0 and look.top > 0,
            n == last and look.top + layout.rows < len(rows),
            kept.once(("closed", row.key), row, partial(closed_row, plan, row, closed)),
            look.arrangement.way == "place" and row.group.name in names,
        )
        # At the top of the screen a group is named also where its first rows have gone.
        named = row._replace(first=row.first or n == 0)
        source = (look.window, layout, look.arrangement.way, marks, named)
        yield kept.once(("row", row.key), source, partial(_row_runs, sight, named, marks))


def _closed(sight: Sight) -> Mapping[str, Closure]:
    """The closures of today, worked out once for a plan."""
    return sight.kept.once("closed places", sight.plan.today, partial(closed_places, sight.plan))


def warned(plan: Plan, row: Row) -> bool:
    """Whether a cohort of the row has a clash of its own."""
    names = (row.cohort,) if row.cohort else row.group.cohorts
    return any(clash.own == name for name in names for clash in plan.clashes_of(name))


def closed_row(plan: Plan, row: Row, closed: Mapping[str, Closure]) -> Closure | None:
    """The closure in which the cohort of a row stands today, or the first of a folded group's."""
    if not closed:
        return None
    return next(iter(closure_over(plan, (row.cohort,) if row.cohort else row.group.cohorts, closed)), None)


def _row_runs(sight: Sight, row: Row, marks: Marks) -> Runs:
    plan, look, layout, glyphs, kept, _ = sight
    label = label_runs(plan, row, look.arrangement.way, marks, layout, glyphs)
    if row.cohort:
        timeline = plan.timelines[row.cohort]
        make = partial(band_row, plan, timeline, look.window, glyphs, whole=marks.selected)
        band = kept.once(("band", row.cohort), (look.window, marks.selected), make)
    else:
        band = _folded_band(sight, row.group)
    return joined((*label, *band, *harvest_runs(plan, row, layout.right, glyphs, marks.closed)))


def _folded_band(sight: Sight, group: Group) -> Runs:
    plan, window, glyphs = sight.plan, sight.look.window, sight.glyphs
    canvas = Canvas(window.width, 1)
    timelines = [plan.timelines[name] for name in group.cohorts]
    first = window.column(min(t.begun for t in timelines))
    ends = [d for t in timelines if (d := t.likely("harvest") or t.likely("flowering")) is not None]
    last = window.columns(max(ends))[1] if ends else window.width - 1
    canvas.put(first, 0, glyphs.folded * max(last - first + 1, 0), "label")
    draw_lines(canvas, 0, plan.today, window, glyphs, frozenset())
    return canvas.rows()[0]


# --- what stands below them


def _below(sight: Sight, width: int) -> list[Runs]:
    """The line of the day at the cursor, and the selected cohort's dates, reasons and clashes."""
    plan, look, layout, glyphs, timeline = sight.plan, sight.look, sight.layout, sight.glyphs, sight.timeline
    cursor, key = look.cursor or plan.today, partial(written, look.preferences.keys)
    below = [cursor_row(plan, timeline, cursor)]
    if not plan.season.cohorts:
        return below + empty_rows(plan.season, width, key)
    if timeline is None:
        words = look.arrangement.words.strip()
        none = ((f'No cohort has "{words}"; {key("past.escape")} shows all.', "detail"),)
        return below if sight.rows else [*below, none]
    room = story_width(width) - 2 if layout.panes else width
    clashes = _clashes(sight, timeline, room)
    story = detail_rows(timeline, clashes, cursor, room, layout.detail, glyphs, key("chart.enter"))
    if not layout.panes:
        return below + story
    size = width, layout.detail
    weekday = look.preferences.first_weekday
    work = sight.kept.once("work", size, lambda: work_rows(plan, *size, glyphs, weekday, key("season.w")))
    return below + side_by_side(story, work, width, glyphs.ellipsis)


def _clashes(sight: Sight, timeline: Timeline, width: int) -> list[str]:
    if not sight.look.clashes:
        return [NO_CLASHES_YET]
    source = (timeline.cohort.id, width)
    return sight.kept.once(
        "clashes", source, lambda: clash_lines(sight.plan, timeline, _closed(sight), width)
    )
