"""What a cohort shows of its variety: the light it had, from when its days could count, and its records as intervals."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import inf
from typing import NamedTuple

from calendar_tui.nature.looks import Between, first_seen, meet, not_yet, seen_on
from calendar_tui.nature.rounding import whole
from calendar_tui.planning.laying_out.heat import Heating, heating, ready_moments
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.season.lots import passes_of
from calendar_tui.season.records import Cohort, Season, Span, Variety
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
AS_ASKED = "as asked"
NOTHING_SEEN = "nothing is recorded of its induction or flowering"
TOO_CLOSE = (
    "by its looks it was induced less than the early time from induced to flowering before it flowered"
)


class Named(NamedTuple):
    """A cohort of one of several seasons. season: its years, "2026-27"; its name where two are of the same years."""

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
class InductionRecord:
    """A cohort that shows when it was induced. record: in day numbers; by: "induced", "flowering" or "look"."""

    name: Named
    light: Light
    record: Between
    by: str


class SeasonCohort(NamedTuple):
    """A cohort of the variety that is fitted, in its season."""

    name: Named
    plan: Plan
    timeline: Timeline


class LeftOut(NamedTuple):
    """A cohort that shows nothing of the response to light, and why; improbable: it has a record, which nothing bears out."""

    name: Named
    why: str
    improbable: bool = False


def years_text(season: Season) -> str:
    """The years of a season: "2026", "2026-27"."""
    first, last = season.first_day.year, season.last_day.year
    return str(first) if first == last else f"{first}-{last % 100:02d}"


def season_cohorts(
    plans: Sequence[Plan], variety: Variety, without: Collection[str] = ()
) -> tuple[list[SeasonCohort], list[LeftOut]]:
    """The cohorts of a variety in every season; those left out: of these names, and those that stand in an earlier one just so."""
    years = Counter(years_text(plan.season) for plan in plans)
    grown, left_out, seen = list[SeasonCohort](), list[LeftOut](), dict[object, Named]()
    for plan in plans:
        of = years_text(plan.season)
        for timeline in own_timelines(plan, variety):
            cohort, site = timeline.cohort, plan.season.site
            name = Named(cohort.id, of if years[of] == 1 else plan.season.name)
            dates = (*sorted(cohort.recorded.items()), *sorted(cohort.not_yet.items()))
            same = cohort.id, site.latitude, site.longitude, dates
            if cohort.id in without:
                left_out.append(LeftOut(name, AS_ASKED))
            elif same in seen:
                left_out.append(LeftOut(name, f"it stands in {seen[same].season} too, and counts once"))
            else:
                seen[same] = name
                grown.append(SeasonCohort(name, plan, timeline))
    return grown, left_out


def induction_record(grown: SeasonCohort, juvenile_d: Sequence[int]) -> InductionRecord | LeftOut:
    """What a cohort of a short-day variety shows, or why it shows nothing. juvenile_d: the juvenile times to be tried."""
    name, plan, timeline = grown
    light = light_of(plan, timeline, juvenile_d)
    if light is None:
        return LeftOut(name, "it does not come up")
    try:
        record, by = _recorded(light.first, timeline)
    except ValueError:
        return LeftOut(name, TOO_CLOSE)
    return InductionRecord(name, light, record, by) if by else LeftOut(name, NOTHING_SEEN)


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


def _recorded(first: date, timeline: Timeline) -> tuple[Between, str]:
    """When it was induced, and by what: its record, else its flowering, else a look at which it was not there yet.

    first: the day of number 0. Raises ValueError where looks and flowering leave no day for it.
    """
    cohort = timeline.cohort
    early, _, late = timeline.variety.induced_to_flowering_d
    looks = [not_yet((day - first).days - back) for day, back in _looks(cohort, whole(late))]
    if "induced" in cohort.recorded:
        day = (cohort.recorded["induced"] - first).days
        looked = [int(look.after) for look in looks if look.after < day]
        return (first_seen(day, max(looked)) if looked else seen_on(day)), "induced"
    if "flowering" in cohort.recorded:
        flowering = (cohort.recorded["flowering"] - first).days
        span = Between(flowering - whole(late) - 1, flowering - whole(early))
        return meet([span, *looks]), "flowering"
    return meet(looks), "look" if looks else ""


def _looks(cohort: Cohort, late_d: int) -> Iterator[tuple[date, int]]:
    """The days on which it was seen not to have got there, and how many days before them it was not induced for sure."""
    for stage, back in (("induced", 0), ("flowering", late_d)):
        if stage in cohort.not_yet:
            yield cohort.not_yet[stage], back


def recorded_spans(every: Iterable[SeasonCohort]) -> Iterator[tuple[str, Named, int]]:
    """The spans between two recorded stages: the variety's key, the cohort, days."""
    for name, plan, timeline in every:
        recorded = timeline.cohort.recorded
        on_heat = heating(plan.season, timeline.cohort, plan.warmth, timeline.stages) is not None
        for key, (begin, end) in SPANS.items():
            if end == "harvest" and _is_forced(plan.season, timeline.cohort):
                continue
            if begin in recorded and end in recorded and not (on_heat and key in _ON_HEAT):
                yield key, name, (recorded[end] - recorded[begin]).days


def _is_forced(season: Season, cohort: Cohort) -> bool:
    """Whether the harvest was on its day for another reason than ripeness: the limit, the window, the weather, the room."""
    day = cohort.recorded.get("harvest")
    return bool(season.passes) and any(
        one.is_forced and one.date == day for one in passes_of(season, cohort.id)
    )


def own_timelines(plan: Plan, variety: Variety) -> list[Timeline]:
    """The cohorts of a variety, in the order of the file."""
    return [t for t in plan.timelines.values() if t.cohort.variety == variety.id]


def ends(light: Light, record: Between) -> tuple[date | None, date | None]:
    """The dates of a record: not yet on the first, on the second; None where nobody looked."""
    after, until = (None if n in (-inf, inf) else light.day(int(n)) for n in record)
    return after, until
