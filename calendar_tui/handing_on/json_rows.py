"""The same answers as plain data for JSON: dates become ISO 8601 text when they are written."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date
from typing import Any

from calendar_tui.nature.sky import Daylight
from calendar_tui.planning.replan import Proposal
from calendar_tui.planning.stages import StageDate
from calendar_tui.planning.timeline import Timeline

Row = dict[str, Any]


def json_text(value: Any) -> str:
    """JSON, two spaces deep, dates and instants in ISO 8601; what is not seen in a text is escaped."""
    text = json.dumps(value, indent=2, ensure_ascii=False, default=_iso)
    if text.replace("\n", "").isprintable():
        return text
    return "".join(c if c == "\n" or c.isprintable() else json.dumps(c)[1:-1] for c in text)


def _iso(value: Any) -> str:
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} has no JSON form")


def daylight_rows(days: Iterable[Daylight]) -> list[Row]:
    """date; sunrise and sunset as UTC instants or null; natural_h and civil_h in hours."""
    return [
        {
            "date": d.date,
            "sunrise": d.sunrise,
            "sunset": d.sunset,
            "natural_h": round(d.natural_h, 4),
            "civil_h": round(d.civil_h, 4),
        }
        for d in days
    ]


def stage_row(found: StageDate | None) -> Row | None:
    if found is None:
        return None
    row: Row = {
        "earliest": found.earliest,
        "likely": found.likely,
        "latest": found.latest,
        "status": found.status,
        "reason": found.reason,
    }
    if found.intended is not None:
        row["intended"] = found.intended
    if found.dates:
        row["dates"] = list(found.dates)
    return row


def dates_rows(timelines: Iterable[Timeline]) -> list[Row]:
    """One row per cohort and stage."""
    return [
        {"cohort": t.cohort.id, "stage": found.stage, **(stage_row(found) or {})}
        for t in timelines
        for found in t.stages.values()
    ]


def proposal_row(proposal: Proposal, answer: str | None, saved: bool) -> Row:
    """What a proposal moves, and whether it was saved. answer: to the lights-off question, None if it is not asked."""
    old, new = proposal.vegetative_d
    return {
        "change": proposal.change.what,
        "saved": saved,
        "lights_off": answer,
        "vegetative_d": {"old": old, "new": new},
        "stages": [
            {"cohort": m.cohort, "stage": m.stage, "old": stage_row(m.old), "new": stage_row(m.new)}
            for m in proposal.stages
        ],
        "tasks": [
            {
                "id": m.task.id,
                "cohort": m.task.cohort,
                "what": m.task.what,
                "old": m.old.date if m.old else None,
                "new": m.new.date if m.new else None,
            }
            for m in proposal.tasks
        ],
        "clashes": list(proposal.new_clashes),
    }
