"""Tasks as plain data, apart from the rest so that the week's work loads little."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from calendar_tui.planning.tasks.week import Week
from calendar_tui.season.records import Task

if TYPE_CHECKING:
    from calendar_tui.planning.cutting.holds import Hold
    from calendar_tui.planning.lamps.tip_looks import TipLook


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


def tip_look_rows(looks: Iterable[TipLook]) -> list[dict[str, Any]]:
    """A row for each cohort to look at: its failed place and nights, from when to look, in how many futures it flowers."""
    return [
        {
            "cohort": look.cohort,
            "place": look.outage.place,
            "from": look.outage.first,
            "to": look.outage.last,
            "look_from": look.since,
            "futures": look.futures,
            "of": look.of,
        }
        for look in looks
    ]


def task_rows(tasks: Iterable[Task], holds: Mapping[str, Hold]) -> list[dict[str, Any]]:
    """Tasks with `hold`: why one must not be done on its day, null where nothing holds it."""
    held = {name: hold.text for name, hold in holds.items()}
    return [{**task_row(task), "hold": held.get(task.id)} for task in tasks]


def week_row(week: Week, holds: Mapping[str, Hold]) -> dict[str, Any]:
    """monday of the first day's week, overdue tasks, each day's tasks, and next_week as a count of open tasks."""
    return {
        "monday": week.first_day,
        "overdue": task_rows(week.overdue, holds),
        "days": [{"date": d, "tasks": task_rows(ts, holds)} for d, ts in week.days],
        "next_week": week.next_week,
    }
