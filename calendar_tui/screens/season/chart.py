"""The season view as rows of runs: a plan, a look at it and a size in, text and style names out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from functools import partial
from typing import NamedTuple

from calendar_tui.planning.arranging import Group, Row, groups_of, rows_of
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.waiting import counts_on
from calendar_tui.planning.why.phases import SHORT
from calendar_tui.screens.kit.actions import written
from calendar_tui.screens.kit.axis import draw_dates
from calendar_tui.screens.kit.canvas import Canvas, Runs, fitted, joined, restyled
from calendar_tui.screens.kit.every_key import Key
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.screens.kit.kept import Kept
from calendar_tui.screens.kit.preferences import NO_KEYS
from calendar_tui.screens.kit.window import Window
from calendar_tui.screens.season.arrangement import AS_OPENED, Arrangement
from calendar_tui.screens.season.bands import band_row, draw_lines
from calendar_tui.screens.season.columns import Marks, harvest_runs, heading_runs, label_runs, zoom_runs
from calendar_tui.screens.season.details import (
    NO_CLASHES_YET,
    clash_lines,
    cursor_row,
    detail_rows,
    empty_rows,
)
from calendar_tui.screens.season.layout import Layout, kept_layout
from calendar_tui.screens.season.panes import side_by_side, story_width, work_rows
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
from calendar_tui.season.cells import cell_len, cut_cells, cut_text, filled
from calendar_tui.season.stages import LETTERS
from calendar_tui.season.wording import full_day_text, weekday_text

# Letters of the season's name that stay beside what waits, and beside a notice.
LEAST_NAME, NAME_BESIDE_NOTICE = 10, 20


class Look(NamedTuple):
    """What of a plan is on screen.

    selected and top: numbers of rows. cursor: None on paper. clashes: whether they are told, or are still looked for.
    keys: those that a person has in place of the table's.
    """

    window: Window
    zoom: str
    selected: int
    top: int
    cursor: date | None
    clashes: bool = True
    marked: frozenset[str] = frozenset()
    arrangement: Arrangement = AS_OPENED
    keys: Mapping[str, Key] = NO_KEYS


def kept_groups(kept: Kept, plan: Plan, arrangement: Arrangement) -> tuple[Group, ...]:
    """The groups of an arrangement, made once."""
    source = (arrangement.way, arrangement.words)
    return kept.once("groups", source, lambda: groups_of(plan, *source))


def kept_rows(kept: Kept, plan: Plan, arrangement: Arrangement) -> tuple[Row, ...]:
    """The rows of an arrangement, made once."""
    return kept.once(
        "rows", arrangement, lambda: rows_of(kept_groups(kept, plan, arrangement), arrangement.folded)
    )


def layout_of(kept: Kept, plan: Plan, arrangement: Arrangement, width: int, height: int) -> Layout:
    """The layout of a screen of this size, its footer not counted."""
    # While words are typed, and when a group is folded, all stays where it is.
    groups = kept.once("all groups", arrangement.way, lambda: groups_of(plan, arrangement.way))
    return kept_layout(kept, plan, groups, len(plan.season.cohorts), width, height)


def selected_timeline(plan: Plan, rows: tuple[Row, ...], look: Look) -> Timeline | None:
    """The cohort pointed at; None where there is none, or a folded group."""
    row = rows[look.selected] if 0 <= look.selected < len(rows) else None
    return None if row is None else plan.timelines.get(row.cohort)


def season_rows(
    plan: Plan,
    look: Look,
    width: int,
    height: int,
    glyphs: Glyphs,
    notice: str = "",
    kept: Kept | None = None,
) -> list[Runs]:
    """The season view without its footer: exactly `height` rows of exactly `width` cells.

    kept: what was drawn before. A row that is drawn as it was is the same object.
    """
    kept = Kept() if kept is None else kept
    kept.on(plan, glyphs)
    layout = layout_of(kept, plan, look.arrangement, width, height)
    timeline = selected_timeline(plan, kept_rows(kept, plan, look.arrangement), look)
    waits = kept_waits(kept, plan, look.clashes)
    rows = [title_row(plan, width, glyphs, notice, waits), *chart_rows(plan, look, layout, glyphs, kept)]
    rows += kept.once("legend", (width, layout.legend), lambda: _legend(width, layout.legend, glyphs))
    below = _below(plan, look, layout, timeline, width, glyphs, kept)
    below += [()] * (height - len(rows) - len(below))
    return [*rows, *(fitted(row, width, glyphs.ellipsis) for row in below)][:height]


def _below(
    plan: Plan,
    look: Look,
    layout: Layout,
    timeline: Timeline | None,
    width: int,
    glyphs: Glyphs,
    kept: Kept,
) -> list[Runs]:
    """The line of the day at the cursor, and the selected cohort's dates, reasons and clashes."""
    cursor = look.cursor or plan.today
    below = [cursor_row(plan, timeline, cursor)]
    if not plan.season.cohorts:
        return below + empty_rows(plan.season, width, partial(written, look.keys))
    if timeline is None:
        words = look.arrangement.words.strip()
        none = not kept_rows(kept, plan, look.arrangement)
        return (
            [
                *below,
                ((f'No cohort has "{words}"; {written(look.keys, "past.escape")} shows all.', "detail"),),
            ]
            if none
            else below
        )
    room = story_width(width) - 2 if layout.panes else width
    clashes = _clashes(plan, timeline, look, room, kept)
    story = detail_rows(
        timeline, clashes, cursor, room, layout.detail, glyphs, written(look.keys, "chart.enter")
    )
    if not layout.panes:
        return below + story
    size = width, layout.detail
    work = kept.once("work", size, lambda: work_rows(plan, *size, glyphs, written(look.keys, "season.w")))
    return below + side_by_side(story, work, width, glyphs.ellipsis)


def _clashes(plan: Plan, timeline: Timeline, look: Look, width: int, kept: Kept) -> list[str]:
    if not look.clashes:
        return [NO_CLASHES_YET]
    source = (timeline.cohort.id, width)
    return kept.once("clashes", source, lambda: clash_lines(plan, timeline, width))


def kept_waits(kept: Kept, plan: Plan, clashes: bool) -> str:
    """What waits today, counted once; of clashes nothing while they are not worked out."""
    return kept.once("waits", clashes, lambda: _waits(plan, clashes))


def _waits(plan: Plan, clashes: bool) -> str:
    counts = counts_on(plan.today, plan.season.tasks, plan.clashes if clashes else ())
    return counts.text if clashes or any(counts) else ""


def title_row(plan: Plan, width: int, glyphs: Glyphs, notice: str, waits: str = "") -> Runs:
    """The season's name, today, the notice, and at the right what waits.

    Where there is no room the year goes, then the end of the name, and then of what waits.
    """
    name, beside = plan.season.name, f"  {notice}" if notice else ""
    full = f"  {'' if waits else 'today '}{full_day_text(plan.today)}"
    least = min(cell_len(name), LEAST_NAME if waits else NAME_BESIDE_NOTICE)
    for today, waiting in ((full, waits), *((f"  {weekday_text(plan.today)}", w) for w in _shorter(waits))):
        room = width - len(today) - len(beside) - (len(waiting) + 2 if waiting else 0)
        if room >= (cell_len(name) if today == full else least):
            break
    room = max(room, least)
    name = cut_text(name, room, glyphs.ellipsis)
    left = max(width - cell_len(name) - len(today) - len(beside) - len(waiting), 0)
    runs = (name, "title"), (today, ""), (beside, "notice"), (" " * left, ""), (waiting, "notice")
    return fitted(runs, width, glyphs.ellipsis)


def _shorter(waits: str) -> Iterator[str]:
    """What waits, whole, and without its last parts, one after the other; "" at the end."""
    parts = waits.split(", ")
    return (", ".join(parts[:n]) for n in range(len(parts), -1, -1))


def chart_rows(
    plan: Plan, look: Look, layout: Layout, glyphs: Glyphs, kept: Kept | None = None
) -> list[Runs]:
    """The sky, the time axis and the cohorts on it, each row between its label and its harvest. kept: as for `season_rows`."""
    kept = Kept() if kept is None else kept
    rows = kept_rows(kept, plan, look.arrangement)
    timeline = selected_timeline(plan, rows, look)
    window, scale = look.window, kept.once("scale", layout.sky, lambda: scale_for(plan, layout.sky))
    upper = _kept_sky(plan, timeline, look, layout, scale, glyphs, kept)
    drawn = list(upper)
    if look.cursor is not None:
        x = layout.label + window.column(look.cursor)
        drawn[layout.sky] = restyled(drawn[layout.sky], x, "cursor")
    drawn += _cohort_rows(plan, rows, look, layout, glyphs, kept)
    blank = ((" " * (layout.label + window.width + layout.right.width), ""),)
    return drawn + [blank] * (layout.sky + 1 + layout.rows - len(drawn))


def _kept_sky(
    plan: Plan,
    timeline: Timeline | None,
    look: Look,
    layout: Layout,
    scale: Scale,
    glyphs: Glyphs,
    kept: Kept,
) -> list[Runs]:
    """The sky and the time axis. Rows that are drawn as before, whichever cohort is selected, are the same objects."""
    # What the sky shows of a cohort: its limits, and the lamps where it grows.
    about = None if timeline is None else (limits_h(timeline), timeline.stays[-1].light)
    make = partial(_upper_rows, plan, timeline, look, layout, scale, glyphs, kept)
    return kept.once("upper", (look.window, look.zoom, layout, about), make)


def _upper_rows(
    plan: Plan,
    timeline: Timeline | None,
    look: Look,
    layout: Layout,
    scale: Scale,
    glyphs: Glyphs,
    kept: Kept,
) -> list[Runs]:
    """The sky and the time axis, without the cursor."""
    canvas = kept.once(
        "hill", (look.window, layout), lambda: _hill(plan, look.window, layout, scale, glyphs)
    ).copy()
    if timeline is not None:
        draw_levels(canvas, plan, timeline, look.window, scale, glyphs)
    draw_today(canvas, plan.today, look.window, scale.rows, glyphs)
    left = [*_hour_column(layout, hour_labels(scale), glyphs), zoom_runs(look.zoom, layout)]
    right = [*_beside_sky(plan, timeline, layout, scale), heading_runs(layout.right)]
    return [joined((*a, *b, *c)) for a, b, c in zip(left, canvas.rows(), right, strict=True)]


def _hill(plan: Plan, window: Window, layout: Layout, scale: Scale, glyphs: Glyphs) -> Canvas:
    """The hill of natural days over the time axis: the same whichever cohort is selected."""
    canvas = Canvas(window.width, layout.sky + 1)
    draw_hill(canvas, plan.light, window, scale, glyphs)
    draw_dates(canvas, layout.sky, window)
    return canvas


def _beside_sky(plan: Plan, timeline: Timeline | None, layout: Layout, scale: Scale) -> list[Runs]:
    """Right of the sky: what the levels in it are, where there is room."""
    width = layout.right.width
    marks = () if timeline is None or not layout.right.next else marks_beside(plan, timeline)
    beside = written_beside(marks, scale)
    texts = ((f" {beside[y].words}", beside[y].style) if y in beside else ("", "") for y in range(scale.rows))
    return [((filled(cut_cells(text, width), width), style),) for text, style in texts]


def _cohort_rows(
    plan: Plan, rows: tuple[Row, ...], look: Look, layout: Layout, glyphs: Glyphs, kept: Kept
) -> Iterator[Runs]:
    """The rows on screen. Where one is kept, a move to another cohort makes only the two that it is about anew."""
    last = layout.rows - 1
    for n, row in enumerate(rows[look.top : look.top + layout.rows]):
        marks = Marks(
            look.top + n == look.selected and look.cursor is not None,
            bool(row.cohort) and row.cohort in look.marked,
            look.clashes and kept.once(("warned", row.key), row, partial(warned, plan, row)),
            n == 0 and look.top > 0,
            n == last and look.top + layout.rows < len(rows),
        )
        # At the top of the screen a group is named also where its first rows have gone.
        named = row._replace(first=row.first or n == 0)
        source = (look.window, layout, look.arrangement.way, marks, named)
        make = partial(_row_runs, plan, named, look, marks, layout, glyphs, kept)
        yield kept.once(("row", row.key), source, make)


def warned(plan: Plan, row: Row) -> bool:
    """Whether a cohort of the row has a clash of its own."""
    names = (row.cohort,) if row.cohort else row.group.cohorts
    return any(clash.own == name for name in names for clash in plan.clashes_of(name))


def _row_runs(
    plan: Plan, row: Row, look: Look, marks: Marks, layout: Layout, glyphs: Glyphs, kept: Kept
) -> Runs:
    label = label_runs(plan, row, look.arrangement.way, marks, layout, glyphs)
    band = _folded_band(plan, row.group, look.window, glyphs) if not row.cohort else None
    if band is None:
        source = (look.window, marks.selected)
        timeline = plan.timelines[row.cohort]
        make = partial(band_row, plan, timeline, look.window, glyphs, whole=marks.selected)
        band = kept.once(("band", row.cohort), source, make)
    return joined((*label, *band, *harvest_runs(plan, row, layout.right, glyphs)))


def _folded_band(plan: Plan, group: Group, window: Window, glyphs: Glyphs) -> Runs:
    canvas = Canvas(window.width, 1)
    timelines = [plan.timelines[name] for name in group.cohorts]
    first = window.column(min(t.begun for t in timelines))
    ends = [d for t in timelines if (d := t.likely("harvest") or t.likely("flowering")) is not None]
    last = window.columns(max(ends))[1] if ends else window.width - 1
    canvas.put(first, 0, glyphs.folded * max(last - first + 1, 0), "label")
    draw_lines(canvas, 0, plan.today, window, glyphs, frozenset())
    return canvas.rows()[0]


def _hour_column(layout: Layout, hours: dict[int, int], glyphs: Glyphs) -> list[Runs]:
    out: list[Runs] = []
    for y in range(layout.sky):
        figure = f"{hours[y]} h{glyphs.tick}" if y in hours else glyphs.upright
        name = "day" if y == 0 else ""
        out.append(((name + figure.rjust(layout.label - len(name)), "hours"),))
    return out


def _legend(width: int, most: int, glyphs: Glyphs) -> list[Runs]:
    return [fitted(row, width, glyphs.ellipsis) for row in legend_rows(width, glyphs, most)]


def legend_rows(width: int, glyphs: Glyphs, most: int) -> list[Runs]:
    """What the fills, capitals, brackets and letters mean, in at most this many rows; the rest is left out."""
    items = [f"{glyphs.phases[key] * 2} {name}" for key, name in SHORT.items()]
    items += [f"{glyphs.outage} lamps failed", "CAPITAL recorded"]
    # The later stages first: where there is little room it is they that are looked for.
    items += [f"{small} {name.replace('_', ' ')}" for name, small in reversed([*LETTERS.items()])]
    items += ["( ) [ ] earliest, latest"]
    lines = [""]
    for item in items:
        longer = f"{lines[-1]}  {item}" if lines[-1] else item
        if len(longer) <= width:
            lines[-1] = longer
        else:
            lines.append(item)
    return [((line, "legend"),) for line in lines[:most]]
