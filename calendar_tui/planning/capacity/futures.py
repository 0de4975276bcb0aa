"""What is taken in each future of the season: how much in nine of ten, and in how many a week is over-full.

A future of the season takes one future of each cohort. Cohorts of one variety take the same one: a seed lot has one critical
day, known or not. Varieties know nothing of each other: each has an order of its own, so that one that is late says nothing
about another. So is the weather, where stages run on heat; that it is the same for all is left out.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise
from math import inf
from operator import itemgetter

from calendar_tui.nature.futures import ends, order
from calendar_tui.planning.capacity.by_week import DIGITS, InFutures, WeekUse, cohort_uses
from calendar_tui.planning.capacity.uses import UNITS, WEEK, Limit, has_of
from calendar_tui.planning.laying_out.stages import Days, StageDate
from calendar_tui.planning.laying_out.timeline import Timeline, with_weeks
from calendar_tui.planning.tasks.chore_dates import stage_for
from calendar_tui.planning.tasks.week import ANYONE
from calendar_tui.season.records import Season, Task
from calendar_tui.season.stages import STAGES
from calendar_tui.season.weeks import monday_of

# The stages that a kind goes by, where these are few.
_STAGES: Mapping[str, tuple[str, ...]] = {"dryer": ("harvest",)}
# What is taken of each limit in each week, in one future or another.
Amounts = Mapping[tuple[Limit, date], float]


def futures_of_season(
    timelines: Iterable[Timeline], stages: Collection[str] = STAGES
) -> Iterator[list[Timeline]]:
    """The cohorts in each future, each laid out on the days it has there. stages: only these."""
    laid = list(timelines)
    orders = _orders(laid)
    for n in range(_count(laid)):
        yield [_in_future(timeline, orders[timeline.variety.id][n], stages) for timeline in laid]


def _count(timelines: Iterable[Timeline]) -> int:
    return min((len(t.stages[t.cohort.first_stage].days) for t in timelines), default=0)


def _orders(timelines: Sequence[Timeline]) -> dict[str, tuple[int, ...]]:
    """Which of its own futures each variety has in each future of the season; by variety."""
    count, names = _count(timelines), dict.fromkeys(t.variety.id for t in timelines)
    return {name: order(number, count) for number, name in enumerate(names)}


def _in_future(timeline: Timeline, n: int, only: Collection[str]) -> Timeline:
    """The cohort as it is in its future n, without the stages that do not come."""
    if all(at.earliest == at.latest for at in timeline.stages.values()):
        return timeline
    there = ((name, at) for name, at in timeline.stages.items() if name in only and at.days[n] < inf)
    stages = {name: _on(at, at.days[n]) for name, at in there}
    if "sampling" in stages and "harvest" in stages:
        stages["sampling"] = with_weeks(stages["sampling"], stages["harvest"].likely)
    return replace(timeline, stages=stages)


def _on(at: StageDate, number: float) -> StageDate:
    day = date.fromordinal(int(number))
    return StageDate(at.stage, day, day, day, at.status, at.reason, at.intended)


def amounts_of(season: Season, timelines: Iterable[Timeline], kind: str, today: date) -> Amounts:
    """The most that these cohorts take of a kind on one day of each week."""
    changes: dict[Limit, dict[date, float]] = defaultdict(lambda: defaultdict(float))
    for use in cohort_uses(season, timelines, kind, today):
        changes[use.limit][use.first] += use.amount
        changes[use.limit][use.end] -= use.amount
    most: dict[tuple[Limit, date], float] = defaultdict(float)
    for limit, by_day in changes.items():
        taken = 0.0
        for day, end in pairwise(sorted(by_day)):
            taken += by_day[day]
            monday = monday_of(day)
            while monday < end:
                most[limit, monday] = max(most[limit, monday], taken)
                monday += WEEK
    return most


def in_futures(
    season: Season, timelines: Iterable[Timeline], kinds: Sequence[str], today: date
) -> dict[str, list[Amounts]]:
    """What is taken of each kind, future by future; "hours" by the tasks, which go with the stages they hang on."""
    laid = list(timelines)
    of_cohorts = [kind for kind in kinds if kind != "hours"]
    found: dict[str, list[Amounts]] = {kind: [] for kind in kinds}
    needed = {stage for kind in of_cohorts for stage in _STAGES.get(kind, STAGES)}
    for there in futures_of_season(laid, needed) if of_cohorts else ():
        for kind in of_cohorts:
            found[kind].append(amounts_of(season, there, kind, today))
    if "hours" in kinds:
        found["hours"] = _hours(season, laid)
    return found


def _hours(season: Season, timelines: Sequence[Timeline]) -> list[Amounts]:
    """Person-hours by role and week. An open task of a cohort moves with its stage by whole days; any other stays.

    Tasks are summed by day first: they are thousands, and each would be looked at in every future.
    """
    orders, by_name = _orders(timelines), {t.cohort.id: t for t in timelines}
    by_stage: dict[tuple[str, str], dict[tuple[Limit, int], float]] = defaultdict(lambda: defaultdict(float))
    for task in season.tasks:
        if task.hours and task.state != "skipped":
            limit = Limit("hours", task.who or ANYONE)
            by_stage[_moves_with(season, task, by_name)][limit, task.date.toordinal()] += task.hours
    sums: list[dict[tuple[Limit, int], float]] = [defaultdict(float) for _ in range(_count(timelines))]
    for (name, stage), by_day in by_stage.items():
        later = _later(by_name[name], stage, orders) if name else (0.0,) * len(sums)
        for of_future, days in zip(sums, later, strict=True):
            if days < inf:
                for (limit, number), hours in by_day.items():
                    of_future[limit, (number + int(days) - 1) // 7] += hours
    return [
        {(limit, date.fromordinal(7 * week + 1)): hours for (limit, week), hours in of_future.items()}
        for of_future in sums
    ]


def _moves_with(season: Season, task: Task, timelines: Mapping[str, Timeline]) -> tuple[str, str]:
    """The cohort and its stage with which a task moves; "" and "" where it never moves."""
    chore, name = season.chores.get(task.chore), next(iter(task.about), "")
    if chore is None or name not in timelines or task.state != "open" or task.moved:
        return "", ""
    timeline = timelines[name]
    stage = stage_for(chore, timeline.cohort)
    at = timeline.stages.get(stage)
    return ("", "") if at is None or at.earliest == at.latest else (name, stage)


def _later(timeline: Timeline, stage: str, orders: Mapping[str, Sequence[int]]) -> Days:
    """By how many days a stage comes later than is likely, in each future."""
    at = timeline.stages[stage]
    likely = at.likely.toordinal()
    return tuple([at.days[n] - likely for n in orders[timeline.variety.id]])


def with_futures(season: Season, uses: Iterable[WeekUse], futures: Sequence[Amounts]) -> Iterator[WeekUse]:
    """The weeks of one kind with what is taken in the futures, and those that are over-full in a fifth of these alone, by week."""
    if not futures:
        yield from uses
        return
    known = {(Limit(use.kind, use.of), use.monday): use for use in uses}
    guessed = {limit for (limit, _), use in known.items() if use.guessed}
    keys = dict.fromkeys([*known, *(key for amounts in futures for key in amounts)])
    for limit, monday in sorted(keys, key=itemgetter(1)):
        own = [amounts.get((limit, monday), 0.0) for amounts in futures]
        use = known.get((limit, monday)) or _unlikely(season, limit, monday, limit in guessed)
        seen = _seen(own, use)
        if (limit, monday) in known or seen.often_over:
            yield replace(use, futures=seen)


def _unlikely(season: Season, limit: Limit, monday: date, guessed: bool) -> WeekUse:
    """A week in which nothing is taken as is likely."""
    has = has_of(season, limit, monday)
    has = None if has is None else round(has, DIGITS)
    return WeekUse(limit.kind, limit.of, monday, 0.0, UNITS[limit.kind], has, guessed, monday)


def _seen(amounts: Sequence[float], use: WeekUse) -> InFutures:
    """The range holds the likely amount."""
    low, high = (round(end, DIGITS) for end in ends(amounts))
    over = 0 if use.has is None else sum(round(amount - use.has, DIGITS + 1) > 0 for amount in amounts)
    return InFutures(min(low, use.amount), max(high, use.amount), over, len(amounts))
