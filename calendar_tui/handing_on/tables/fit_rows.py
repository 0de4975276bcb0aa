"""A fit of a variety to its records, as plain data for JSON."""

from __future__ import annotations

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.nature.refit import Margin
from calendar_tui.planning.refit.doubts import Outside
from calendar_tui.planning.refit.fit import Fit, UsedRecord
from calendar_tui.planning.refit.records import Named


def fit_row(fit: Fit) -> Row:
    """Day lengths in h, spans in d, dates; left: standard deviation after over before; figure: as it is taken
    over, from the sets; errors: days from projection to record."""
    return {
        "variety": fit.variety.id,
        "seasons": list(fit.seasons),
        "other_sites": list(fit.sites),
        "set_aside": list(fit.aside),
        "records": [_taken_row(one) for one in fit.records],
        "contradicted": [_taken_row(one) for one in fit.contradicted],
        "counted_as_asked": sorted(fit.counted),
        "left_out": [{**_name_row(one.name), "why": one.why} for one in fit.left_out],
        "outside": _outside_row(fit.outside),
        "figures": [
            {
                "key": one.key,
                "before": _margin_row(one.before),
                "after": _margin_row(one.after),
                "figure": [round(n, 3) for n in getattr(fit.fitted, one.key)],
                "left": round(one.left, 2),
                "learnt": one.how,
            }
            for one in fit.figures
        ],
        "together": [
            {"keys": [tie.one, tie.other], "correlation": round(tie.correlation, 2)} for tie in fit.pairs
        ],
        "spans": [
            {
                "key": span.key,
                "before": list(span.before),
                "after": list(span.after),
                "recorded": [{**_name_row(name), "days": days} for name, days in span.recorded],
            }
            for span in fit.spans
        ],
        "beyond": [
            {"cohort": b.cohort, "days": b.days, "low_h": round(b.low_h, 2), "high_h": round(b.high_h, 2)}
            for b in fit.outlook.gaps
        ],
        "by_juvenile_time": list(fit.outlook.by_age),
        "next": [
            {
                "cohort": one.cohort,
                "planted": one.planted,
                "left": {key: round(n, 2) for key, n in one.left.items()},
            }
            for one in fit.outlook.lessons
        ],
    }


def _outside_row(outside: Outside | None) -> Row | None:
    if outside is None:
        return None
    return {
        "records": [_name_row(name) for name in outside.names],
        "better_types": list(outside.better),
    }


def _name_row(name: Named) -> Row:
    return {"cohort": name.cohort, "season": name.season}


def _margin_row(margin: Margin) -> Row:
    return {key: round(value, 3) for key, value in margin._asdict().items()}


def _taken_row(one: UsedRecord) -> Row:
    return {
        **_name_row(one.name),
        "by": one.by,
        "after": one.after,
        "until": one.until,
        "by_others": one.by_others,
        "by_none": one.by_none,
        "error_d": one.error_d,
        "error_before_d": one.error_before_d,
    }
