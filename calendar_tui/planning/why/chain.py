"""The whole derivation of a date: the stages it rests on, and the count of short days, day by day where it matters."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from calendar_tui.nature.plant import Response, counts, day_count
from calendar_tui.planning.lamps.broken_count import broken_run
from calendar_tui.planning.laying_out.stages import StageDate, likely_response
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.season.stages import BY_NAME

# The days before the trigger that are shown, so that one sees what ended.
LEAD_D = 5


@dataclass(frozen=True, slots=True)
class WhyDay:
    """One day of the count. place: the name of the light, with the part of a screened place; natural_h and felt_h in
    hours; covered: whether covers are drawn; adds: what the day adds; count: at its end.
    """

    day: date
    place: str
    natural_h: float
    lit_for: tuple[str, ...]
    felt_h: float
    covered: bool
    adds: float
    count: float


def chain(timeline: Timeline, stage: str) -> tuple[StageDate, ...]:
    """The stage and all it rests on, first things first. A recorded stage rests on nothing."""
    wanted: set[str] = set()
    waiting = [stage]
    while waiting:
        name = waiting.pop()
        if name in wanted or name not in timeline.stages:
            continue
        wanted.add(name)
        if timeline.stages[name].status != "recorded":
            waiting += BY_NAME[name].rests_on
    return tuple(stage_date for name, stage_date in timeline.stages.items() if name in wanted)


def days_behind(plan: Plan, cohort_id: str, stage: str) -> tuple[WhyDay, ...]:
    """The days of the count behind a stage, where it rests on them or would."""
    timeline = plan.timelines[cohort_id]
    rests = {stage_date.stage for stage_date in chain(timeline, stage) if stage_date.status != "recorded"}
    return counted_days(plan, cohort_id) if "induced" in rests or stage == "trigger" or timeline.never else ()


def counted_days(plan: Plan, cohort_id: str) -> tuple[WhyDay, ...]:
    """The days of the count of a short-day cohort, from shortly before its trigger to its induction.

    Before these, where a run since lights off was lost, its days with the day that put the count back.
    Where the plants are never induced, every day from the first that can count to the season's last. Empty for
    day-neutral varieties.
    """
    timeline = plan.timelines[cohort_id]
    variety, light = timeline.variety, plan.light
    if timeline.ready is None:
        return ()
    start = light.index(timeline.ready.likely)
    response = likely_response(variety)
    totals = counts(timeline.felt_h, start, response)
    trigger, induced = timeline.likely("trigger"), timeline.likely("induced")
    first = start if trigger is None else max(start, light.index(trigger) - LEAD_D)
    last = len(timeline.felt_h) - 1 if induced is None else light.index(induced)
    lost = broken_run(timeline, light)
    before = () if lost is None else range(lost.first, min(lost.last + 2, first))
    return tuple(
        _day(plan, timeline, i, totals[i - start], response) for i in (*before, *range(first, last + 1))
    )


def _day(plan: Plan, timeline: Timeline, i: int, count: float, response: Response) -> WhyDay:
    day = plan.light.first + timedelta(days=i)
    name = timeline.stay_on(day).light
    light = plan.light.places[name]
    felt = timeline.felt_h[i]
    lit_for = light.lit_for(day) if light.lit[i] else ()
    adds, covered = day_count(felt, response), light.covered(day)
    return WhyDay(day, name, plan.light.natural_h[i], lit_for, felt, covered, adds, count)
