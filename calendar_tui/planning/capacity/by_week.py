"""What a season takes of the farm week by week, against what there is: hours, dryer, trays, room, lamps and samples."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import NamedTuple

from calendar_tui.planning.capacity.hours import Load, loads
from calendar_tui.planning.capacity.uses import (
    UNITS,
    WEEK,
    Limit,
    Use,
    dryer_uses,
    has_of,
    room_uses,
    sample_uses,
    tray_uses,
)
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Season, Task
from calendar_tui.season.weeks import monday_of

# In the order in which they are told.
KINDS = ("hours", "dryer", "trays", "room", "lamps", "circuits", "samples")
# Sums of parts are compared to this many digits, and single figures to one more.
DIGITS = 2
# In fewer than this share of the futures an over-full week is not told.
LEAST_OVER = 0.2
OF_COHORTS: Mapping[str, Callable[[Season, Timeline, date], Iterator[Use]]] = {
    "dryer": dryer_uses,
    "trays": lambda season, timeline, today: tray_uses(season, timeline),
    "room": lambda season, timeline, today: room_uses(season, timeline),
    "samples": lambda season, timeline, today: sample_uses(season, timeline),
}


class Share(NamedTuple):
    """What one cohort takes, and on which days, both ends counted."""

    cohort: str
    amount: float
    first: date
    last: date


class InFutures(NamedTuple):
    """What is taken in the futures: the 10th and 90th percentile of the amount, and in how many of them it is too much."""

    low: float
    high: float
    over: int
    of: int

    @property
    def often_over(self) -> bool:
        """Whether it is too much in a fifth of them or more."""
        return self.over >= LEAST_OVER * self.of


@dataclass(frozen=True, slots=True)
class WeekUse:
    """What is taken of one thing in one week, Monday to Sunday.

    kind: one of KINDS; of: a role, a nursery, a light, a place, or "" where there is but one; amount: of hours, lamps and
    samples the sum of the week, else the most on one day; unit: of amount and has; has: what there is, None where it is not
    told; guessed: whether some of it rests on a guess; day: the first on which the most is taken, the Monday of sums;
    shares: of that day, or of the week, the largest first (cohorts share the lamps' nights, so theirs may come to more);
    tasks: those behind hours, the largest first; futures: None where it is not worked out.
    """

    kind: str
    of: str
    monday: date
    amount: float
    unit: str
    has: float | None
    guessed: bool
    day: date
    shares: tuple[Share, ...] = ()
    tasks: tuple[Task, ...] = ()
    futures: InFutures | None = None

    @property
    def over(self) -> float:
        """Excess over capacity, in `unit`; 0 if it fits or no capacity is set."""
        return 0.0 if self.has is None else max(round(self.amount - self.has, DIGITS + 1), 0.0)

    @property
    def may_be_over(self) -> bool:
        """Whether it fits as is likely, and is over-full in a fifth of the futures or more."""
        return not self.over and self.futures is not None and self.futures.often_over

    @property
    def label(self) -> str:
        return self.of or self.kind

    @property
    def cohorts(self) -> tuple[str, ...]:
        """Those behind it, in the order of what they take."""
        named = [share.cohort for share in self.shares] or [
            name for task in self.tasks for name in task.about
        ]
        return tuple(dict.fromkeys(named))


def hours_by_week(season: Season) -> Iterator[WeekUse]:
    """Person-hours of every week and role that has some, in order of both."""
    return map(_of_load, loads(season))


def _of_load(load: Load) -> WeekUse:
    return WeekUse(
        "hours",
        load.role,
        load.monday,
        load.hours,
        UNITS["hours"],
        load.has_h,
        load.guessed,
        load.monday,
        tasks=load.tasks,
    )


def cohort_uses(season: Season, timelines: Iterable[Timeline], kind: str, today: date) -> list[Use]:
    """What these cohorts take of the "dryer", the "trays", the "room" or the "samples"."""
    of = OF_COHORTS[kind]
    return [use for timeline in timelines for use in of(season, timeline, today)]


def most_by_week(
    season: Season, uses: Iterable[Use], guessed: Collection[str] = (), first: date = date.min
) -> Iterator[WeekUse]:
    """The most that is taken on one day of each week, by limit, and then by week.

    guessed: the cohorts whose amount is a guess; first: no week before this Monday.
    """
    for limit, of_limit in _by_limit(uses, first).items():
        has = has_of(season, limit, of_limit[0].first)
        for monday, of_week in sorted(_of_weeks(of_limit, first).items()):
            yield _most(limit, monday, of_week, has, guessed)


def over_by_week(
    season: Season, uses: Iterable[Use], first: date, guessed: Collection[str] = ()
) -> Iterator[WeekUse]:
    """The same of the weeks, from this Monday on, that are over-full; quick where few are."""
    for limit, of_limit in _by_limit(uses, first).items():
        has = has_of(season, limit, of_limit[0].first)
        over = [] if has is None else _over_mondays(of_limit, has, first)
        weeks = _of_weeks(of_limit, first) if over else {}
        for monday in over:
            week = _most(limit, monday, weeks[monday], has, guessed)
            if week.over:
                yield week


def _by_limit(uses: Iterable[Use], first: date) -> dict[Limit, list[Use]]:
    by_limit: dict[Limit, list[Use]] = defaultdict(list)
    for use in uses:
        if use.end > first:
            by_limit[use.limit].append(use)
    return by_limit


def _over_mondays(uses: Iterable[Use], has: float, first: date) -> list[date]:
    """The weeks with a day on which more is taken than there is: one pass over the days on which that changes."""
    changes: dict[date, float] = defaultdict(float)
    for use in uses:
        changes[max(use.first, first)] += use.amount
        changes[use.end] -= use.amount
    mondays: dict[date, None] = {}
    taken = 0.0
    for day, end in pairwise(sorted(changes)):
        taken += changes[day]
        monday = monday_of(day)
        while taken > has and monday < end:
            mondays[monday] = None
            monday += WEEK
    return list(mondays)


def _of_weeks(uses: Iterable[Use], first: date) -> dict[date, list[Use]]:
    """The uses of each week, by its Monday."""
    weeks: dict[date, list[Use]] = defaultdict(list)
    for use in uses:
        monday = max(monday_of(use.first), first)
        while monday < use.end:
            weeks[monday].append(use)
            monday += WEEK
    return weeks


def _most(
    limit: Limit, monday: date, uses: Sequence[Use], has: float | None, guessed: Collection[str]
) -> WeekUse:
    """The most is taken on the Monday, or on a day on which something begins."""
    days = sorted({max(use.first, monday) for use in uses})
    sums = {day: sum(use.amount for use in uses if use.first <= day < use.end) for day in days}
    day = max(days, key=lambda d: round(sums[d], DIGITS))
    there = [use for use in uses if use.first <= day < use.end]
    shares = [Share(use.cohort, use.amount, use.first, use.end - timedelta(days=1)) for use in there]
    return WeekUse(
        limit.kind,
        limit.of,
        monday,
        round(sums[day], DIGITS),
        UNITS[limit.kind],
        None if has is None else round(has, DIGITS),
        any(use.cohort in guessed for use in there),
        day,
        largest_first(shares),
    )


def largest_first(shares: Iterable[Share]) -> tuple[Share, ...]:
    return tuple(sorted(shares, key=lambda share: (-share.amount, share.first, share.cohort)))
