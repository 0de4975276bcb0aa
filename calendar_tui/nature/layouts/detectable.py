"""How large a difference a trial can find, before it is planted: from how far plots scatter (CV), by the noncentral t.

Two-sided at 5 %, found in 4 of 5 such trials, unless other shares are given.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import erfc, exp, lgamma, log, pi, sqrt

_STEPS = 800
_HALVINGS = 45
# The roots below are kept: a trial asks the same ones for each factor and each CV, and is told at each key.
# So many standard deviations of the spread's own spread hold all of it that counts.
_REACH = 9.0


def smallest_difference(
    cv: float, plots: float, error_df: int, alpha: float = 0.05, power: float = 0.8
) -> float | None:
    """The difference between two means of so many plots each that is found with this power, in % of the mean.

    cv: standard deviation of a plot over the mean, %. error_df: degrees of freedom of the error; None comes of 0, for no test
    can be made. Raises ValueError for a CV or a number of plots that is not over 0.
    """
    if not cv > 0 or not plots > 0:
        raise ValueError(f"the CV is {cv:g} % and a mean is of {plots:g} plots; both must be over 0")
    if error_df < 1:
        return None
    standard_error = cv * sqrt(2 / plots)
    return standard_error * _shift(error_df, t_quantile(alpha, error_df), power)


@lru_cache(maxsize=256)
def t_quantile(alpha: float, df: int) -> float:
    """What the t statistic exceeds, up or down, with the chance alpha where there is no difference."""
    return _root(lambda t: alpha - chance_found(0.0, t, df))


@lru_cache(maxsize=256)
def _shift(df: int, critical: float, power: float) -> float:
    return _root(lambda shift: chance_found(shift, critical, df) - power)


def _root(rising: Callable[[float], float]) -> float:
    """Where a rising function that begins under 0 at 0 passes 0."""
    low, high = 0.0, 1.0
    while rising(high) < 0:
        low, high = high, 2 * high
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < 0 else (low, middle)
    return (low + high) / 2


def chance_found(shift: float, critical: float, df: int) -> float:
    """The chance that |t| exceeds `critical`; shift: the true difference in standard errors of it.

    t is a normal figure over an estimate s of its spread, and given s the chance is that of the normal: summed over s
    (Simpson), whose density is that of a root mean square of df normals.
    """
    return sum(
        weight * (_normal(shift - critical * s) + _normal(-shift - critical * s))
        for s, weight in _spreads(df)
    )


@lru_cache(maxsize=32)
def _spreads(df: int) -> list[tuple[float, float]]:
    """Values of s, evenly apart, each with its share."""
    low = max(0.0, 1 - _REACH / sqrt(2 * df))
    step = (1 + _REACH / sqrt(2 * df) - low) / _STEPS
    simpson = (1, *(4, 2) * (_STEPS // 2 - 1), 4, 1)
    return [
        (low + i * step, times * step / 3 * _spread_density(low + i * step, df))
        for i, times in enumerate(simpson)
    ]


def _normal(z: float) -> float:
    """The chance that a standard normal figure is under z."""
    return 0.5 * erfc(-z / sqrt(2))


def _spread_density(s: float, df: int) -> float:
    if s <= 0:
        return sqrt(2 / pi) if df == 1 else 0.0
    half = df / 2
    return 2 * exp(half * log(half) - lgamma(half) + (df - 1) * log(s) - half * s * s)
