"""What is to be decided, as plain data for JSON."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.deciding.decision import Decision


def decision_rows(rows: Iterable[Decision], today: date) -> list[Row]:
    """too_late_since: null where it still is in time. by: null where no day is set."""
    return [
        {
            "kind": row.kind,
            "about": row.about,
            "cohorts": list(row.cohorts),
            "what": row.what,
            "where": row.where,
            "by": row.by,
            "too_late_since": row.past_since(today),
            "why": row.why,
            "stage": row.stage,
            "rules": row.rules,
        }
        for row in rows
    ]
