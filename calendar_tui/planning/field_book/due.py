"""What is to be observed by the chores that observe, and what of it is there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.planning.field_book.walking import places_of, units_of
from calendar_tui.season.records import Season, Task
from calendar_tui.season.weeks import first_of_week

# A round that is the last of its chore is looked for so many days from its own (a choice: a week).
_LAST_D = 7


class Round(NamedTuple):
    """A variable that a task has to be observed: from its day up to the day before `until`.

    places: where, in walking order; missing: those of them of which nothing is written.
    """

    task: Task
    variable: str
    day: date
    until: date
    places: tuple[str, ...]
    missing: tuple[str, ...]


def rounds(season: Season) -> list[Round]:
    """Every round of observing of the season, by day."""
    observing = {
        chore.id: chore.observe for chore in season.chores.values() if chore.observe and chore.active
    }
    tasks = [task for task in season.tasks if task.chore in observing and task.state != "skipped"]
    if not tasks:
        return []
    seen: dict[tuple[str, str], list[date]] = {}
    for one in season.observations:
        seen.setdefault((one.variable, one.at), []).append(one.date)
    found = [
        _round(season, task, name, until, seen)
        for task, until in _with_ends(tasks)
        for name in observing[task.chore]
    ]
    return sorted(found, key=lambda one: (one.day, one.task.id))


def rounds_of_week(season: Season, today: date, begins: int = 0) -> tuple[list[Round], list[Round]]:
    """Those that are due in the week that holds today, and those from before it of which something is missing."""
    first = first_of_week(today, begins)
    every = rounds(season)
    return (
        [one for one in every if first <= one.day < first + timedelta(days=7)],
        [one for one in every if one.day < first and one.missing],
    )


def _with_ends(tasks: Sequence[Task]) -> Iterator[tuple[Task, date]]:
    """Each task with the day of the next of its chore for one of its cohorts."""
    in_order = sorted(tasks, key=_day)
    following: dict[tuple[str, str], date] = {}
    ends = []
    for task in reversed(in_order):
        keys = [(task.chore, cohort) for cohort in task.about]
        day = _day(task)
        nexts = [following[key] for key in keys if key in following and following[key] > day]
        ends.append((task, min(nexts, default=day + timedelta(days=_LAST_D))))
        following |= dict.fromkeys(keys, day)
    yield from reversed(ends)


def _day(task: Task) -> date:
    """A task that was done sooner than planned was observed on that day."""
    return min(task.date, task.done_on or task.date)


def _round(
    season: Season, task: Task, name: str, until: date, seen: dict[tuple[str, str], list[date]]
) -> Round:
    variable, day = season.variables[name], _day(task)
    places = tuple(
        place
        for cohort in task.about
        if cohort in season.cohorts
        for unit in units_of(season, cohort, variable, day)
        for place in places_of(variable, unit)
    )
    missing = tuple(
        place for place in places if not any(day <= on < until for on in seen.get((name, place), ()))
    )
    return Round(task, name, day, until, places, missing)
