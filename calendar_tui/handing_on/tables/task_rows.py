"""Tasks as plain data, apart from the rest so that the week's work loads little."""

from __future__ import annotations

from typing import Any

from calendar_tui.planning.tasks.week import Week
from calendar_tui.season.records import Task


def task_row(task: Task) -> dict[str, Any]:
    """One task; hours are person-hours; cohorts: all it is for; cohort: the one it is known by."""
    return {
        "id": task.id,
        "date": task.date,
        "what": task.what,
        "cohort": task.cohort,
        "cohorts": list(task.about),
        "place": task.place,
        "who": task.who,
        "hours": task.hours,
        "amount": task.amount,
        "why": task.why,
        "state": task.state,
        "done_on": task.done_on,
        "moved": task.moved,
        "fact": task.fact,
        "note": task.note,
    }


def week_row(week: Week) -> dict[str, Any]:
    """monday of the first day's week, overdue tasks, each day's tasks, and next_week as a count of open tasks."""
    return {
        "monday": week.monday,
        "overdue": [task_row(t) for t in week.overdue],
        "days": [{"date": d, "tasks": [task_row(t) for t in ts]} for d, ts in week.days],
        "next_week": week.next_week,
    }
