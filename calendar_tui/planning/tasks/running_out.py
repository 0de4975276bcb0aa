"""Crops that wait behind their harvest and have no saved work any more, told from the saved tasks alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.language.speaking import phrase
from calendar_tui.season.records import Season, Task
from calendar_tui.season.weeks import monday_of
from calendar_tui.season.wording import cohorts_text, weekday_text

_WEEK = timedelta(days=7)


class RunningOut(NamedTuple):
    """A cohort that is not recorded as cut, and the last day of its saved work, before next week."""

    cohort: str
    last: date


def running_out(season: Season, today: date) -> Iterator[RunningOut]:
    """The cohorts in flower of which work of the harvest is overdue, and the work on what stands ends before next week.

    Where the last of it came more seldom than weekly, a week without any says nothing.
    """
    coming = monday_of(today) + _WEEK
    if coming > season.last_day:
        return
    for name in _waiting(season, today):
        days = sorted({task.date for task in season.tasks if name in task.about and _tends(season, task)})
        if days and days[-1] < coming and any(days[-1] - day <= _WEEK for day in days[:-1]):
            yield RunningOut(name, days[-1])


def _waiting(season: Season, today: date) -> list[str]:
    """The cohorts of open work of the harvest from before today, that flowered and are not recorded as cut."""
    at_harvest = {c.id for c in season.chores.values() if c.stage == "harvest" and c.offset_d >= 0}
    late = (t for t in season.tasks if t.date < today and t.state == "open" and t.chore in at_harvest)
    names = dict.fromkeys(name for task in late for name in task.about if name in season.cohorts)
    return [name for name in names if season.cohorts[name].flowers_uncut]


def _tends(season: Season, task: Task) -> bool:
    return task.chore in season.chores and season.chores[task.chore].tends_uncut_crops


def _text(cohorts: Sequence[str], last: date) -> str:
    names, day = cohorts_text(cohorts), weekday_text(last)
    if len(cohorts) == 1:
        return phrase(
            "{cohort}: not recorded as cut, and its work ends on {last}; calendar-tui tasks goes on with it",
            cohort=names,
            last=day,
        )
    return phrase(
        "{cohorts}: not recorded as cut, and their work ends on {last}; calendar-tui tasks goes on with it",
        cohorts=names,
        last=day,
    )


def running_out_texts(crops: Iterable[RunningOut]) -> Iterator[str]:
    """ "A1 B1: not recorded as cut, and its work ends on Wed 15 Sep; calendar-tui tasks goes on with it"."""
    alike: dict[date, list[str]] = {}
    for one in crops:
        alike.setdefault(one.last, []).append(one.cohort)
    for last, cohorts in sorted(alike.items()):
        yield _text(cohorts, last)
