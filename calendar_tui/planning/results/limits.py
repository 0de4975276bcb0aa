"""The earliest day on which each lot reaches its limit, as far as results show it."""

from __future__ import annotations

from datetime import date

from calendar_tui.planning.results.trend import LaidOut, limit_dates
from calendar_tui.season.lots import lots_of_cohort


def limits_of(plan: LaidOut) -> dict[str, date]:
    """By lot, or cohort that is one, the earliest day of its limit; none where there are too few results, or no limit.

    Takes a while for each lot that has results.
    """
    sampled = dict.fromkeys(one.sample.cohort for one in plan.results.used)
    lots = [lot.id for name in sampled for lot in lots_of_cohort(plan.season, name)]
    dates = {lot: limit_dates(plan, lot).earliest for lot in lots}
    return {lot: day for lot, day in dates.items() if day is not None}
