"""What the planting dates open with, of the cohort that was selected."""

from __future__ import annotations

from datetime import date, timedelta

from calendar_tui.planning.laying_out.stays import growing
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.response.outcomes import Curve, Planting, placed, response, usual_nursery
from calendar_tui.planning.staggering.wish import GROWN_D
from calendar_tui.season.records import Season

YEAR_D = 365


def first_planting(plan: Plan, cohort_id: str) -> Planting | None:
    """As the cohort is planted, with lamps for as long; without one the season's first variety in its first place."""
    season, timeline = plan.season, plan.timelines.get(cohort_id)
    if timeline is not None:
        cohort, here = timeline.cohort, growing(timeline.stays)[0]
        off = None if season.places[here.place].lamps is None else timeline.likely("lights_off")
        return Planting(
            variety=cohort.variety,
            place=here.place,
            part=here.part,
            start=cohort.start,
            nursery=cohort.nursery,
            lights_off=None if off is None else max((off - first_cursor(plan, cohort_id)).days, 1),
        )
    if not season.varieties or not season.places:
        return None
    name = next((p.id for p in season.growing_places), next(iter(season.places)))
    place, part = placed(season, name)
    variety = next(iter(season.varieties))
    nursery = usual_nursery(season, variety, "seed", place)
    return Planting(variety=variety, place=place, part=part, nursery=nursery)


def first_curve(plan: Plan, cohort_id: str) -> Curve | None:
    """The curve the view opens on, or None where there is nothing to plant. Not for the event loop: it may take 0.3 s."""
    planting = first_planting(plan, cohort_id)
    return None if planting is None else curve_of(plan.season, planting)


def first_cursor(plan: Plan, cohort_id: str) -> date:
    """The date on which the cohort is planted; without one the season's first day."""
    timeline = plan.timelines.get(cohort_id)
    planted = None if timeline is None else planting_dates(plan, timeline.variety.id)[cohort_id]
    return planted or plan.season.first_day


def curve_of(season: Season, planting: Planting) -> Curve:
    """A year of planting dates from the season's first day."""
    return response(season, planting, season.first_day, season.first_day + timedelta(days=YEAR_D))


def planting_dates(plan: Plan, variety: str) -> dict[str, date]:
    """When the season's cohorts of a variety are planted, by cohort."""
    return {
        t.cohort.id: t.likely("transplant") or t.stages[t.cohort.first_stage].likely
        for t in plan.timelines.values()
        if t.variety.id == variety
    }


def growth_of(plan: Plan, cohort_id: str) -> int:
    """Days of growth that are wished for: those of the cohort, without one so many as a staggering wishes for."""
    timeline = plan.timelines.get(cohort_id)
    return GROWN_D if timeline is None or timeline.growth_d is None else timeline.growth_d
