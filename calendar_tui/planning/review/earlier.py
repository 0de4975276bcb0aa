"""What the season would have said some days before each record: laid out from its file as it was then."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.review.outcomes import Outcome, outcome
from calendar_tui.season.records import Season
from calendar_tui.season.stages import DRAFTED


def days_before(season: Season, ahead_d: int) -> tuple[date, ...]:
    """The days that lie so many days before a record that the plants decide, each once, in order."""
    every = (
        day for c in season.cohorts.values() for stage, day in c.recorded.items() if stage not in DRAFTED
    )
    return tuple(sorted({day - timedelta(days=ahead_d) for day in every}))


def earlier_projections(season: Season, ahead_d: int, then: Mapping[date, Season]) -> Iterator[Outcome]:
    """Every record beside what was projected so many days before it, by the program as it is now.

    then: the season as its file was at the end of these days; a record whose day is not among them is left out.
    """
    plans = {day: make_plan(was, day) for day, was in then.items()}
    for cohort in season.cohorts.values():
        for stage, day in cohort.recorded.items():
            plan = plans.get(day - timedelta(days=ahead_d))
            if stage in DRAFTED or plan is None or cohort.id not in plan.timelines:
                continue
            stage_date = plan.timelines[cohort.id].stages.get(stage)
            if stage_date is not None and stage_date.status == "projected":
                yield outcome(cohort, stage, f"{ahead_d} d before", day, stage_date.range)
