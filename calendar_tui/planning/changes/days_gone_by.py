"""Work that goes on longer than its saved tasks goes on from today: a day that has gone by is not asked for any more."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date, timedelta

from calendar_tui.planning.changes.proposal import TaskMove
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.tasks.chore_dates import is_next_pass
from calendar_tui.planning.tasks.samplings import cuts_by_plan
from calendar_tui.season.records import Chore, Season, Task
from calendar_tui.season.wording import cohorts_text, days_text, weekday_text

_DAY = timedelta(days=1)
# What work of the whole season is for.
_SEASON = ("",)


def passed_over(plan: Plan, new_ones: Iterable[Task]) -> list[Task]:
    """The new tasks of repeats that lie before today, and behind the first saved one for one of their cohorts, or for the season."""
    chores = plan.season.chores
    late = [t for t in new_ones if t.date < plan.today and _repeats(chores[t.chore])]
    first = _saved(plan.season, min) if late else {}

    def has_begun(new: Task) -> bool:
        begun = (first.get((new.chore, name)) for name in new.about or _SEASON)
        return any(one is not None and new.date > one.date for one in begun)

    return [new for new in late if has_begun(new)]


def _repeats(chore: Chore) -> bool:
    return bool(chore.repeat) and not is_next_pass(chore)


def stands_as_asked(plan: Plan, old: Task, new: Task) -> bool:
    """Whether saved work of a day gone by would only be joined by crops that wait behind their harvest: nobody asked for them then."""
    if old.date >= plan.today or (old.chore, old.n) != (new.chore, new.n) or not old.about:
        return False
    more = set(new.about) - set(old.about)
    waiting = (name in plan.timelines and plan.timelines[name].waits_to is not None for name in more)
    return bool(more) and set(old.about) < set(new.about) and all(waiting)


def days_without(plan: Plan, moves: Iterable[TaskMove]) -> Iterator[str]:
    """For how many days before today crops that wait behind their harvest had no work, where it goes on from today.

    plan: as it was; moves: what comes of its saved tasks, by date.
    """
    waiting = {name for name, timeline in plan.timelines.items() if timeline.waits_to is not None}
    new_ones = [move.task for move in moves if move.old is None and move.task.date >= plan.today]
    if not waiting or not new_ones:
        return
    since: dict[str, date] = {}
    last, firsts = _saved(plan.season, max), dict[tuple[str, str], Task]()
    for new in new_ones:
        for name in waiting.intersection(new.about):
            firsts.setdefault((new.chore, name), new)
    for (chore, name), new in firsts.items():
        if (saved := last.get((chore, name))) is not None and _leaves_out(plan, saved, new):
            since[name] = max(saved.date, since.get(name, saved.date))
    for day in sorted(set(since.values())):
        of_day, days = [name for name in since if since[name] == day], (plan.today - day).days - 1
        yield (
            f"{cohorts_text(of_day)}: {days_text(days)} before today, from {weekday_text(day + _DAY)} on, had no such work, "
            "and no task is made for what cannot be done any more"
        )


def _leaves_out(plan: Plan, saved: Task, new: Task) -> bool:
    """Whether work goes on from today and leaves out a date behind the last saved one. A trip has the number of its day."""
    chore = plan.season.chores.get(new.chore)
    if chore is None or not chore.tends_what_stands or cuts_by_plan(plan.season, chore):
        return False
    return saved.date + _DAY < plan.today and new.n > saved.n + 1


def _saved(season: Season, pick: Callable[..., Task]) -> Mapping[tuple[str, str], Task]:
    """The first or the last of the saved tasks, by chore and cohort, "" for the season. pick: min or max."""
    by_work: dict[tuple[str, str], list[Task]] = {}
    for task in season.tasks:
        for name in task.about or _SEASON:
            by_work.setdefault((task.chore, name), []).append(task)
    return {work: pick(tasks, key=lambda t: t.date) for work, tasks in by_work.items()}
