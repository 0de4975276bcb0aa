"""Hours planned and hours spent, chore by chore."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median

from calendar_tui.season.records import Season, Task

OWN_TASKS = "tasks of no chore"


@dataclass(frozen=True, slots=True)
class ChoreHours:
    """The tasks of one chore that were done; chore: "" for tasks that no chore made.

    done: how many; planned_h: person-hours of them all. timed: of how many the hours spent are known; timed_planned_h,
    spent_h: planned and spent of these alone; ratio: the median over them of spent to planned, None where none has both.
    ratios: of how many that is the median.
    """

    chore: str
    what: str
    done: int
    planned_h: float
    timed: int
    timed_planned_h: float
    spent_h: float
    ratio: float | None
    ratios: int


def hours_by_chore(season: Season) -> tuple[ChoreHours, ...]:
    """Of each chore with done tasks, those with the most planned hours first."""
    by_chore: dict[str, list[Task]] = {}
    for task in season.tasks:
        if task.state == "done":
            by_chore.setdefault(task.chore if task.chore in season.chores else "", []).append(task)
    rows = [_hours(season, chore, tasks) for chore, tasks in by_chore.items()]
    return tuple(sorted(rows, key=lambda row: (-max(row.planned_h, row.spent_h), row.chore)))


def _hours(season: Season, chore: str, tasks: Sequence[Task]) -> ChoreHours:
    timed = [task for task in tasks if task.spent is not None]
    ratios = [(task.spent or 0.0) / task.hours for task in timed if task.hours]
    return ChoreHours(
        chore,
        season.chores[chore].what if chore else OWN_TASKS,
        len(tasks),
        _sum(task.hours for task in tasks),
        len(timed),
        _sum(task.hours for task in timed),
        _sum(task.spent or 0.0 for task in timed),
        float(median(ratios)) if ratios else None,
        len(ratios),
    )


def _sum(hours: Iterable[float]) -> float:
    # Hours are given to hundredths; in any order of the tasks their sum is the same to that.
    return round(sum(sorted(hours)), 2)
