"""Results as plain data for JSON. Amounts are text, so that no digit is lost."""

from __future__ import annotations

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.nature.measured import Interval
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.results.due import due_results
from calendar_tui.planning.results.remarks import remarks_of
from calendar_tui.planning.results.used import Used
from calendar_tui.planning.results.varieties import variety_verdicts
from calendar_tui.planning.results.verdicts import verdict_of
from calendar_tui.planning.results.weighted import WeightedMean, weighted_means

# What is of the report as a whole, and of each analyte in it as it is written there.
REPORT = ("report", "method", "collected", "received", "tested")
OF_ANALYTES = ("found", "lod", "loq", "uncertainties")


def results_data(plan: Plan) -> Row:
    """results: those that count, in the order of days after flowering; weighted: means of positions, as information; varieties: where the mean of one is judged; aside: with why; out: bags without a result."""
    return {
        "results": [_used_row(plan, one) for one in plan.results.used],
        "weighted": [weighted_row(one) for one in weighted_means(plan.season, plan.results.used)],
        "varieties": [
            {
                "variety": one.variety,
                "results": [used.result.id for used in one.results],
                "mean": _ends(one.mean),
                "written": None if one.written is None else f"{one.written:f}",
                "verdict": one.verdict,
                "why": one.why,
                "after": list(one.after),
                "rules": one.profile.citation,
            }
            for one in variety_verdicts(plan.season, plan.results, plan.today)
        ],
        "aside": [
            {
                "id": one.result.id,
                "date": one.result.date,
                "sample": one.result.sample,
                "cohort": one.sample.cohort if one.sample else None,
                "why": one.why,
            }
            for one in plan.results.aside
        ],
        "out": [
            {
                "sample": one.sample.id,
                "cohort": one.sample.cohort,
                "plot": one.sample.plot,
                "position": one.sample.position,
                "likely": one.likely,
                "latest": one.latest,
                "overdue": one.is_overdue(plan.today),
            }
            for one in due_results(plan.season)
        ],
    }


def weighted_row(one: WeightedMean) -> Row:
    """The mean of the positions of a cut by what the parts weighed; shares of that weight, 0 to 1."""
    return {
        "lot": one.whose,
        "cut": one.cut,
        "shares": {position: f"{share:f}" for position, share in one.shares.items()},
        "total_thc": _ends(one.mean),
    }


def _used_row(plan: Plan, one: Used) -> Row:
    figures, verdict = one.figures, verdict_of(plan.season, one, plan.today)
    return {
        "id": one.result.id,
        "date": one.result.date,
        "sample": one.sample.id,
        "cohort": one.sample.cohort,
        "lot": one.sample.lot,
        "block": one.sample.block,
        "plot": one.sample.plot,
        "position": one.sample.position,
        "cut": one.sample.date,
        "day": one.day,
        "basis": figures.basis,
        "total_thc": _ends(figures.thc),
        "total_cbd": _ends(figures.cbd),
        "acid_factor": str(figures.factor),
        "laboratory": one.result.laboratory,
        **{key: getattr(one.result, key) for key in REPORT},
        "unit": one.result.unit,
        **{key: dict(getattr(one.result, key)) for key in OF_ANALYTES},
        "remarks": list(remarks_of(one)),
        "gap": figures.gap,
        "verdict": None if verdict is None else verdict.verdict,
        "why": "" if verdict is None else verdict.why,
        "rules": None if verdict is None else verdict.profile.citation,
    }


def _ends(found: Interval | None) -> Row | None:
    return None if found is None else {"low": f"{found.low:f}", "high": f"{found.high:f}"}
