"""How many days the cutting of a lot takes, by its hours and the crew, and by its weight and the dryer."""

from __future__ import annotations

from math import ceil
from typing import NamedTuple

from calendar_tui.nature.rounding import whole
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.capacity import Capacity
from calendar_tui.season.lots import lots_of_cohort
from calendar_tui.season.records import Season
from calendar_tui.season.rules import Lot
from calendar_tui.season.wording import number_text
from calendar_tui.season.work import Crew

# Hours that a pair of hands cuts in a day; common practice, no source.
HAND_H = 8.0
# Sums of hours are compared to so many digits.
_DIGITS = 6


class CuttingWork(NamedTuple):
    """days: 1 or more; why: by what, with its figures, "" where nothing is set and a day is assumed."""

    days: int
    why: str = ""


def cutting_work(season: Season, timeline: Timeline, lot: Lot, hands: int | None = None) -> CuttingWork:
    """The days that cutting a lot takes: the longer of the crew's and the dryer's. hands: who cut, in place of the crew."""
    share = _share(season, timeline, lot)
    ways = (_by_crew(season, timeline, share, hands), _by_dryer(season, timeline, share))
    return max(ways, key=lambda work: work.days)


def _share(season: Season, timeline: Timeline, lot: Lot) -> float:
    """A lot's share of its cohort: by plants where both are known, else an equal one."""
    lots = lots_of_cohort(season, lot.cohort)
    plants = timeline.cohort.plants
    return lot.plants / plants if lot.plants and plants else 1 / max(len(lots), 1)


def _by_crew(season: Season, timeline: Timeline, share: float, hands: int | None) -> CuttingWork:
    chores = {chore.id for chore in season.chores.values() if chore.records == "harvest"}
    tasks = [t for t in season.tasks if t.chore in chores and t.cohort == timeline.cohort.id and t.hours]
    crew = season.crew or Crew()
    work = CuttingWork(1)
    for role in dict.fromkeys(task.who for task in tasks):
        hours = share * sum(task.hours for task in tasks if task.who == role and task.state != "skipped")
        a_day = HAND_H * hands if hands else crew.hours_per_week.get(role, 0.0) / max(len(crew.work_days), 1)
        if not a_day or not hours:
            continue
        days = max(1, ceil(round(hours / a_day, _DIGITS)))
        why = f"{number_text(round(hours, 1))} h of {role or 'anyone'} at {number_text(round(a_day, 1))} h a day"
        work = max(work, CuttingWork(days, why), key=lambda one: (one.days, bool(one.why)))
    return work


def _by_dryer(season: Season, timeline: Timeline, share: float) -> CuttingWork:
    """Each load beyond the first waits until the one before it is out and the dryer is clean."""
    each, plants = timeline.variety.fresh_kg_per_plant, timeline.cohort.plants
    capacity = season.capacity or Capacity()
    holds = capacity.dryer_holds_kg
    if not holds or each is None or plants is None:
        return CuttingWork(1)
    kg = share * plants * each
    loads = max(1, ceil(round(kg / holds, _DIGITS)))
    load_d = (capacity.dryer_d or whole(timeline.variety.drying_d.likely)) + capacity.dryer_clean_d
    if loads == 1:
        return CuttingWork(1, f"{kg:.0f} kg fresh, all of which the dryer holds at once")
    return CuttingWork(
        1 + (loads - 1) * load_d, f"{kg:.0f} kg fresh in {loads} loads of the dryer, {load_d} d each"
    )
