"""The heat a stage rests on, day by day, in the year that comes nearest to its likely date."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from calendar_tui.nature.heat import sum_at
from calendar_tui.nature.rounding import whole
from calendar_tui.planning.laying_out.heat import (
    Heating,
    Moments,
    emergence,
    flower_sums,
    flowering,
    germination,
    heating,
    induced_moments,
    juvenile_sums,
    ready_moments,
    shoot_moments,
)
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.why.chain import chain

LAST_HEAT = "flower development"


@dataclass(frozen=True, slots=True)
class HeatDay:
    """One day: its temperatures where the plants stand (C), what it adds, and the sum at its end."""

    day: date
    place: str
    low_c: float
    high_c: float
    adds: float
    total: float


@dataclass(frozen=True, slots=True)
class HeatRun:
    """One sum that is reached. what: "germination", ...; unit: "C h" or "C d"; year: whose temperatures are shown."""

    what: str
    unit: str
    method: str
    needed: float
    year: str
    days: tuple[HeatDay, ...]


def heat_behind(plan: Plan, cohort_id: str, stage: str) -> Iterator[HeatRun]:
    """The heat of each stage that a stage rests on."""
    for stage_date in chain(plan.timelines[cohort_id], stage):
        yield from heat_runs(plan, cohort_id, stage_date.stage)


def heat_runs(plan: Plan, cohort_id: str, stage: str) -> tuple[HeatRun, ...]:
    """The sums that emergence, the trigger (its juvenile time) or flowering rests on; none where it runs on days."""
    timeline = plan.timelines[cohort_id]
    heat = heating(plan.season, timeline.cohort, plan.warmth, timeline.stages)
    if heat is None or stage in timeline.cohort.recorded:
        return ()
    steps = _STEPS.get(stage)
    return () if steps is None else tuple(steps(timeline, heat))


def _emergence(timeline: Timeline, heat: Heating) -> Iterator[HeatRun]:
    variety, likely = timeline.variety, timeline.stages.get("emergence")
    if likely is None or timeline.cohort.start != "seed":
        return
    sown = heat.steady(timeline.stages["seeding"].course)
    germinated = germination(heat, variety, timeline.stages)
    up = emergence(heat, variety, timeline.stages)
    year = _nearest(heat, up, likely.likely)
    yield from _run(heat, "germination", sown, germinated, variety.germination_ch.likely, year)
    needed = variety.germination_to_emergence_cd.likely
    yield from _run(heat, "growth to emergence", germinated, up, needed, year)


def _juvenile(timeline: Timeline, heat: Heating) -> Iterator[HeatRun]:
    cohort, variety = timeline.cohort, timeline.variety
    if timeline.ready is None or cohort.start != "seed" or "emergence" not in timeline.stages:
        return
    begun = shoot_moments(heat, cohort, variety, timeline.stages)
    ended = ready_moments(heat, cohort, variety, timeline.stages)
    needed = juvenile_sums(heat, cohort, variety).likely
    year = _nearest(heat, ended, timeline.ready.likely)
    yield from _run(heat, "juvenile time", begun, ended, needed, year)


def _flowering(timeline: Timeline, heat: Heating) -> Iterator[HeatRun]:
    cohort, variety, stages = timeline.cohort, timeline.variety, timeline.stages
    if "flowering" not in stages:
        return
    if variety.response == "day-neutral":
        begun = shoot_moments(heat, cohort, variety, stages)
    elif "induced" in stages:
        begun = induced_moments(heat, cohort, variety, stages, timeline.felt_h)
    else:
        return
    needed = flower_sums(heat, cohort, variety)
    ended = flowering(heat, cohort, variety, begun)
    year = _nearest(heat, ended, stages["flowering"].likely)
    yield from _run(heat, LAST_HEAT, begun, ended, needed.likely, year)


_STEPS: dict[str, Callable[[Timeline, Heating], Iterator[HeatRun]]] = {
    "emergence": _emergence,
    "trigger": _juvenile,
    "flowering": _flowering,
}


def _nearest(heat: Heating, ended: Moments, likely: date) -> int | None:
    """The number of the year whose likely moment is nearest to the likely date; None where none gets there."""
    wanted = (likely - heat.first).days
    apart = [(abs(whole(m) - wanted), year) for year, m in enumerate(ended.by_year) if m is not None]
    return min(apart)[1] if apart else None


def _run(
    heat: Heating, what: str, begun: Moments, ended: Moments, needed: float, year: int | None
) -> Iterator[HeatRun]:
    start, end = (None, None) if year is None else (begun.by_year[year], ended.by_year[year])
    if year is None or start is None or end is None:
        return
    unit = "C h" if what == "germination" else "C d"
    days = tuple(_days(heat, year, unit, start, end))
    name = heat.years[year].name
    # Germination's pace is along a sine wave whatever the method of the sums.
    method = "single-sine" if unit == "C h" else heat.heat.method
    yield HeatRun(what, unit, method, needed, name, days)


def _days(heat: Heating, number: int, unit: str, start: float, end: float) -> Iterator[HeatDay]:
    """The days of a run in the year of this number."""
    total = 0.0
    for n in range(int(start), max(ceil(end), int(start) + 1)):
        turn = heat.turn_on(n)
        year = turn.years[number]
        sums = year.germination if unit == "C h" else year.heat
        first, last = max(start, n), min(end, n + 1)
        adds = sum_at(sums, last) - sum_at(sums, first) if last > first else 0.0
        total += adds
        yield HeatDay(heat.first + timedelta(days=n), turn.place, year.low_c[n], year.high_c[n], adds, total)
