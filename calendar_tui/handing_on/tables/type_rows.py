"""What each type of variety would give, as plain data for JSON."""

from __future__ import annotations

from collections.abc import Iterable

from calendar_tui.handing_on.tables.json_rows import Row, stage_row
from calendar_tui.planning.changes.type_comparison import STAGES, Comparison
from calendar_tui.season.variety_types import VarietyType


def type_rows(compared: Iterable[Comparison]) -> list[Row]:
    """A row a cohort, or sowing, and type; type null: as the variety stands. Stages it does not get to are null."""
    return [
        {
            "variety": dates.timeline.variety.id,
            "cohort": None if of.sown else of.cohort.id,
            "place": of.cohort.stays[-1].place,
            "begun": dates.timeline.begun,
            **_kind_row(dates.kind),
            **{stage: stage_row(dates.stage(stage)) for stage in STAGES},
            "never": dates.never or None,
        }
        for of in compared
        for dates in (of.now, *of.by_type)
    ]


def _kind_row(kind: VarietyType | None) -> Row:
    if kind is None:
        return {"type": None, "name": None, "source": None}
    return {"type": kind.id, "name": kind.name, "source": kind.source}
