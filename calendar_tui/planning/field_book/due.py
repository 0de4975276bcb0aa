"""What is to be observed by the chores that observe, and what of it is there."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.planning.field_book.walking import places_of, plots_by_cohort, units_of
from calendar_tui.season.records import Season, Task
from calendar_tui.season.trials import TrialPlot
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


def rounds(season: Season, wanted: Callable[[Task, date, date], bool] | None = None) -> list[Round]:
    """The rounds of observing of the season, by day.

    wanted: of a task, its day and the day on which it ends, whether its rounds are; None: all are.
    """
    observing = {
        chore.id: chore.observe for chore in season.chores.values() if chore.observe and chore.active
    }
    tasks = [task for task in season.tasks if task.chore in observing and task.state != "skipped"]
    asked = [
        (task, until)
        for task, until in _with_ends(tasks)
        if wanted is None or wanted(task, _day(task), until)
    ]
    if not asked:
        return []
    names = {name for task, _ in asked for name in observing[task.chore]}
    observed = _Observed(season, plots_by_cohort(season), _seen(season, names))
    every = [_round(observed, task, name, until) for task, until in asked for name in observing[task.chore]]
    return sorted(every, key=lambda one: (one.day, one.task.id))


def rounds_on(season: Season, day: date) -> list[Round]:
    """Those for which an observation of this day counts."""
    return rounds(season, lambda task, first, until: first <= day < until)


def rounds_of_task(season: Season, name: str) -> list[Round]:
    """What the task of this id has to be observed."""
    return rounds(season, lambda task, first, until: task.id == name)


def unfinished(season: Season, today: date) -> list[tuple[Round, ...]]:
    """What is due by a day and of which something is missing: the rounds of each task, the newest first."""
    by_task: dict[str, list[Round]] = {}
    for one in rounds(season, lambda task, first, until: first <= today):
        if one.missing:
            by_task.setdefault(one.task.id, []).append(one)
    return [tuple(of_task) for of_task in reversed(by_task.values())]


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


class _Observed(NamedTuple):
    """seen: the days on which something is written, by variable and place."""

    season: Season
    plots: Mapping[str, Sequence[TrialPlot]]
    seen: Mapping[tuple[str, str], Sequence[date]]


def _seen(season: Season, names: Collection[str]) -> dict[tuple[str, str], list[date]]:
    seen: dict[tuple[str, str], list[date]] = {}
    for one in season.observations:
        if one.variable in names:
            seen.setdefault((one.variable, one.at), []).append(one.date)
    return seen


def _round(observed: _Observed, task: Task, name: str, until: date) -> Round:
    variable, day = observed.season.variables[name], _day(task)
    places = tuple(
        place
        for cohort in task.about
        if cohort in observed.season.cohorts
        for unit in units_of(observed.plots, cohort, variable, day)
        for place in places_of(variable, unit)
    )
    missing = tuple(
        place for place in places if not any(day <= on < until for on in observed.seen.get((name, place), ()))
    )
    return Round(task, name, day, until, places, missing)
