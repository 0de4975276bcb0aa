"""The columns beside the time axis: whose row it is, when it is harvested, and what comes next."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.planning.arranging import Row
from calendar_tui.planning.coming import Coming, coming
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.why.phases import stands_past_harvest
from calendar_tui.screens.kit.canvas import Runs, fitted
from calendar_tui.screens.kit.glyphs import MARKED, Glyphs
from calendar_tui.screens.season.layout import Layout, Right
from calendar_tui.season.wording import day_text

if TYPE_CHECKING:
    from calendar_tui.planning.spraying.closures import Closure

LEFT_TO_CUT = "left to cut"
_HARVEST, _RANGE = 7, 15


class Marks(NamedTuple):
    """Beside a name: whether it is pointed at, is marked, has a clash, and whether there are more rows above or below.

    closed: in which closure of a place it stands today; barred: whether its group is a place that is closed today.
    """

    selected: bool
    marked: bool
    warned: bool
    above: bool
    below: bool
    closed: Closure | None = None
    barred: bool = False


def label_runs(plan: Plan, row: Row, way: str, marks: Marks, layout: Layout, glyphs: Glyphs) -> Runs:
    """The name of the group on its first row, the pointer or a mark, a clash, and the cohort's name."""
    group = row.group.name if row.first else ""
    arrow = glyphs.up if marks.above else glyphs.down if marks.below else " "
    pointer = MARKED if marks.marked else glyphs.pointer if marks.selected else " "
    name = fitted(((_name(plan, row, way), ""),), layout.name, glyphs.ellipsis)
    return (
        *fitted(((group, "clash" if marks.barred else "group"),), layout.group, glyphs.ellipsis),
        (f" {pointer}", "label"),
        ("!", "clash") if marks.warned else (" ", "label"),
        *((text, "pointed" if marks.selected else "label") for text, _ in name),
        (f"{_plants(plan, row):>{layout.plants}}"[: layout.plants], "label"),
        (arrow, "label"),
    )


def _name(plan: Plan, row: Row, way: str) -> str:
    """A cohort's id and what its group does not tell: its variety or, where the group is one, its place."""
    if not row.cohort:
        count = len(row.group.cohorts)
        return f"{count} cohort{'s' * (count > 1)}"
    cohort = plan.season.cohorts[row.cohort]
    return f"{cohort.id} {cohort.stays[-1].place if way == 'variety' else cohort.variety}"


def _plants(plan: Plan, row: Row) -> str:
    """How many plants the row is of; "" where that is not set."""
    names = (row.cohort,) if row.cohort else row.group.cohorts
    return str(sum(plan.season.cohorts[name].plants or 0 for name in names) or "")


def zoom_runs(zoom: str, layout: Layout) -> Runs:
    """The name of the zoom, and what the column of plants is, left of the time axis."""
    plants = "plants ".rjust(layout.plants + 1) if layout.plants else ""
    return ((zoom.ljust(layout.label - len(plants)) + plants, "label"),)


def heading_runs(right: Right) -> Runs:
    """What the columns right of the time axis are, over them."""
    text = " " + "harvest".rjust(_HARVEST) + " "
    if right.range:
        text += "range".ljust(_RANGE + 1)
    if right.next:
        text += "next"
    return ((text.ljust(right.width), "hours"),)


def harvest_runs(plan: Plan, row: Row, right: Right, glyphs: Glyphs, closed: Closure | None = None) -> Runs:
    """When it is harvested, with the range, and what comes next, as there is room; until when its place is closed before that."""
    names = [row.cohort] if row.cohort else list(row.group.cohorts)
    dates = [d for name in names if (d := plan.timelines[name].stages.get("harvest")) is not None]
    earliest = min(dates, key=lambda d: d.likely, default=None)
    day = "none" if earliest is None else day_text(earliest.likely)
    runs = [(f" {day:>{_HARVEST}} ", _harvest_style(earliest))]
    if right.range:
        runs.append((f"{_range_text(dates, folded=not row.cohort):{_RANGE}} ", "detail"))
    if right.next:
        runs.append(
            _next_run(plan, names, right) if closed is None else _closed_run(closed, right, plan.today)
        )
    return fitted(tuple(runs), right.width, glyphs.ellipsis)


def _harvest_style(harvest: StageDate | None) -> str:
    return "recorded" if harvest is not None and harvest.status == "recorded" else "label"


def _range_text(dates: list[StageDate], *, folded: bool) -> str:
    """ "(12-20 Jan)", "(28 Jan-4 Feb)"; of a folded group from its first to its last likely harvest."""
    if not dates:
        return ""
    first = min(d.likely if folded else d.earliest for d in dates)
    last = max(d.likely if folded else d.latest for d in dates)
    return "" if first == last else f"({span_of_dates(first, last)})"


def span_of_dates(first: date, last: date) -> str:
    """ "12-20 Jan", "28 Jan-4 Feb"."""
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day}-{day_text(last)}"
    return f"{day_text(first)}-{day_text(last)}"


def _next_run(plan: Plan, names: list[str], right: Right) -> tuple[str, str]:
    steps = [(step, name) for name in names if (step := coming(plan.timelines[name], plan.today)) is not None]
    if not steps:
        left = any(stands_past_harvest(plan, plan.timelines[name]) for name in names)
        return (LEFT_TO_CUT if left else "", "label" if left else "")
    step, name = min(steps, key=lambda entry: entry[0].days)
    text = step.long if right.long else step.short
    return (text if len(names) == 1 else f"{name} {text}", _next_style(step))


def _closed_run(closed: Closure, right: Right, today: date) -> tuple[str, str]:
    from calendar_tui.planning.spraying.closed_work import until_short, until_text

    return (until_text(closed) if right.long else until_short(closed, today), "late")


def _next_style(step: Coming) -> str:
    """What is late stands out, and what is to be done today."""
    return "late" if step.days < 0 else "recorded" if step.days == 0 else "label"
