"""Work that goes on longer than its saved tasks goes on from today: a day that has gone by is not asked for any more."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import date, timedelta

from calendar_tui.planning.changes.proposal import TaskMove
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.tasks.by_chore import task_key
from calendar_tui.planning.tasks.chore_dates import is_next_pass
from calendar_tui.planning.tasks.samplings import cuts_by_plan
from calendar_tui.season.records import Chore, Season, Task
from calendar_tui.season.wording import cohorts_text, days_text, weekday_text

_DAY = timedelta(days=1)


def passed_over(plan: Plan, new_ones: Iterable[Task], left: Collection[Task]) -> list[Task]:
    """The new tasks of repeats before today that nobody asked for: behind the first saved one of the same cohort or place, or of
    one of those that are left, which stands as it was asked for.
    """
    chores = plan.season.chores
    late = [t for t in new_ones if t.date < plan.today and _repeats(chores[t.chore])]
    begun = _begun(plan.season) if late else {}
    return [
        new
        for new in late
        if new.date > begun.get(task_key(new)[:2], date.max)
        or any(joins_only_waiting_crops(plan, t, new) for t in left)
    ]


def _begun(season: Season) -> Mapping[tuple[str, str], date]:
    """The first date of a saved task, by its chore and by whose it is: its cohort's, else its place's."""
    first: dict[tuple[str, str], date] = {}
    for task in season.tasks:
        key = task_key(task)[:2]
        first[key] = min(first.get(key, task.date), task.date)
    return first


def _repeats(chore: Chore) -> bool:
    return bool(chore.repeat) and not is_next_pass(chore)


def joins_only_waiting_crops(plan: Plan, old: Task, new: Task) -> bool:
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
    last, firsts = _last_saved(plan.season), dict[tuple[str, str], Task]()
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
    if chore is None or not chore.tends_uncut_crops or cuts_by_plan(plan.season, chore):
        return False
    return saved.date + _DAY < plan.today and new.n > saved.n + 1


def _last_saved(season: Season) -> Mapping[tuple[str, str], Task]:
    """The last of the saved tasks, by chore and cohort."""
    last: dict[tuple[str, str], Task] = {}
    for task in season.tasks:
        for name in task.about:
            other = last.setdefault((task.chore, name), task)
            if task.date > other.date:
                last[task.chore, name] = task
    return last
