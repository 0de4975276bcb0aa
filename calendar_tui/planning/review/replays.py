"""The season laid out again without what was seen of the plants from a stage on: what other figures would have said of it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from typing import Any

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.review.outcomes import DEFAULTS, Outcome, outcome, projected
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.fitted_sets import IN_SETS
from calendar_tui.season.records import Cohort, Season, Span, Variety
from calendar_tui.season.stages import AFTER, DRAFTED, STAGES
from calendar_tui.season.variety_types import filled, own_values

# Stages that a grower decides on stay as they were, whatever is taken away, but for the harvest, which follows the plants.
_STAYS = frozenset(DRAFTED)
_SPANS = frozenset(
    field.key
    for field in FIELDS["variety"]
    if isinstance(getattr(Variety(id="v", response="short-day"), field.key, None), Span)
)
# The figures of a variety that move its dates.
DATING = (
    _SPANS
    | {*IN_SETS, "sets", "before_fit", "cutting_spread", "juvenile_cd", "emergence_to_flowering_cd"}
    | {"induced_to_flowering_cd"}
)


def by_default(variety: Variety) -> Variety:
    """The variety without figures of its own that move dates: those of its type stand in their place, or the program's."""
    kept: dict[str, Any] = {k: v for k, v in own_values(variety).items() if k not in DATING}
    return Variety(**filled(kept))


def without_seen(season: Season, stage: str) -> Season:
    """The season without what was recorded or looked for of this stage and later ones, but for what the grower decides on."""
    gone = ({stage} | AFTER[stage]) - _STAYS
    cohorts = {name: _without(cohort, gone) for name, cohort in season.cohorts.items()}
    return replace(season, cohorts=cohorts, passes={}, batches={}, readings={}, results={}, officials={})


def _without(cohort: Cohort, gone: Collection[str]) -> Cohort:
    recorded = {stage: day for stage, day in cohort.recorded.items() if stage not in gone}
    looks = {stage: day for stage, day in cohort.not_yet.items() if stage not in gone}
    meant = {
        table: {stage: day for stage, day in getattr(cohort, table).items() if stage not in gone}
        for table in ("planned", "replanned")
    }
    changed: dict[str, Any] = {"recorded": recorded, "not_yet": looks, **meant}
    return replace(cohort, **changed)


def replayed(plan: Plan, varieties: Mapping[str, Variety], basis: str = DEFAULTS) -> Iterator[Outcome]:
    """Every record that the plants decide beside what these varieties would have said of it, stage by stage.

    Of each stage by the records of the stages before it, without looks at the stage itself. varieties: all of the season's.
    """
    season = replace(plan.season, varieties=varieties)
    for stage in STAGES:
        seen = [c for c in plan.season.cohorts.values() if stage in c.recorded and stage not in _STAYS]
        if not seen:
            continue
        again = make_plan(without_seen(season, stage), plan.today)
        for cohort in seen:
            said = projected(again, again.season.cohorts[cohort.id], stage)
            if said is not None:
                yield outcome(cohort, stage, basis, cohort.recorded[stage], said)
