"""The load: person-hours of the saved tasks by ISO week and role, against what each role has."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from operator import itemgetter

from calendar_tui.planning.tasks.week import ANYONE
from calendar_tui.season.records import Crew, Season, Task
from calendar_tui.season.weeks import monday_of
from calendar_tui.season.wording import cohorts_text, day_text

# Sums of tenths and hundredths of an hour are compared to this many digits.
_DIGITS = 2
_TENTHS_FROM = 10
# How many of an over-full week's tasks a clash names.
_NAMED_TASKS = 3
_ALL_WEEK = Crew()


@dataclass(frozen=True, slots=True)
class Load:
    """The work of one role in one week.

    monday: the first day of the ISO week; hours: person-hours of its open and done tasks; has_h: person-hours the role
    has in that week, None where the season does not say; guessed: whether some of the hours are a guess; tasks: those
    with hours, the largest first.
    """

    monday: date
    role: str
    hours: float
    has_h: float | None
    guessed: bool
    tasks: tuple[Task, ...]

    @property
    def over_h(self) -> float:
        """Person-hours over what the role has; 0 if it fits or no hours are set."""
        return 0.0 if self.has_h is None else max(round(self.hours - self.has_h, _DIGITS), 0.0)


def guessed_chores(season: Season) -> frozenset[str]:
    """The chores of which the hours are a guess."""
    return frozenset(c.id for c in season.chores.values() if c.guessed and c.hours)


def loads(season: Season, roles: Collection[str] | None = None) -> tuple[Load, ...]:
    """The load of every week and role that has hours, in order of weeks and roles; skipped tasks count nothing.

    roles: only these; None for all. One pass over the tasks.
    """
    by_week_and_role: dict[tuple[date, str], list[Task]] = {}
    for task in season.tasks:
        role = task.who or ANYONE
        if task.hours and task.state != "skipped" and (roles is None or role in roles):
            by_week_and_role.setdefault((monday_of(task.date), role), []).append(task)
    guesses, crew = guessed_chores(season), season.crew or _ALL_WEEK
    return tuple(_load(crew, guesses, *key, by_week_and_role[key]) for key in sorted(by_week_and_role))


def _load(crew: Crew, guesses: Collection[str], monday: date, role: str, tasks: Sequence[Task]) -> Load:
    return Load(
        monday,
        role,
        round(sum(t.hours for t in tasks), _DIGITS),
        has_hours(crew, role, monday),
        any(t.chore in guesses for t in tasks),
        tuple(sorted(tasks, key=lambda t: (-t.hours, t.date, t.id))),
    )


def has_hours(crew: Crew, role: str, monday: date) -> float | None:
    """Person-hours that a role has in a week: its hours, less the share of the working days that are blocked."""
    hours = crew.hours_per_week.get(role)
    if hours is None:
        return None
    days = [monday + timedelta(days=n) for n in range(7)]
    worked = sum(map(crew.works, days))
    return round(hours * worked / len(crew.work_days), _DIGITS)


def over_full(season: Season, today: date) -> Iterator[Load]:
    """The weeks that are not over, and roles, with more work than the role has."""
    crew = season.crew
    if crew is None or not crew.hours_per_week:
        return
    first, guesses = monday_of(today), guessed_chores(season)
    coming: dict[tuple[int, str], list[Task]] = {}
    days: dict[tuple[date, str], list[Task]] = defaultdict(list)
    for task in season.tasks:
        if task.date >= first and task.hours and task.state != "skipped":
            days[task.date, task.who].append(task)
    for (day, who), tasks in days.items():
        coming.setdefault(((day - first).days // 7, who or ANYONE), []).extend(tasks)
    for (week, role), tasks in sorted(coming.items(), key=itemgetter(0)):
        # A week with less work than a full one has hours, and nothing blocked, is the most of them: not looked into.
        monday = first + timedelta(days=7 * week)
        if role in crew.hours_per_week and _may_be_over(crew, role, monday, tasks):
            load = _load(crew, guesses, monday, role, tasks)
            if load.over_h:
                yield load


def _may_be_over(crew: Crew, role: str, monday: date, tasks: Sequence[Task]) -> bool:
    blocked = any(0 <= (day - monday).days < 7 for day in crew.blocked)
    return blocked or sum([t.hours for t in tasks]) > crew.hours_per_week[role]


def hours_text(hours: float, guessed: bool = False) -> str:
    """ "12.5 h", and with "~" before it where some are a guess; from 10 h on to a tenth of an hour."""
    return f"{'~' if guessed else ''}{figure_text(hours)} h"


def figure_text(hours: float) -> str:
    """Hours without their unit."""
    return f"{round(hours, 1 if hours >= _TENTHS_FROM else _DIGITS):g}"


def largest(load: Load) -> tuple[Task, ...]:
    """The tasks that a clash names."""
    return load.tasks[:_NAMED_TASKS]


def over_full_text(load: Load) -> str:
    """That a role's week is over-full, by how much and with what, in a sentence."""
    has = f"{hours_text(load.has_h)}" if load.has_h else "no hours"
    most = ", ".join(f"{_short(task)} {hours_text(task.hours)}" for task in largest(load))
    return (
        f"{load.role} has {has} in the week of Mon {day_text(load.monday)} and "
        f"{hours_text(load.hours, load.guessed)} of work, most of it: {most}; move work to another week (calendar-tui "
        f"move), or get help"
    )


def _short(task: Task) -> str:
    return " ".join(part for part in (task.id, cohorts_text(task.about) or task.place, task.what) if part)
