"""The review of a season as plain data for JSON."""

from __future__ import annotations

from dataclasses import asdict

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.review.carried import Carried
from calendar_tui.planning.review.outcomes import Outcome
from calendar_tui.planning.review.review import Review


def review_row(review: Review) -> Row:
    """Dates; days; hours; kWh; shares from 0 to 1; null for what is not known."""
    return {
        "season": review.name,
        "today": review.today,
        "records": [_outcome_row(one) for one in review.outcomes],
        "scores": [asdict(one) for one in review.scores],
        "hours": [asdict(one) for one in review.hours],
        "lamps": [asdict(one) for one in review.lamps],
        "outages": [{**asdict(one), "nights": one.nights} for one in review.outages],
        "slips": [{**asdict(one), "days": one.days} for one in review.slips],
        "causes": [asdict(one) for one in review.causes],
        "carry": [carried_row(one) for one in review.carried],
        "missing": list(review.missing),
    }


def _outcome_row(one: Outcome) -> Row:
    return {**asdict(one), "error_d": one.error_d, "inside": one.inside}


def carried_row(one: Carried) -> Row:
    """One figure to carry forward, by its id, with its effect on this season."""
    return {
        "id": one.id,
        "kind": one.kind,
        "name": one.name,
        "figures": [{"field": field, "old": old, "new": new} for field, old, new in one.figures],
        "records": one.n,
        "effect": asdict(one.effect),
        "fitted": one.fit is not None,
        "doubted": [] if one.fit is None else list(one.fit.doubted),
    }
