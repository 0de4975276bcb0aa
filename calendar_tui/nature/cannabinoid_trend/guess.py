"""What the prior alone says of a crop without results: a guess, which moves no date."""

from __future__ import annotations

from math import log
from typing import NamedTuple

import numpy as np

from calendar_tui.nature.cannabinoid_trend.bands import normal_cdf
from calendar_tui.nature.cannabinoid_trend.curve_fit import Floats, grid, position_belief, shape
from calendar_tui.nature.cannabinoid_trend.prior import TOTAL_THC, Prior

LAST_D = 120


def share_reaching(limit: float, prior: Prior = TOTAL_THC, position: str = "top") -> Floats:
    """The share of such crops whose curve has been at the limit (%) by day 0, 1 ... 120 after flowering; shape (121,)."""
    curves = grid(prior)
    highest = np.maximum.accumulate(shape(np.arange(LAST_D + 1.0), curves), axis=0)
    own = position_belief(prior, position)
    spread = (prior.plateau_log.sd**2 + own.sd**2) ** 0.5
    weight = np.exp(curves.log_weight - curves.log_weight.max())
    reached = normal_cdf((prior.plateau_log.mean + own.mean + highest - log(limit)) / spread)
    out: Floats = reached @ (weight / weight.sum())
    return out


class Guess(NamedTuple):
    """Of crops like this: the share that ever reaches a limit (%), and the day by which half of those have."""

    limit: float
    ever: float
    half_by: int | None


def guess(limit: float, prior: Prior = TOTAL_THC, position: str = "top") -> Guess:
    """What stands beside a cohort under three dates: "87 of 100 such crops reach it, half of those by day 33".

    half_by is None where fewer than one crop in a hundred gets there.
    """
    reached = share_reaching(limit, prior, position)
    ever = float(reached[-1])
    return Guess(limit, ever, int(np.argmax(reached >= ever / 2)) if ever >= 0.01 else None)


def day_reached(
    limit: float, share: float = 0.5, prior: Prior = TOTAL_THC, position: str = "top"
) -> int | None:
    """The first day by which a share of all such crops has reached the limit (%). None where so many never do."""
    reached = share_reaching(limit, prior, position) >= share
    return int(np.argmax(reached)) if reached.any() else None
