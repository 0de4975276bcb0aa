"""What the rows of what is to be decided open: a view by its name, and what it needs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calendar_tui.planning.deciding.decision import (
    BATCH,
    CLOSED,
    CUT,
    OFFICIAL,
    OVER,
    RELIGHT,
    RESULT,
    SPRAY,
    Decision,
)

Opens = tuple[Any, ...]
# The kind of record in which a row of this kind is decided, and those of which a new one is made where there is none.
_RECORDS: Mapping[str, str] = {
    CLOSED: "spray",
    SPRAY: "spray",
    BATCH: "batch",
    OFFICIAL: "official",
    RESULT: "result",
}


def opened_by(row: Decision) -> Opens:
    """The form or page where it is decided."""
    if row.stage:
        return "record", row.cohorts[0], row.cohorts[1:], row.stage
    if row.kind == RELIGHT:
        return "lamps", row.cohorts[0]
    if row.kind in (CUT, OFFICIAL):
        return "lot", row.about, True
    if row.kind == OVER or (row.kind == RESULT and not row.record):
        return ("results",)
    if row.record:
        return "form", _RECORDS[row.kind], row.record
    return ("cohort", row.cohorts[0]) if row.cohorts else ("farm",)
