"""What a cohort shows of its variety: the light it had, from when its days could count, and its records as intervals."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import inf
from typing import NamedTuple

from calendar_tui.nature.looks import Between, meet, seen_on
from calendar_tui.nature.rounding import whole
from calendar_tui.planning.laying_out.heat import Heating, heating, ready_moments
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.season.records import Season, Span, Variety
from calendar_tui.season.variety_types import with_figures

# The spans that two recorded stages give: the variety's key, and the stages.
SPANS: Mapping[str, tuple[str, str]] = {
    "emergence_d": ("seeding", "emergence"),
    "rooting_d": ("sticking", "rooted"),
    "induced_to_flowering_d": ("induced", "flowering"),
    "flowering_to_harvest_d": ("flowering", "harvest"),
    "drying_d": ("harvest", "dried"),
}
# Those whose place sums of heat take where a season runs on heat.
_ON_HEAT = ("emergence_d", "induced_to_flowering_d")
NOTHING_SEEN = "neither induced nor flowering is recorded"


class Named(NamedTuple):
    """A cohort of one of several seasons. season: its years, "2026-27"."""

    cohort: str
    season: str


@dataclass(frozen=True, slots=True)
class Light:
    """The felt day (h) on each day from `first`, and the day numbers from which days count, a juvenile time each or one."""

    first: date
    felt_h: tuple[float, ...]
    starts: tuple[int, ...]

    def day(self, number: int) -> date:
        """The date of a day number."""
        return self.first + timedelta(days=number)


@dataclass(frozen=True, slots=True)
class Shown:
    """A cohort that shows when it was induced. record: in day numbers; by: what is recorded of it, in words."""

    name: Named
    light: Light
    record: Between
    by: str


class LeftOut(NamedTuple):
    """A cohort that shows nothing of the response to light, and why."""

    name: Named
    why: str


def years_text(season: Season) -> str:
    """The years of a season: "2026", "2026-27"."""
    first, last = season.first_day.year, season.last_day.year
    return str(first) if first == last else f"{first}-{last % 100:02d}"


def shown_by(plan: Plan, timeline: Timeline, juvenile_d: Sequence[int]) -> Shown | LeftOut:
    """What a cohort of a short-day variety shows, or why it shows nothing. juvenile_d: the juvenile times to be tried."""
    name = Named(timeline.cohort.id, years_text(plan.season))
    light = light_of(plan, timeline, juvenile_d)
    if light is None:
        return LeftOut(name, "it does not come up")
    record, by = _recorded(plan, timeline)
    return LeftOut(name, NOTHING_SEEN) if record is None else Shown(name, light, record, by)


def light_of(plan: Plan, timeline: Timeline, juvenile_d: Sequence[int]) -> Light | None:
    """The light of a cohort as it is in the plan, and from when its days count; None where it does not come up."""
    starts = _starts(plan, timeline, juvenile_d)
    return None if starts is None else Light(plan.light.first, timeline.felt_h, starts)


def _starts(plan: Plan, timeline: Timeline, juvenile_d: Sequence[int]) -> tuple[int, ...] | None:
    first, cohort = plan.light.first, timeline.cohort
    if cohort.start == "cutting":
        return ((timeline.begun - first).days,)
    up = timeline.likely("emergence")
    if up is None:
        return None
    heat = heating(plan.season, cohort, plan.warmth, timeline.stages)
    if heat is None:
        return tuple([(up - first).days + days for days in juvenile_d])
    return tuple([_ready(heat, timeline, days) for days in juvenile_d])


def _ready(heat: Heating, timeline: Timeline, juvenile_d: int) -> int:
    """The day number after a juvenile time given in days, in a season that runs on heat; past its end where it takes longer."""
    variety = with_figures(timeline.variety, juvenile_d=Span.exactly(juvenile_d))
    ready = heat.over_years(ready_moments(heat, timeline.cohort, variety, timeline.stages))
    return heat.last + 1 if ready is None else (ready.likely - heat.first).days


def _recorded(plan: Plan, timeline: Timeline) -> tuple[Between | None, str]:
    """When it was induced, as its records have it; by its flowering where that alone is recorded."""
    first, recorded = plan.light.first, timeline.cohort.recorded
    if "induced" in recorded:
        return seen_on((recorded["induced"] - first).days), "induced"
    if "flowering" in recorded:
        flowering = (recorded["flowering"] - first).days
        early, _, late = timeline.variety.induced_to_flowering_d
        return meet([Between(flowering - whole(late) - 1, flowering - whole(early))]), "flowering"
    return None, ""


def spans_shown(plan: Plan, own: Sequence[Timeline]) -> Iterator[tuple[str, Named, int]]:
    """The spans between two recorded stages: the variety's key, the cohort, days."""
    for timeline in own:
        recorded, name = timeline.cohort.recorded, Named(timeline.cohort.id, years_text(plan.season))
        on_heat = heating(plan.season, timeline.cohort, plan.warmth, timeline.stages) is not None
        for key, (begin, end) in SPANS.items():
            if begin in recorded and end in recorded and not (on_heat and key in _ON_HEAT):
                yield key, name, (recorded[end] - recorded[begin]).days


def own_timelines(plan: Plan, variety: Variety) -> list[Timeline]:
    """The cohorts of a variety, in the order of the file."""
    return [t for t in plan.timelines.values() if t.cohort.variety == variety.id]


def ends(light: Light, record: Between) -> tuple[date | None, date | None]:
    """The dates of a record: not yet on the first, on the second; None where nobody looked."""
    after, until = (None if n in (-inf, inf) else light.day(int(n)) for n in record)
    return after, until
