"""What is to be decided, as plain data for JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.deciding.decision import Decision
from calendar_tui.planning.deciding.listing import tally_of, urgent_rows


def decisions_row(rows: Sequence[Decision], today: date) -> Row:
    """The list with its counts.

    counts: to_decide, and how many of these are overdue; to_look_at; to_record, each cohort by itself; closed, places.
    first: of what is to be decided, the row that the line of a login names; null where there is none.
    """
    urgent = urgent_rows(rows)
    overdue = sum(row.past_since(today) is not None for row in urgent)
    return {
        "date": today,
        "counts": {**tally_of(rows)._asdict(), "overdue": overdue},
        "first": next(iter(decision_rows(urgent, today)), None),
        "decisions": decision_rows(rows, today),
    }


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
