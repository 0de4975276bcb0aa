"""What is to be cut in a week, how it stands, and what the budget leaves of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.nature.sample_sizes import pooled_cv
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.sampling.bag_states import LOST, PLANNED, BagState, bag_states
from calendar_tui.planning.sampling.budget import GivenUp, Kept, within_budget
from calendar_tui.planning.sampling.planned import planned_bags
from calendar_tui.season.lots import lots_of_cohort
from calendar_tui.season.records import Season
from calendar_tui.season.sampling import Sample
from calendar_tui.season.weeks import first_of_week

# Spreads of plants in a bag, CV in %: from seed 20 to 30, from cuttings 8 to 15; of a sub-sample and of one laboratory 5 (memory).
PLANT_CV: Mapping[str, float] = {"seed": 25.0, "cutting": 15.0}
SUB_CV = LABORATORY_CV = 5.0
# Plants a bag that are compared.
SIZES = (3, 5, 10, 20)


class SamplingWeek(NamedTuple):
    """bags: all planned ones of the week, by day. further: recorded ones of the week that no plan asks for. kept: of all that
    are still to be cut from this week on, what the budget leaves.
    """

    first: date
    bags: tuple[BagState, ...]
    further: tuple[Sample, ...]
    kept: Kept

    @property
    def last(self) -> date:
        return self.first + timedelta(days=6)

    @property
    def given_up(self) -> tuple[GivenUp, ...]:
        """The bags of the week that the budget leaves out."""
        return tuple(one for one in self.kept.given_up if self.first <= one.bag.day <= self.last)

    @property
    def to_cut(self) -> tuple[BagState, ...]:
        """The bags of the week that are open and kept within the budget."""
        out = {one.bag for one in self.given_up}
        return tuple(one for one in self.bags if one.is_open and one.bag not in out)


def sampling_week(
    season: Season,
    timelines: Mapping[str, Timeline],
    day: date,
    limits: Mapping[str, date] = {},
    begins: int = 0,
) -> SamplingWeek:
    """The week that holds a day. limits: by cohort or lot, the day on which its limit is reached, where that is worked out.

    begins: its first weekday, counted from Monday as 0.
    """
    first = first_of_week(day, begins)
    states = bag_states(season, planned_bags(season, timelines))
    last = first + timedelta(days=6)
    of_week = tuple(one for one in states if first <= one.bag.day <= last)
    planned = {one.sample.id for one in states if one.sample is not None}
    further = tuple(
        s
        for s in season.samples.values()
        if first <= s.date <= last and s.id not in planned and s.state != LOST
    )
    coming = [one.bag for one in states if one.is_open and one.bag.day >= first]
    kept = within_budget(season, coming, cut_days(season, timelines, limits))
    return SamplingWeek(first, of_week, further, kept)


def next_trip(season: Season, timelines: Mapping[str, Timeline], day: date) -> date | None:
    """The first day from this one on for which plans ask for a bag that has no id; None where none does."""
    states = bag_states(season, planned_bags(season, timelines))
    return min((one.bag.day for one in states if one.sample is None and one.bag.day >= day), default=None)


def cut_days(
    season: Season, timelines: Mapping[str, Timeline], limits: Mapping[str, date] = {}
) -> dict[tuple[str, str], date]:
    """By cohort and lot, the earliest of its limit, its projected harvest and the last day that is allowed for it.

    Where a cohort has one lot, this is "".
    """
    days: dict[tuple[str, str], date] = {}
    for name, timeline in timelines.items():
        lots = lots_of_cohort(season, name)
        for lot in lots:
            known = (timeline.likely("harvest"), lot.harvest_by, limits.get(lot.id), limits.get(name))
            if ends := [day for day in known if day is not None]:
                days[name, lot.id if len(lots) > 1 else ""] = min(ends)
    return days


def held_bags(season: Season) -> tuple[Sample, ...]:
    """The bags that are cut and not sent yet, or have an id and are still to be cut, by day."""
    reported = {result.sample for result in season.results.values()}
    here = (s for s in season.samples.values() if s.state in ("taken", PLANNED) and s.id not in reported)
    return tuple(sorted(here, key=lambda s: (s.date, s.cohort)))


class BagSize(NamedTuple):
    """Plants a bag, and how far results then scatter around the lot: CV in %."""

    plants: int
    cv: float


def bag_sizes(start: str, plants: int) -> tuple[BagSize, ...]:
    """What more or fewer plants a bag mean for one result of a crop from "seed" or "cutting", this number among them."""
    sizes = sorted({*SIZES, plants})
    return tuple(BagSize(n, pooled_cv(PLANT_CV[start], n, SUB_CV, LABORATORY_CV)) for n in sizes)
