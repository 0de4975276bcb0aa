"""Where the screen is large: this week's open work beside the selected cohort's story."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.canvas import Runs, fitted, joined
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.season.cells import filled
from calendar_tui.season.records import Task
from calendar_tui.season.wording import cohorts_text, weekday_text

# The story's share of the width; the rest is the week's.
_STORY = 0.6
_GAP = 2


def story_width(width: int) -> int:
    """The cells of a screen this wide that the story takes."""
    return int(width * _STORY)


def side_by_side(left: Sequence[Runs], right: Sequence[Runs], width: int, ellipsis: str) -> list[Runs]:
    """The rows of two panes, as many as the longer has."""
    room, rows = story_width(width), max(len(left), len(right))
    gap = ((" " * _GAP, ""),)

    def padded(pane: Sequence[Runs], cells: int) -> list[Runs]:
        return [fitted(row, cells, ellipsis) for row in (*pane, *[()] * (rows - len(pane)))]

    pairs = zip(padded(left, room - _GAP), padded(right, width - room), strict=True)
    return [joined((*a, *gap, *b)) for a, b in pairs]


def work_rows(plan: Plan, width: int, height: int, glyphs: Glyphs, weekday: int, key: str) -> list[Runs]:
    """The open work of this week under its days, what is overdue first; the last row counts what has no room.

    weekday: with which the week begins, counted from Monday as 0; key: that shows the rest.
    """
    rows = list(_work(plan, weekday))
    room = width - story_width(width)
    if len(rows) > height:
        left = sum(bool(task) for _, task in rows[height - 1 :])
        rows = [*rows[: height - 1], (((f"{glyphs.ellipsis} {left} more: {key}", "detail"),), None)]
    return [fitted(row, room, glyphs.ellipsis) for row, _ in rows]


def _work(plan: Plan, weekday: int) -> Iterator[tuple[Runs, Task | None]]:
    """Each row, and the task that it is of."""
    from calendar_tui.planning.tasks.week import week_of  # large screens alone need it

    week = week_of(plan.season.tasks, plan.today, begins=weekday)
    parts = [(f"Overdue: {len(week.overdue)}", week.overdue, "late")] if week.overdue else []
    parts += [(weekday_text(day), tasks, "at") for day, tasks in week.days if day >= plan.today]
    for heading, tasks, style in parts:
        waiting = [task for task in tasks if task.state == "open"]
        if waiting:
            yield ((heading, style),), None
        for task in waiting:
            yield _row(task), task


def _row(task: Task) -> Runs:
    about = " ".join(filter(None, (cohorts_text(task.about), task.place)))
    return ((f"  {filled(about, 10)} {task.what}", "detail"), (f"  {task.who}" if task.who else "", "hours"))
