"""The season in a terminal too small for a chart: what waits, and of each cohort what comes next and its harvest."""

from __future__ import annotations

from calendar_tui.planning.arranging import Row
from calendar_tui.planning.coming import coming
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.why.phases import stands_past_harvest
from calendar_tui.screens.kit.canvas import Runs, fitted
from calendar_tui.screens.kit.glyphs import MARKED, Glyphs
from calendar_tui.screens.season.columns import LEFT_TO_CUT
from calendar_tui.season.wording import day_text, weekday_text

# Season and date; what waits.
HEAD_ROWS = 2


def small_rows(
    plan: Plan,
    rows: tuple[Row, ...],
    selected: int,
    top: int,
    marked: frozenset[str],
    width: int,
    height: int,
    glyphs: Glyphs,
    waits: str,
) -> list[Runs]:
    """Exactly `height` rows of exactly `width` cells. waits: what waits today, counted."""
    lines: list[Runs] = [
        ((weekday_text(plan.today), "at"), (f"  {plan.season.name}", "title")),
        ((waits, "notice"),),
    ]
    shown = rows[top : top + height - HEAD_ROWS]
    lines += [
        _row(plan, row, top + n == selected, row.cohort in marked, glyphs) for n, row in enumerate(shown)
    ]
    if not rows:
        lines.append((("no cohorts", "detail"),))
    lines += [()] * (height - len(lines))
    return [fitted(line, width, glyphs.ellipsis) for line in lines[:height]]


def _row(plan: Plan, row: Row, selected: bool, marked: bool, glyphs: Glyphs) -> Runs:
    pointer = MARKED if marked else glyphs.pointer if selected else " "
    style = "pointed" if selected else "label"
    if not row.cohort:
        return (
            (pointer, "label"),
            (f"{row.group.name}: {len(row.group.cohorts)} cohorts", style),
        )
    timeline = plan.timelines[row.cohort]
    step, harvest = coming(timeline, plan.today), timeline.likely("harvest")
    ends = "none" if harvest is None else day_text(harvest)
    late = step is not None and step.days < 0
    coming_text = step.short if step else LEFT_TO_CUT if stands_past_harvest(plan, timeline) else ""
    return (
        (pointer, "label"),
        (f"{row.cohort:4}", style),
        (f" {coming_text:19}", "late" if late else "label"),
        (f" harvest {ends}", "label"),
    )
