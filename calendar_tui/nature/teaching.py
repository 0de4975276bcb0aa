"""What a record that is still to come is expected to teach, and how well some records tell another.

Needs numpy, as `nature/refit.py` does.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from calendar_tui.nature.looks import SCALES, Between, Floats, error_cdf, t4_cdf
from calendar_tui.nature.refit import TAUGHT, Days, Weights, margin


def expected_left(weights: Weights, days: Days, count: int) -> dict[str, float]:
    """Standard deviation of each figure of TAUGHT, expected after over before, once a cohort's induction is recorded.

    days: the day on which each point of the grid induces the cohort, as `refit.induction_days` has it for `count` felt days.
    The root of the mean of the variance that each record would leave, by how likely it is (the law of total variance).
    """
    columns = np.where(days < 0, count, days).ravel()
    share = weights.share.ravel()
    seen = _seen(count)
    at = np.bincount(columns, share, count + 1)
    likely = seen @ at
    heavy = likely > 1e-12
    left = {}
    for figure in TAUGHT:
        values = _values(weights, figure)
        mean = seen @ np.bincount(columns, share * values, count + 1)
        square = seen @ np.bincount(columns, share * values**2, count + 1)
        variance = float((square[heavy] - mean[heavy] ** 2 / likely[heavy]).sum())
        sd = margin(weights, figure).sd
        left[figure] = min(max(variance, 0.0) ** 0.5 / sd, 1.0) if sd else 1.0
    return left


def _seen(count: int, scales: Mapping[float, float] = SCALES) -> Floats:
    """How likely a record of each day is (rows; the last: none) for plants induced on each day (columns; the last: never)."""
    days = np.arange(count, dtype=np.float64)
    apart: Floats = np.subtract.outer(days, days)
    out = np.zeros((count + 1, count + 1))
    out[:count, :count] = error_cdf(apart + 0.5, scales) - error_cdf(apart - 0.5, scales)
    out[count] = 1 - out[:count].sum(axis=0)
    return out


def _values(weights: Weights, figure: str) -> Floats:
    """The value of a figure at each point of the grid, flat."""
    grid = weights.grid
    by_figure = {
        "critical_h": np.array(grid.critical_h)[:, None, None, None],
        "full_h": np.subtract.outer(np.array(grid.critical_h), np.array(grid.width_h))[:, :, None, None],
        "juvenile_d": np.array(grid.juvenile_d, dtype=np.float64)[None, None, :, None],
        "inductive_d": np.array(grid.inductive_d)[None, None, None, :],
    }
    out: Floats = np.broadcast_to(by_figure[figure], grid.shape).ravel()
    return out


def likely_day(weights: Weights, days: Days, count: int) -> int | None:
    """The median day of induction over the weights; None where most of the weight is on points that never induce."""
    heaped = np.cumsum(_by_day(weights.share, days, count))
    day = int(np.searchsorted(heaped, heaped[-1] / 2))
    return None if day >= count else day


def tail(by_scale: Floats, days: Days, record: Between, scales: Mapping[float, float] = SCALES) -> float:
    """How likely a record at least so early, or at least so late, is: the smaller of the two shares.

    by_scale: what is believed of the scales and the points of the grid, as `refit.by_scale` has it; days: the day on which
    each point induces the cohort. Plants that are never induced are recorded late only.
    """
    last = int(days.max())
    on_days = np.arange(last + 1, dtype=np.float64)
    by_until = by_after = 0.0
    for share, scale in zip(by_scale, scales, strict=True):
        at = _by_day(share, days, last + 1)[:-1]
        by_until += float(at @ t4_cdf((_held(record.until) + 0.5 - on_days) / scale))
        by_after += float(at @ t4_cdf((_held(record.after) + 0.5 - on_days) / scale))
    return min(by_until, 1 - by_after)


def _by_day(share: Floats, days: Days, never: int) -> Floats:
    """How much is believed of each day of induction, from 0 on; last, as day `never`, of none."""
    columns = np.where(days < 0, never, days).ravel()
    return np.bincount(columns, share.ravel(), never + 1).astype(np.float64, copy=False)


def _held(end: float) -> float:
    """An end as a finite day number, far off where nobody looked."""
    return min(max(end, -1e6), 1e6)


def days_outside(by_scale: Floats, days: Days, record: Between) -> int:
    """By how many days a record lies before the 10th or after the 90th percentile of the day of induction; 0 within them.

    by_scale, days: as for `tail`. No record is after them where the 90th percentile is never.
    """
    last = int(days.max())
    heaped = np.cumsum(_by_day(by_scale.sum(axis=0), days, last + 1))
    early, late = (int(np.searchsorted(heaped, heaped[-1] * part)) for part in (0.1, 0.9))
    first_day, last_day = record.after + 1, record.until
    if last_day < early:
        return int(early - last_day)
    return int(first_day - late) if late < first_day and late <= last else 0
