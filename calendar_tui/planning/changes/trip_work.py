"""The task of a trip, as the work of cutting its bags: which of them bags that are recorded complete."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date

from calendar_tui.planning.plan import Plan
from calendar_tui.planning.sampling.bag_states import bag_states
from calendar_tui.planning.sampling.missed import is_cut_since
from calendar_tui.planning.sampling.planned import planned_bags
from calendar_tui.planning.sampling.week import sampling_week
from calendar_tui.season.records import Season, Task
from calendar_tui.season.sample_ids import grouped
from calendar_tui.season.sampling import Sample
from calendar_tui.season.weeks import monday_of

# As far from its day the work of cutting bags may be done: half of a week.
NEAR_D = 3


def known_limits(plan: Plan) -> dict[str, date]:
    """The days on which lots reach their limits, which only a budget asks for."""
    if not plan.season.results or plan.season.capacity is None:
        return {}
    from calendar_tui.planning.results.limits import limits_of  # needs numpy

    return limits_of(plan)


def done_by(plan: Plan, after: Season, day: date, trips: Collection[date]) -> tuple[Task, ...]:
    """The open tasks of cutting bags near any of these trips that bags cut on a day complete: of alike ones the nearest to each.

    For every cohort of the task a bag is recorded on that day, and none of its trip is left to cut.
    """
    cut = {sample.cohort for sample in _cut_on(after, day)}
    chores = {c.id for c in plan.season.chores.values() if "bags" in c.shows}
    tasks = [
        t for t in plan.season.tasks if t.state == "open" and t.chore in chores and cut.issuperset(t.about)
    ]
    nearest: dict[tuple[date, tuple[str, ...]], Task] = {}
    for trip in sorted(trips):
        for task in sorted(tasks, key=lambda t: (abs((t.date - trip).days), t.date)):
            if task.about and abs((task.date - trip).days) <= NEAR_D:
                nearest.setdefault((trip, task.about), task)
    found = tuple({task.id: task for task in nearest.values()}.values())
    left = _left_of_trips(plan, after, found)
    return tuple(task for task in found if task.id not in left)


def _left_of_trips(plan: Plan, after: Season, tasks: Sequence[Task]) -> Collection[str]:
    """The ids of these tasks of whose trips a bag is still to be cut that the budget leaves."""
    cohorts = {name for task in tasks for name in task.about}
    bags = planned_bags(after, plan.timelines, cohorts)
    open_bags = [one.bag for one in bag_states(after, bags) if one.is_open and not is_cut_since(after, one)]
    of_trips = [
        (task, bag)
        for task in tasks
        for bag in open_bags
        if bag.cohort in task.about and abs((bag.day - task.date).days) <= bag.near_d
    ]
    weeks = {monday_of(bag.day): bag.day for _, bag in of_trips}
    limits = known_limits(plan) if weeks else {}
    kept = {
        bag for day in weeks.values() for bag in sampling_week(after, plan.timelines, day, limits).kept.kept
    }
    return {task.id for task, bag in of_trips if bag in kept}


def ids_text(season: Season, task: Task, day: date) -> str:
    """The ids of the bags of a task's cohorts that were cut on a day."""
    return " ".join(grouped(bag.id) for bag in _cut_on(season, day) if bag.cohort in task.about)


def _cut_on(season: Season, day: date) -> list[Sample]:
    return [sample for sample in season.samples.values() if sample.date == day and sample.is_cut]
