"""The phases of a cohort, in words and by date, and the letters of its stages: the same on screens and on paper."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date

from calendar_tui.planning.laying_out.last_pass import stands_uncut
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.stays import Stay, stay_on
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.season.stages import LETTERS, TABLE

# The phases of a cohort, in their order in time, and what the legend calls them.
PHASES: Mapping[str, str] = {
    "nursery": "nursery",
    "natural": "growing on natural days",
    "lamps": "growing under lamps",
    "covers": "under covers",
    "run": "short days, trigger to induced",
    "induced": "induced to flowering",
    "flower": "flowering to harvest",
    "drying": "drying",
}
# The same in a word or two, for legends.
SHORT: Mapping[str, str] = {
    "nursery": "nursery",
    "natural": "natural days",
    "lamps": "under lamps",
    "covers": "under covers",
    "run": "short days",
    "induced": "induced",
    "flower": "flowering",
    "drying": "drying",
}
# The phase that each stage begins, last in time first.
_CUT = ("drying", None)
_BEGINS = tuple((s.name, s.begins) for s in reversed(TABLE) if s.begins != "")


def phase_on(plan: Plan, timeline: Timeline, day: date) -> str | None:
    """The phase a cohort is in on a day (a key of PHASES), or None before its start and when it is dried."""
    return next(phases_on(plan, timeline, (day,)))


def stands_past_harvest(plan: Plan, timeline: Timeline) -> bool:
    """Whether the projected harvest of a cohort is behind, and something of it is left to cut."""
    harvest = timeline.likely("harvest")
    return (
        harvest is not None
        and harvest <= plan.today
        and stands_uncut(plan.season, timeline.cohort.id, plan.today)
    )


def phases_on(plan: Plan, timeline: Timeline, days: Iterable[date]) -> Iterator[str | None]:
    """The phase on each of these days. What stands past its projected harvest does not dry; what comes of it is not known."""
    start, stays = timeline.begun, timeline.stays
    begins = [(begun, phase) for stage, phase in _BEGINS if (begun := timeline.likely(stage))]
    stands = stands_past_harvest(plan, timeline)
    if stands:
        begins = [one for one in begins if one[1] not in _CUT]
    for day in days:
        if day < start or (stands and day > plan.today):
            yield None
            continue
        phase = next((phase for begun, phase in begins if begun <= day), "start")
        if phase in ("start", "growing"):
            stay = stay_on(stays, day)
            phase = "nursery" if phase == "start" and stay.in_nursery else _growing(plan, stay, day)
        yield phase


def _growing(plan: Plan, stay: Stay, day: date) -> str | None:
    """Under lamps, under covers or on natural days; None past the season, where no light is worked out."""
    own = plan.light.places[stay.light]
    n = (day - plan.light.first).days
    if not 0 <= n < len(own.lit):
        return None
    return "covers" if own.covered(day) else "lamps" if own.lit[n] else "natural"


def covered_on(plan: Plan, stays: Sequence[Stay], day: date) -> bool:
    """Whether a cohort with these stays has covers drawn over it on this evening of the season."""
    return plan.light.places[stay_on(stays, day).light].covered(day)


def letter(stage: StageDate) -> str:
    """The stage's letter, a capital where it is recorded."""
    small = LETTERS[stage.stage]
    return small.upper() if stage.status == "recorded" else small
