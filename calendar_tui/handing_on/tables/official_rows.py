"""Official samples as plain data for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.cutting.official_state import (
    Verdict,
    of_variety,
    official_state,
    rules_of,
    sample_days,
    valid_until,
    verdict_on,
    verdict_on_variety,
)
from calendar_tui.planning.plan import Plan
from calendar_tui.season.lots import rules_for
from calendar_tui.season.records import Season
from calendar_tui.season.rules import CHECK, Lot, Official


def officials_data(plan: Plan, lots: Sequence[Lot], flowering_ends: date | None) -> Row:
    """lots: each with its samples, and the days on which the rules have it taken; varieties: those whose mean is judged."""
    return {"lots": [_lot(plan, lot, flowering_ends) for lot in lots], "varieties": _varieties(plan, lots)}


def _lot(plan: Plan, lot: Lot, flowering_ends: date | None) -> Row:
    season, today = plan.season, plan.today
    profile, state = rules_for(season, lot, today), official_state(season, lot)
    days = sample_days(season, plan.timelines[lot.cohort], lot, today, flowering_ends)
    first, last = (days[0].first, days[0].last) if days else (None, None)
    return {
        "lot": lot.id,
        "cohort": lot.cohort,
        "samples": [_sample(season, lot, one) for one in state.all],
        "failed": state.failed,
        "allowed_after_failure": list(profile.after_failure) if profile is not None and state.failed else [],
        "sample_from": first,
        "sample_to": last,
        "sample_days": [
            {
                "from": one.first,
                "to": one.last,
                "rules": None if one.turn.profile is None else one.turn.profile.id,
            }
            for one in days
        ],
        "rules": None if profile is None else profile.id,
        "citation": CHECK if profile is None else profile.citation,
    }


def _sample(season: Season, lot: Lot, one: Official) -> Row:
    return {
        "id": one.id,
        "state": one.state,
        "date": one.date,
        "asked": one.asked,
        "who": one.who,
        "reported": one.reported,
        "outcome": one.outcome,
        "after": one.after,
        "total": one.total,
        "uncertainty": one.uncertainty,
        "uncertainty_is": one.uncertainty_is,
        "valid_until": valid_until(season, lot, one),
        "verdict": _verdict(verdict_on(one, rules_of(season, lot, one))),
    }


def _verdict(verdict: Verdict | None) -> Row | None:
    if verdict is None:
        return None
    judged = verdict.judgement
    return {
        "verdict": None if judged is None else judged.verdict,
        "low": None if judged is None else f"{judged.low:f}",
        "high": None if judged is None else f"{judged.high:f}",
        "missing": verdict.why if judged is None else judged.missing,
        "negligent": verdict.negligent,
    }


def _varieties(plan: Plan, lots: Sequence[Lot]) -> list[Row]:
    judged = dict.fromkeys(
        (plan.season.cohorts[lot.cohort].variety, profile)
        for lot in lots
        if (profile := rules_for(plan.season, lot, plan.today)) is not None
    )
    return [
        {"variety": variety, **(_verdict(verdict) or {}), "citation": profile.citation}
        for variety, profile in judged
        if (verdict := verdict_on_variety([*of_variety(plan.season, variety)], profile)) is not None
    ]
