"""The fits of results, kept: the limit's dates, the bands and what is carried on ask for the same one.

Re-planning lays the season out anew for each change, with the same results. Needs numpy.
"""

from __future__ import annotations

from functools import lru_cache

from calendar_tui.nature.cannabinoid_trend.carried import carried, taught
from calendar_tui.nature.cannabinoid_trend.curve_fit import Fit, fit
from calendar_tui.nature.cannabinoid_trend.guess import Guess, guess
from calendar_tui.nature.cannabinoid_trend.prior import TOTAL_CBD, TOTAL_THC, Prior
from calendar_tui.nature.cannabinoid_trend.trend import LimitDays, limit_ahead
from calendar_tui.planning.results.taken_in import Rows

Earlier = tuple[Rows, ...]
_GENERAL = {"thc": TOTAL_THC, "cbd": TOTAL_CBD}


@lru_cache(maxsize=128)
def prior_after(analyte: str, earlier: Earlier) -> Prior:
    """What is expected of "thc" or "cbd" in a cohort once the results of those before it are known."""
    return carried(_GENERAL[analyte], [taught(fit_after(rows, analyte, ())) for rows in earlier])


@lru_cache(maxsize=64)
def fit_after(rows: Rows, analyte: str, earlier: Earlier) -> Fit:
    """What is believed after the results of one position, or of all together, and of the cohorts before."""
    return fit(rows, prior_after(analyte, earlier))


@lru_cache(maxsize=512)
def limit_after(rows: Rows, limit: float, earlier: Earlier) -> tuple[LimitDays, dict[int, float]]:
    """When total THC at one position reaches a limit (%), and by day a new result's chance to be over it."""
    return limit_ahead(fit_after(rows, "thc", earlier), rows[-1].position, rows[-1].laboratory, limit)


@lru_cache(maxsize=64)
def guess_after(limit: float, position: str, earlier: Earlier) -> Guess:
    """What stands beside a cohort before it has a trend."""
    return guess(limit, prior_after("thc", earlier), position)
