"""How many days the cutting of a lot takes, by its hours and the crew, and by its weight and the dryer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil
from typing import NamedTuple

from calendar_tui.nature.canopy import POSITIONS, TOP
from calendar_tui.nature.rounding import whole
from calendar_tui.planning.capacity.uses import fresh_kg_each
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.capacity import Capacity
from calendar_tui.season.cutting import Pass
from calendar_tui.season.lots import lots_of_cohort
from calendar_tui.season.measures import measured
from calendar_tui.season.records import Season
from calendar_tui.season.rules import Lot
from calendar_tui.season.wording import number_text
from calendar_tui.season.work import Crew

# Hours that a pair of hands cuts in a day; common practice, no source.
HAND_H = 8.0
# What the tops are of a crop's fresh weight, and of the hours of its cutting, until it was weighed; a starting value, no source.
TOPS_SHARE = 0.5
# What is left where all seems to be cut and no pass is the last.
_LEAST_LEFT = 0.05
# Sums of hours are compared to so many digits.
_DIGITS = 6


class CuttingWork(NamedTuple):
    """days: 1 or more; why: by what, with its figures, "" where nothing is set and a day is assumed."""

    days: int
    why: str = ""


def cutting_work(
    season: Season, timeline: Timeline, lot: Lot, hands: int | None = None, left: float = 1.0
) -> CuttingWork:
    """The days that cutting a lot takes: the longer of the crew's and the dryer's.

    hands: who cut, in place of the crew. left: the share of the lot that is still to be cut, over 0 and up to 1.
    """
    share = _share(season, timeline, lot) * left
    ways = (_by_crew(season, timeline, share, hands), _by_dryer(season, timeline, share))
    work = max(ways, key=lambda work: work.days)
    of_all = f"{100 * left:.0f} % of the lot is left: " if work.why and left < 1 else ""
    return CuttingWork(work.days, of_all + work.why)


def left_to_cut(season: Season, lot: Lot, passes: Sequence[Pass], tops_first: bool) -> float:
    """The share of a lot, by fresh weight, that the next pass and those after it have: what its passes have not cut.

    tops_first: that the tops are cut before it. A pass of no part and no share says nothing of how much it cut.
    """
    tops = _tops_share(season, season.cohorts[lot.cohort].variety)
    of_part = {TOP: tops} | dict.fromkeys((part for part in POSITIONS if part != TOP), (1 - tops) / 2)
    cut = {part: _cut_of(passes, part) for part in of_part}
    if tops_first:
        cut[TOP] = 1.0
    left = sum(share * (1 - cut[part]) for part, share in of_part.items())
    return max(left, _LEAST_LEFT)


def _cut_of(passes: Iterable[Pass], part: str) -> float:
    """How much of a part of the plants the passes have cut, 0 to 1."""
    shares = (
        one.share if one.share is not None else 1.0
        for one in passes
        if not one.plots
        and (part in (one.part, *one.fresh_kg) or (not one.part and not one.fresh_kg and one.share))
    )
    return min(sum(shares), 1.0)


def _tops_share(season: Season, variety: str) -> float:
    """What the tops are of the fresh weight: as it was weighed by part in the passes of the variety, else a starting value."""
    tops = rest = 0.0
    for one in season.passes.values():
        cohort = season.lots[one.lot].cohort if one.lot in season.lots else one.lot
        if cohort in season.cohorts and season.cohorts[cohort].variety == variety:
            tops += one.fresh_kg.get(TOP, 0.0)
            rest += sum(kg for part, kg in one.fresh_kg.items() if part != TOP)
    return tops / (tops + rest) if tops and rest else TOPS_SHARE


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
    each, plants = fresh_kg_each(season, timeline.variety), timeline.cohort.plants
    capacity = season.capacity or Capacity()
    holds = capacity.dryer_holds_kg
    if not holds or each is None or plants is None:
        return CuttingWork(1)
    kg = share * plants * each
    loads = max(1, ceil(round(kg / holds, _DIGITS)))
    load_d = (capacity.dryer_d or whole(timeline.variety.drying_d.likely)) + capacity.dryer_clean_d
    if loads == 1:
        return CuttingWork(
            1, f"{measured(kg, 'kg', '{:.0f}'.format)} fresh, all of which the dryer holds at once"
        )
    return CuttingWork(
        1 + (loads - 1) * load_d,
        f"{measured(kg, 'kg', '{:.0f}'.format)} fresh in {loads} loads of the dryer, {load_d} d each",
    )
