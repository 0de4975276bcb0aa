"""What is projected as a stage is recorded, kept beside the record: dates are compared with it when the season is over."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from calendar_tui.planning.laying_out.stages import Range
from calendar_tui.planning.plan import Plan
from calendar_tui.season.edits import Edit
from calendar_tui.season.records import Cohort
from calendar_tui.season.stages import BEFORE, DRAFTED, KEPT_AT, STAGES

# What is kept of: what the plants decide, and the harvest, which follows them. The first sample follows flowering day by day.
_KEPT = tuple(stage for stage in STAGES if stage not in (*DRAFTED, "sampling"))


def forecast_before(plan: Plan, cohort: str, stage: str) -> Range | None:
    """What is projected for a stage before it is recorded; None where it has a date of its own, or none at all."""
    before = plan.timelines[cohort].stages.get(stage)
    return before.range if before is not None and before.status == "projected" else None


def forecasts_last(edits: list[Edit]) -> list[Edit]:
    """The edits, with those that keep projections behind all others: in a history they are what is read last."""
    return sorted(edits, key=lambda edit: edit.kind == "cohort" and edit.field[0] in KEPT_AT.values())


def with_later_forecasts(plan: Plan, cohort: Cohort, stage: str) -> tuple[Cohort, list[Edit]]:
    """The cohort with what `plan` projects of later stages, and the edits; none where the stage keeps nothing, or has kept it.

    plan: without the record. A record that is corrected keeps what was projected first.
    """
    key = KEPT_AT.get(stage, "")
    if not key or getattr(cohort, key):
        return cohort, []
    later = {one: forecast_before(plan, cohort.id, one) for one in _KEPT if one not in BEFORE[stage]}
    kept = {one: found for one, found in later.items() if found is not None}
    changed: dict[str, Any] = {key: kept}
    edits = [Edit("set", "cohort", (cohort.id,), (key, one), list(found)) for one, found in kept.items()]
    return replace(cohort, **changed), edits
