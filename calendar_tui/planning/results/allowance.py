"""What a result may come to where the rules take the laboratory's uncertainty off, and how sure a new one is to be over that.

Needs numpy, as trend.py does.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from calendar_tui.nature.cannabinoid_trend.curve_fit import Fit
from calendar_tui.nature.cannabinoid_trend.trend import chances_over, limit_days
from calendar_tui.planning.results.judged import judged_of
from calendar_tui.planning.results.used import Used
from calendar_tui.season.rules import Profile


class Allowance(NamedTuple):
    """uncertainty: of the last result, "0.04 percentage points"; highest: the result (%) that less it is just at the limit.

    p_over: the chance, 0 to 1, that a new result is over that, by day after flowering. earliest: the first day, from the last
    sample on, on which its 95 % edge is at it; None where not within 35 d.
    """

    uncertainty: str
    highest: float
    p_over: Mapping[int, float]
    earliest: int | None = None


def allowance_of(used: Sequence[Used], days: range, profile: Profile | None, fitted: Fit) -> Allowance | None:
    """For the results of one position, and their fit. None where the rules take nothing off, or no report has any."""
    judged = None if profile is None else judged_of(used, profile)
    if judged is None:
        return None
    latest = fitted.results[-1]
    chances = chances_over(fitted, latest.position, days, latest.laboratory, judged.highest)
    reached = limit_days(fitted, latest.position, latest.laboratory, judged.highest)
    return Allowance(*judged, dict(zip(days, chances, strict=True)), reached.earliest)
