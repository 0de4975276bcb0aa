"""The phases of a cohort, in words and by date, and the letters of its stages: the same on screens and on paper."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from calendar_tui.planning.laying_out.stages import StageDate
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
# The phase that each stage begins, last in time first.
_BEGINS = tuple((s.name, s.begins) for s in reversed(TABLE) if s.begins != "")


def phase_on(plan: Plan, timeline: Timeline, day: date) -> str | None:
    """The phase a cohort is in on a day (a key of PHASES), or None before its start and when it is dried."""
    start = timeline.likely(timeline.cohort.first_stage)
    if start is None or day < start:
        return None
    begun = next((p for s, p in _BEGINS if (d := timeline.likely(s)) and d <= day), "start")
    if begun == "start":
        begun = "nursery" if timeline.stay_on(day).in_nursery else "growing"
    return _growing(plan, timeline, day) if begun == "growing" else begun


def _growing(plan: Plan, timeline: Timeline, day: date) -> str | None:
    """Under lamps, under covers or on natural days; None past the season, where no light is worked out."""
    own = plan.light.places[timeline.stay_on(day).light]
    n = (day - plan.light.first).days
    if not 0 <= n < len(own.lit):
        return None
    return "covers" if own.covered(day) else "lamps" if own.lit[n] else "natural"


def covered_on(plan: Plan, timeline: Timeline, day: date) -> bool:
    """Whether a cohort that stands there has covers drawn over it on this evening of the season."""
    name = timeline.stay_on(day).light
    return plan.light.places[name].covered(day)


def letter(stage: StageDate) -> str:
    """The stage's letter, a capital where it is recorded."""
    small = LETTERS[stage.stage]
    return small.upper() if stage.status == "recorded" else small
