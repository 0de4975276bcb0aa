"""The closed places in which cohorts stand today."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan

if TYPE_CHECKING:
    from calendar_tui.planning.spraying.closures import Closure


def closed_places(plan: Plan) -> Mapping[str, Closure]:
    """The closures of today by the names of their lights; next to no work in a season without sprays."""
    if not plan.season.sprays:
        return {}
    from calendar_tui.planning.spraying.closures import closed_today

    return closed_today(plan.season, plan.today)


def closure_over(plan: Plan, cohorts: Iterable[str], closed: Mapping[str, Closure]) -> tuple[Closure, ...]:
    """The closures in which any of these cohorts stands today."""
    there = (timeline for name in cohorts if stands_today(plan, timeline := plan.timelines[name]))
    lights = dict.fromkeys(timeline.stay_on(plan.today).light for timeline in there)
    return tuple(closed[light] for light in lights if light in closed)


def stands_today(plan: Plan, timeline: Timeline) -> bool:
    """Whether a cohort has begun and is not harvested."""
    return timeline.begun <= plan.today and "harvest" not in timeline.cohort.recorded


def closed_texts(plan: Plan, timeline: Timeline, closed: Mapping[str, Closure]) -> tuple[str, ...]:
    """That nobody enters the place where a cohort stands, and until when."""
    over = closure_over(plan, (timeline.cohort.id,), closed)
    if not over:
        return ()
    from calendar_tui.planning.spraying.closed_work import entry_texts

    return entry_texts(over)
