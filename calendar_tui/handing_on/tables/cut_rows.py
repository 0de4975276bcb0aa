"""The day to cut as plain data for JSON."""

from __future__ import annotations

from datetime import date

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.nature.cutting_days import Bound
from calendar_tui.planning.cutting.gains import Gain
from calendar_tui.planning.cutting.limits import LimitDays
from calendar_tui.planning.cutting.windows import LotCut
from calendar_tui.season.records import Season
from calendar_tui.season.rules import CHECK


def cut_row(season: Season, cut: LotCut, harvest: date | None, gain: Gain | None = None) -> Row:
    """One lot: `earliest` and `latest` day to begin with the rule at each, `complete_by`, `conflict` with both rules, or null.

    harvest: as it is projected or planned. what_if: null where nothing is tried.
    """
    return {
        "lot": cut.lot.id,
        "cohort": cut.lot.cohort,
        "variety": season.cohorts[cut.lot.cohort].variety,
        "pass": cut.passes + 1,
        "done": cut.done,
        **_ends(cut),
        "cutting_d": cut.work.days,
        "cutting_why": cut.work.why,
        "ripeness": None
        if cut.ripe is None
        else {
            "earliest": cut.ripe.earliest,
            "likely": cut.ripe.likely,
            "latest": cut.ripe.latest,
        },
        "harvest": harvest,
        "limit": None if cut.limit is None else _limit(cut.limit),
        "rules": None if cut.profile is None else cut.profile.id,
        "citation": CHECK if cut.profile is None else cut.profile.citation,
        "rules_to_come": [
            {
                "rules": one.profile.id,
                "starts": one.begins,
                "citation": one.profile.citation,
                "limit": None if one.limit is None else _limit(one.limit),
            }
            for one in cut.to_come
        ],
        "what_if": None
        if gain is None
        else {
            **_ends(gain.tried),
            "cutting_d": gain.tried.work.days,
            "days": gain.days,
            "p_over": gain.over_before,
            "p_over_then": gain.over_after,
        },
    }


def _ends(cut: LotCut) -> Row:
    window, conflict = cut.window, cut.window.conflict
    return {
        "earliest": _day(window.earliest),
        "earliest_rule": _rule(window.earliest),
        "not_before": _day(window.not_before),
        "not_before_rule": _rule(window.not_before),
        "latest": _day(cut.latest),
        "latest_rule": f"not known: {cut.why_no_latest}" if cut.why_no_latest else _rule(cut.latest),
        "complete_by": None if cut.latest is None else _day(cut.complete_by),
        "days": None if cut.latest is None else window.days,
        "waits_for": list(window.waits_for),
        "conflict": None if conflict is None else [one.rule for one in conflict],
    }


def _day(bound: Bound | None) -> date | None:
    return None if bound is None else bound.day


def _rule(bound: Bound | None) -> str | None:
    return None if bound is None else bound.rule


def _limit(limit: LimitDays) -> Row:
    return {
        "percent": limit.limit,
        "judged_percent": limit.judged,
        "uncertainty": limit.uncertainty or None,
        "position": limit.position,
        "earliest": limit.earliest,
        "likely": limit.likely,
        "latest": limit.latest,
        "plain_earliest": limit.plain[0] if limit.plain else limit.earliest,
        "plain_likely": limit.plain[1] if limit.plain else limit.likely,
        "plain_latest": limit.plain[2] if limit.plain else limit.latest,
        "provisional": limit.provisional,
        "dates_missing": limit.missing,
        "newest_bag": limit.newest,
        "guess_half_by": limit.half_by,
    }
