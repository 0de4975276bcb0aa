"""A trend as plain data for JSON."""

from __future__ import annotations

from datetime import date

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.handing_on.tables.result_rows import weighted_row
from calendar_tui.nature.cannabinoid_trend.trend import DayBand, PositionTrend
from calendar_tui.planning.results.figures import Figures
from calendar_tui.planning.results.trend import CohortTrend, LimitDates, position_of


def trend_row(shown: CohortTrend, position: str, limit: LimitDates) -> Row:
    """A lot's trend at one position. Values in % of dry weight, chances 0 to 1, to 4 decimals; null where there is none.

    cut: the day since which nothing of it stands; limit: when it is reached at this position, or would have been; passed: at the position that decides. days: empty under three dates.
    """
    own = position_of(shown.thc, position)
    dates: tuple[date | None, ...] = (None,) * 3
    if own is not None and own.limit_days is not None:
        dates = tuple(map(shown.on, own.limit_days[1:]))
    return {
        "cohort": shown.cohort,
        "lot": shown.lot,
        "position": position,
        "decides": shown.thc.deciding == position,
        "flowering": shown.flowering,
        "today": shown.today,
        "cut": shown.cut,
        "points": _points(shown, position, own),
        "days": [] if own is None else _days(shown, own),
        "limit": {
            "percent": shown.limit,
            **dict(zip(("earliest", "likely", "latest"), dates, strict=True)),
            "passed": limit.is_passed,
        },
        "allowance": _allowance(shown),
        "missing": limit.missing if own is None else own.missing,
        "provisional": own is not None and own.provisional,
        "guess": _guess(shown),
        "laboratories_after_the_first": [] if own is None else list(own.stepped),
        "carried_from": list(shown.earlier),
        "left_out": [{"sample": one.sample.id, "why": why} for one, why in shown.left_out],
        "aside": [
            {"result": one.result.id, "sample": one.result.sample, "why": one.why} for one in shown.aside
        ],
        "weighted": [weighted_row(one) for one in shown.weighted],
        "cbd_days": _cbd_days(shown, position),
        "rules": None if shown.profile is None else shown.profile.citation,
    }


def _points(shown: CohortTrend, position: str, own: PositionTrend | None) -> list[Row]:
    odd = {} if own is None else {one.result: one.chance for one in own.odd}
    chances = {(result.day, result.low, result.high): chance for result, chance in odd.items()}
    return [
        {
            "sample": one.sample.id,
            "date": one.sample.date,
            "day": one.day,
            "low": low,
            "high": high,
            "laboratory": one.result.laboratory or one.sample.laboratory,
            "odd": (one.day, low, high) in chances,
            **_cbd(one.figures),
        }
        for one in shown.used
        if one.sample.position == position and one.figures.thc is not None
        for low, high in [(float(one.figures.thc.low), float(one.figures.thc.high))]
    ]


def _cbd(figures: Figures) -> Row:
    cbd, ratio = figures.cbd, figures.ratio
    return {
        "cbd_low": None if cbd is None else float(cbd.low),
        "cbd_high": None if cbd is None else float(cbd.high),
        "ratio": None if ratio is None else round(float(ratio), 4),
    }


def _days(shown: CohortTrend, own: PositionTrend) -> list[Row]:
    return [{"date": shown.on(band.day), **_band(band)} for band in own.days]


def _band(band: DayBand) -> Row:
    values = band._asdict()
    day = int(values.pop("day"))
    return {"day": day} | {name: None if value is None else round(value, 4) for name, value in values.items()}


def _cbd_days(shown: CohortTrend, position: str) -> list[Row]:
    own = position_of(shown.cbd, position)
    days = [] if own is None else _days(shown, own)
    return [{name: value for name, value in day.items() if name != "p_over"} for day in days]


def _allowance(shown: CohortTrend) -> Row | None:
    """Of the position that decides, where the rules take the uncertainty off: the highest result that is acceptable."""
    allowed = shown.allowance
    if allowed is None:
        return None
    days = [
        {"date": shown.on(day), "day": day, "p_over": round(over, 4)} for day, over in allowed.p_over.items()
    ]
    return {
        "uncertainty": allowed.uncertainty,
        "highest_percent": round(allowed.highest, 4),
        "earliest": shown.on(allowed.earliest),
        "days": days,
    }


def _guess(shown: CohortTrend) -> Row | None:
    if shown.guess is None:
        return None
    half_by = shown.on(shown.guess.half_by)
    return {"reach_it": round(shown.guess.ever, 4), "half_by": half_by, "half_by_day": shown.guess.half_by}
