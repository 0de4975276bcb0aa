"""The trend of an analyte in one cohort: bands a day, the day a limit is reached, results that do not fit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from math import ceil, inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from calendar_tui.nature.cannabinoid_trend.bands import below, normal_cdf, percentiles
from calendar_tui.nature.cannabinoid_trend.curve_fit import Fit, curve_ahead, fit, left_out, result_ahead
from calendar_tui.nature.cannabinoid_trend.prior import TOTAL_THC, Prior
from calendar_tui.nature.cannabinoid_trend.results import (
    Result,
    check,
    dates_missing,
    deciding_position,
    is_provisional,
    since_flowering,
)

AHEAD_D = 35  # how far after the last sample a limit's day is looked for
ODD_SHARE = 0.01  # a result outside the middle 99 % of what the others foretell is odd


class DayBand(NamedTuple):
    """One day after flowering. %: the crop's curve at 5, 50, 95 %; a new result's at 5 and 95 %; its chance to be over."""

    day: float
    low: float
    likely: float
    high: float
    result_low: float
    result_high: float
    p_over: float | None


class LimitDays(NamedTuple):
    """Whole days after flowering on which a limit (%) is reached; None where not within 35 d after the last sample.

    earliest: the 95 % edge of a new result; likely: the median of the curve; latest: the 5 % edge of the curve. Looked for
    from the day of the last sample on, so that a limit passed before it is reached on that day.
    """

    limit: float
    earliest: int | None
    likely: int | None
    latest: int | None


class Odd(NamedTuple):
    """A result that the others do not foretell: how likely one so low, or so high, was. It stays in the trend."""

    result: Result
    chance: float


class PositionTrend(NamedTuple):
    """What the results of one canopy position come to. days and limit_days are empty under three dates.

    missing: dates still needed. provisional: exactly three dates. stepped: laboratories after the first one.
    """

    position: str
    points: tuple[Result, ...]
    missing: int
    provisional: bool
    days: tuple[DayBand, ...]
    limit_days: LimitDays | None
    odd: tuple[Odd, ...]
    stepped: tuple[str, ...]


class Trend(NamedTuple):
    """All positions, the top first; deciding: whose trend is held against the limit; aside: results before flowering."""

    positions: tuple[PositionTrend, ...]
    deciding: str | None
    aside: tuple[Result, ...]


def trend(
    results: Sequence[Result],
    days: Sequence[float],
    limit: float | None = None,
    prior: Prior = TOTAL_THC,
    joint: bool = False,
    fitted: Callable[[tuple[Result, ...], Prior], Fit] = fit,
) -> Trend:
    """The trend of one cohort's results on some days after flowering; limit in %, None for an analyte without one.

    Each position is fitted by itself; joint: all of them at once, each a level of its own on one curve. A new result is
    one of the laboratory of the latest. fitted: how results are fitted, where fits are kept. Raises ValueError for a value no crop can have, naming the result.
    """
    check(results)
    if limit is not None and not 0 < limit <= 100:
        raise ValueError(f"a limit of {limit:g} %: it must be over 0 and not over 100")
    rows = since_flowering(results)
    points = {name: tuple([row for row in rows if row.position == name]) for name in _order(rows, prior)}
    made = [
        _position_trend(name, own, days, limit, partial(fitted, rows if joint else own, prior))
        for name, own in points.items()
    ]
    aside = tuple(sorted(result for result in results if result.day < 0))
    return Trend(tuple(made), deciding_position(rows), aside)


def _order(rows: Sequence[Result], prior: Prior) -> list[str]:
    """As the prior has them, the top first, then own names by the alphabet."""
    known = list(prior.positions)
    return sorted(
        {row.position for row in rows},
        key=lambda name: (known.index(name) if name in known else len(known), name),
    )


def _position_trend(
    position: str,
    points: tuple[Result, ...],
    days: Sequence[float],
    limit: float | None,
    fit_of_it: Callable[[], Fit],
) -> PositionTrend:
    missing = dates_missing(points)
    laboratories = list(dict.fromkeys(row.laboratory for row in points))
    stepped = tuple(laboratories[1:])
    if missing:
        return PositionTrend(position, points, missing, False, (), None, (), stepped)
    fitted = fit_of_it()
    laboratory = points[-1].laboratory
    bands = day_bands(fitted, position, days, laboratory, limit)
    reached = None if limit is None else limit_days(fitted, position, laboratory, limit)
    odd = tuple([one for one in odd_results(fitted) if one.result.position == position])
    return PositionTrend(position, points, 0, is_provisional(points), bands, reached, odd, stepped)


def day_bands(
    fitted: Fit, position: str, days: Sequence[float], laboratory: str, limit: float | None
) -> tuple[DayBand, ...]:
    """Both bands on each of the days, and a new result's chance to be over the limit (%), None without one."""
    if not len(days):
        return ()
    curve = curve_ahead(fitted, position, days)
    result = result_ahead(fitted, position, days, laboratory)
    found = [*percentiles(curve, (0.05, 0.5, 0.95)), *percentiles(result, (0.05, 0.95))]
    edges = [edge.tolist() for edge in found]
    over = [None] * len(days) if limit is None else (1 - below(result, limit)).tolist()
    return tuple([DayBand(*row) for row in zip(days, *edges, over, strict=True)])


def chances_over(
    fitted: Fit, position: str, days: Sequence[float], laboratory: str, value: float
) -> list[float]:
    """The chance of a new result to be over a value (%), on each of the days."""
    over: list[float] = (1 - below(result_ahead(fitted, position, days, laboratory), value)).tolist()
    return over


def limit_days(fitted: Fit, position: str, laboratory: str, limit: float) -> LimitDays:
    """The days on which the limit is reached. An edge is at the limit when so much of the mixture is below it."""
    return limit_ahead(fitted, position, laboratory, limit)[0]


def limit_ahead(
    fitted: Fit, position: str, laboratory: str, limit: float
) -> tuple[LimitDays, dict[int, float]]:
    """`limit_days`, and a new result's chance to be over the limit on each of the days on which it is looked for."""
    last = ceil(max(row.day for row in fitted.results if row.position == position))
    days = range(last, last + AHEAD_D + 1)
    curve = below(curve_ahead(fitted, position, days), limit)
    result = below(result_ahead(fitted, position, days, laboratory), limit)
    reached = LimitDays(
        limit, _first(days, result <= 0.95), _first(days, curve <= 0.5), _first(days, curve <= 0.05)
    )
    return reached, dict(zip(days, (1 - result).tolist(), strict=True))


def _first(days: Sequence[int], reached: NDArray[np.bool_]) -> int | None:
    return days[int(np.argmax(reached))] if reached.any() else None


def odd_results(fitted: Fit) -> tuple[Odd, ...]:
    """The results outside the middle 99 % of what all others of the fit foretell, in closed form, without a second fit.

    For each grid point a result left out is normal, by the inverse covariance (Rasmussen and Williams 2006, section 5.4.2,
    memory); the weights are those without it. Its interval, where it has one, is in its error.
    """
    out = []
    for at, result in enumerate(fitted.results):
        pull, precision = left_out(fitted, at)
        off = pull / np.sqrt(precision)
        logs = fitted.log_weight + off**2 / 2 - np.log(precision) / 2
        weight = np.exp(logs - logs.max())
        share = float((normal_cdf(off) * weight).sum() / weight.sum())
        chance = min(share, 1 - share)
        if chance < ODD_SHARE / 2:
            out.append(Odd(result, chance))
    return tuple(out)


class Uncertainty(NamedTuple):
    """A laboratory's measurement uncertainty: percentage points, or, relative, % of the result."""

    value: float
    relative: bool = False


def highest_acceptable(limit: float, uncertainty: Uncertainty) -> float:
    """The result (%) that less its uncertainty is just at the limit. Raises ValueError for one that cannot be meant."""
    value, relative = uncertainty
    if not 0 <= value < inf:
        raise ValueError(f"an uncertainty of {value:g}: it is not negative")
    if relative and value >= 100:
        raise ValueError(f"an uncertainty of {value:g} % of the result: it must be under 100 %")
    if not relative and value >= limit:
        raise ValueError(
            f"an uncertainty of {value:g} percentage points is not under the limit of {limit:g} %: is it {value:g} % of the result?"
        )
    return limit / (1 - value / 100) if relative else limit + value


def chance_acceptable(
    fitted: Fit, position: str, day: float, limit: float, uncertainty: Uncertainty, laboratory: str
) -> float:
    """The chance that a new result less its uncertainty is not over the limit. Another laboratory adds its step."""
    ahead = result_ahead(fitted, position, [day], laboratory)
    return float(below(ahead, highest_acceptable(limit, uncertainty))[0])
