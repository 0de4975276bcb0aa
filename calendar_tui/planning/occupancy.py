"""What stands in each place on a day, and what comes next: by the likely dates, from its stay's first day up to the harvest."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.planning.laying_out.last_pass import stands_uncut
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan


class Occupancy(NamedTuple):
    """What a place holds. now: cohorts that stand there on the day. plants: of those of which the number is known, None where
    it is of none. next: the cohort that comes next, and its day; None where none does.
    """

    now: tuple[str, ...]
    plants: int | None
    next: tuple[str, date] | None


def occupancy_of(plan: Plan, place: str, day: date) -> Occupancy:
    """What the place, all its parts together, holds on a day."""
    spans = [(t.cohort, *span) for t in plan.timelines.values() for span in _spans(plan, t, place, day)]
    now = [cohort for cohort, first, end in spans if first <= day < end]
    coming = sorted((first, cohort.id) for cohort, first, end in spans if first > day)
    known = [cohort.plants for cohort in now if cohort.plants is not None]
    following = (coming[0][1], coming[0][0]) if coming else None
    return Occupancy(tuple(cohort.id for cohort in now), sum(known) if known else None, following)


def _spans(plan: Plan, timeline: Timeline, place: str, day: date) -> Iterator[tuple[date, date]]:
    """The first day of each stay of a cohort in a place, and the day after its last.

    One of which something is left to cut stands there on the day, however long ago its harvest was projected.
    """
    cut = timeline.cohort.recorded.get("harvest") or timeline.likely("harvest") or date.max
    if day == plan.today and stands_uncut(plan.season, timeline.cohort.id, day):
        cut = max(cut, day + timedelta(days=1))
    for stay in timeline.stays:
        first, end = max(stay.first, timeline.begun), min(stay.end, cut)
        if stay.place == place and first < end:
            yield first, end
