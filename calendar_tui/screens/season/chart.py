"""The season view as rows of runs: a plan, a look at it and a size in, text and style names out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import partial
from typing import NamedTuple

from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.waiting import counts_on
from calendar_tui.planning.why.phases import PHASES
from calendar_tui.screens.kit.axis import draw_dates
from calendar_tui.screens.kit.canvas import Canvas, Runs, fitted, joined, restyled
from calendar_tui.screens.kit.glyphs import MARKED, Glyphs
from calendar_tui.screens.kit.kept import Kept
from calendar_tui.screens.kit.window import Window
from calendar_tui.screens.season.bands import band_row
from calendar_tui.screens.season.details import (
    NO_CLASHES_YET,
    clash_lines,
    cursor_row,
    detail_rows,
    empty_rows,
)
from calendar_tui.screens.season.plot import Scale, draw_plot, hour_labels, natural_h, scale_for
from calendar_tui.season.records import Cohort
from calendar_tui.season.stages import LETTERS
from calendar_tui.season.wording import full_day_text

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


class Look(NamedTuple):
    """What of a plan is on screen.

    selected and top: places in the list of cohorts; cursor: None on paper. clashes: whether they are told, or are still
    looked for.
    """

    window: Window
    zoom: str
    selected: int
    top: int
    cursor: date | None
    clashes: bool = True
    marked: frozenset[str] = frozenset()


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


def kept_layout(kept: Kept, plan: Plan, width: int, height: int) -> Layout:
    """The layout of a screen of this size, divided once."""
    return kept.once("layout", (width, height), lambda: lay(plan, width, height))


def season_rows(
    plan: Plan,
    look: Look,
    width: int,
    height: int,
    glyphs: Glyphs,
    notice: str = "",
    file_name: str = "",
    kept: Kept | None = None,
) -> list[Runs]:
    """The season view without its footer: exactly `height` rows of exactly `width` cells.

    kept: what was drawn before. A row that is drawn as it was is the same object.
    """
    kept = Kept() if kept is None else kept
    kept.on(plan, glyphs)
    layout = kept_layout(kept, plan, width, height)
    timeline = selected_timeline(plan, look)
    cursor = look.cursor or plan.today
    waits = kept.once("waits", look.clashes, lambda: _waits(plan, look))
    rows = [title_row(plan, width, glyphs, notice, waits), *chart_rows(plan, look, layout, glyphs, kept)]
    rows += kept.once("legend", (width, layout.legend), lambda: _legend(width, layout.legend, glyphs))
    below = [cursor_row(plan, timeline, cursor)]
    if timeline is None:
        below += empty_rows(file_name, width)
    else:
        clashes = _clashes(plan, timeline, look, width, kept)
        below += detail_rows(timeline, clashes, cursor, width, layout.detail, glyphs)
    below += [()] * (height - len(rows) - len(below))
    return [*rows, *(fitted(row, width, glyphs.ellipsis) for row in below)][:height]


def _clashes(plan: Plan, timeline: Timeline, look: Look, width: int, kept: Kept) -> list[str]:
    if not look.clashes:
        return [NO_CLASHES_YET]
    source = (timeline.cohort.id, width)
    return kept.once("clashes", source, lambda: clash_lines(plan, timeline, width))


def _waits(plan: Plan, look: Look) -> str:
    """What waits today; of warnings nothing while they are not worked out."""
    return counts_on(plan.today, plan.season.tasks, plan.clashes if look.clashes else ()).text


def title_row(plan: Plan, width: int, glyphs: Glyphs, notice: str, waits: str = "") -> Runs:
    """The season's name, today, the notice, and at the right what waits.

    Where there is no room the name gives way, but for its beginning, and what waits is left out beside a notice.
    """
    today = f"  {'' if waits else 'today '}{full_day_text(plan.today)}"
    beside = f"  {notice}" if notice else ""
    waiting = f"  {waits}" if waits else ""
    if len(today) + len(beside) + len(waiting) + min(len(plan.season.name), LEAST_NAME) > width:
        waiting = ""
    room = max(width - len(today) - len(beside) - len(waiting), LEAST_NAME)
    name = plan.season.name
    if len(name) > room:
        name = name[: room - len(glyphs.ellipsis)] + glyphs.ellipsis
    left = max(width - len(name) - len(today) - len(beside) - len(waiting), 0)
    runs = (name, "title"), (today, ""), (beside, "notice"), (" " * left, ""), (waiting, "notice")
    return fitted(runs, width, glyphs.ellipsis)


def chart_rows(
    plan: Plan, look: Look, layout: Layout, glyphs: Glyphs, kept: Kept | None = None
) -> list[Runs]:
    """The plot, the time axis and the cohorts on it, each row led by its label. kept: as for `season_rows`."""
    kept = Kept() if kept is None else kept
    window, scale = look.window, kept.once("scale", layout.plot, lambda: scale_for(plan, layout.plot))
    upper = kept.once(
        "upper", (window, look.zoom, layout), lambda: _upper_rows(plan, look, layout, scale, glyphs)
    )
    rows = list(upper)
    if look.cursor is not None:
        x = layout.label + window.column(look.cursor)
        for y in _cursor_at(plan, look.cursor, scale):
            rows[y] = restyled(rows[y], x, "cursor")
    rows += _cohort_rows(plan, look, layout, glyphs, kept)
    return rows


def _upper_rows(plan: Plan, look: Look, layout: Layout, scale: Scale, glyphs: Glyphs) -> list[Runs]:
    """The plot and the time axis, without the cursor."""
    canvas = Canvas(look.window.width, layout.plot + 1)
    draw_plot(canvas, plan, look.window, scale, glyphs)
    _draw_axis(canvas, layout.plot, look.window, plan.today, glyphs)
    labels = [*_hour_column(layout, hour_labels(scale), glyphs), ((look.zoom.ljust(layout.label), "label"),)]
    return [joined((*label, *row)) for label, row in zip(labels, canvas.rows(), strict=True)]


def _cursor_at(plan: Plan, cursor: date, scale: Scale) -> Iterator[int]:
    """The rows that the time cursor stands in: on the curve, where a natural day is known, and on the axis below."""
    hours = natural_h(plan.light, cursor)
    if hours is not None:
        yield scale.row(hours)
    yield scale.rows


class _Marks(NamedTuple):
    """Beside a cohort's name: whether it is pointed at, is marked, and whether there are more cohorts above or below."""

    selected: bool
    marked: bool
    above: bool
    below: bool


def _cohort_rows(plan: Plan, look: Look, layout: Layout, glyphs: Glyphs, kept: Kept) -> Iterator[Runs]:
    """The rows of the cohorts on screen. Where one is kept, a move to another cohort makes only its label anew."""
    timelines = list(plan.timelines.values())
    last = layout.cohorts - 1
    for n, timeline in enumerate(timelines[look.top : look.top + layout.cohorts]):
        marks = _Marks(
            look.top + n == look.selected and look.cursor is not None,
            timeline.cohort.id in look.marked,
            n == 0 and look.top > 0,
            n == last and look.top + layout.cohorts < len(timelines),
        )
        source = (look.window, layout.label, marks)
        make = partial(_cohort_row, plan, timeline, *source, glyphs, kept)
        yield kept.once(("row", timeline.cohort.id), source, make)


def _cohort_row(
    plan: Plan, timeline: Timeline, window: Window, label: int, marks: _Marks, glyphs: Glyphs, kept: Kept
) -> Runs:
    band = kept.once(("band", timeline.cohort.id), window, lambda: band_row(plan, timeline, window, glyphs))
    return joined((*_cohort_label(timeline.cohort, label, marks, glyphs), *band))


def _hour_column(layout: Layout, hours: dict[int, int], glyphs: Glyphs) -> list[Runs]:
    out: list[Runs] = []
    for y in range(layout.plot):
        figure = f"{hours[y]} h{glyphs.tick}" if y in hours else glyphs.upright
        name = "day" if y == 0 else ""
        out.append(((name + figure.rjust(layout.label - len(name)), "hours"),))
    return out


def _cohort_label(cohort: Cohort, width: int, marks: _Marks, glyphs: Glyphs) -> Runs:
    """The cohort's id and variety; the selected one pointed at, those marked with a mark; arrows where there are more above or below."""
    arrow = glyphs.up if marks.above else glyphs.down if marks.below else " "
    pointer = glyphs.pointer if marks.selected else " "
    mark = MARKED if marks.marked else ""
    name = f"{pointer}{mark}{cohort.id} {cohort.variety}"[: width - 2].ljust(width - 2)
    return ((name, "pointed" if marks.selected else "label"), (f"{arrow} ", "label"))


def _draw_axis(canvas: Canvas, y: int, window: Window, today: date, glyphs: Glyphs) -> None:
    draw_dates(canvas, y, window)
    # Today's mark stands at the foot of the plot, so that the dates stay legible.
    canvas.put(window.column(today), y - 1, glyphs.today, "today")


def _legend(width: int, most: int, glyphs: Glyphs) -> list[Runs]:
    return [fitted(row, width, glyphs.ellipsis) for row in legend_rows(width, glyphs, most)]


def legend_rows(width: int, glyphs: Glyphs, most: int) -> list[Runs]:
    """What the fills, capitals, brackets and letters mean, in at most this many rows; the rest is left out."""
    items = [f"{glyphs.phases[key] * 2} {name}" for key, name in PHASES.items()]
    items += [f"{glyphs.outage} lamps failed", "CAPITAL recorded", "( ) [ ] earliest, latest"]
    items += [f"{small} {name.replace('_', ' ')}" for name, small in LETTERS.items()]
    lines = [""]
    for item in items:
        longer = f"{lines[-1]}  {item}" if lines[-1] else item
        if len(longer) <= width:
            lines[-1] = longer
        else:
            lines.append(item)
    return [((line, "legend"),) for line in lines[:most]]
