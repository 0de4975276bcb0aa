"""A span of days, early, likely and late, made anew from the spans that were recorded.

The days of a span are taken as normal, with a mean and a spread that nobody knows, and the range as it stands as what is
known before: a normal-inverse-gamma prior (Gelman et al., "Bayesian Data Analysis", 3rd ed. 2013, section 3.3) worth one
record of the mean and four degrees of freedom of the spread. What the next span may be is then Student's t.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import atan, cos, inf, pi, sin, sqrt

Span = tuple[float, float, float]

_PRIOR_RECORDS = 1.0
_PRIOR_DF = 4
_LATE_SHARE = 0.9  # one in ten is later than the late day, one in ten earlier than the early one
_HALVINGS = 60


def span_with_records(span: Span, records_d: Sequence[float]) -> Span:
    """The early, likely and late days (10th, 50th and 90th percentile of the next one) after some records.

    span: early, likely and late days as they stand; records_d: recorded spans, d, none of them under 0. Without records
    the span stays as it is. The two sides of the range keep their proportion; the early day is not under 0. Records that
    contradict the range do not narrow it. Raises ValueError for a span out of order and for a record under 0.
    """
    early, likely, late = span
    if not 0 <= early <= likely <= late < inf:
        raise ValueError(
            f"a span of {early:g}, {likely:g}, {late:g} d: give early, likely and late days in that order"
        )
    wrong = [days for days in records_d if not 0 <= days < inf]
    if wrong:
        raise ValueError(f"a recorded span of {wrong[0]:g} d: it must be a number of days, 0 or more")
    if not records_d:
        return span
    half = (late - early) / 2
    below, above = ((likely - early) / half, (late - likely) / half) if half else (1.0, 1.0)
    mean, reach = _updated(likely, half, records_d)
    return max(0.0, mean - below * reach), mean, mean + above * reach


def _updated(likely: float, half: float, records_d: Sequence[float]) -> tuple[float, float]:
    """The mean, and half the range between the 10th and the 90th percentile of the next span, d."""
    n = len(records_d)
    average = sum(records_d) / n
    known, df = _PRIOR_RECORDS + n, _PRIOR_DF + n
    prior_spread = half / (t_late(_PRIOR_DF) * sqrt(1 + 1 / _PRIOR_RECORDS))
    squares = _PRIOR_DF * prior_spread**2 + sum((days - average) ** 2 for days in records_d)
    squares += _PRIOR_RECORDS * n / known * (average - likely) ** 2
    mean = (_PRIOR_RECORDS * likely + n * average) / known
    return mean, t_late(df) * sqrt(squares / df * (1 + 1 / known))


def t_late(df: int) -> float:
    """The 90th percentile of Student's t with a whole number of degrees of freedom, 1 or more; within 1e-12."""
    low, high = 0.0, 4.0  # 3.08 with one degree of freedom
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if t_cdf(middle, df) < _LATE_SHARE else (low, middle)
    return (low + high) / 2


def t_cdf(t: float, df: int) -> float:
    """The share of Student's t below t, by its finite series for whole degrees of freedom.

    Source: Abramowitz and Stegun, "Handbook of Mathematical Functions", 26.7.3 and 26.7.4. df: 1 or more.
    """
    angle = atan(t / sqrt(df))
    if df % 2:
        between = 2 / pi * (angle + (sin(angle) * cos(angle) * _series(angle, 2, df - 1) if df > 1 else 0.0))
    else:
        between = sin(angle) * _series(angle, 1, df - 1)
    return (1 + between) / 2


def _series(angle: float, first: int, end: int) -> float:
    """1 + c first/(first + 1) + c^2 first (first + 2)/((first + 1)(first + 3)) ..., c the squared cosine."""
    term, total, squared = 1.0, 1.0, cos(angle) ** 2
    for factor in range(first, end, 2):
        term *= squared * factor / (factor + 1)
        total += term
    return total
