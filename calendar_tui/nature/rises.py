"""A rise of a stage through a stand: when half the plants had come to it, from shares looked at on two days.

Between two looks the share is taken to follow a logistic curve, as a rise of flowering through a stand does.
"""

from __future__ import annotations

from datetime import date, timedelta
from math import ceil, floor, isfinite, log, sqrt
from typing import NamedTuple

# Two-sided 95 % of a normal distribution.
Z95 = 1.959964
# A share of 0 or 1 of plants that were not counted is taken to be so near to it (a choice).
_NEAR = 0.01


class Share(NamedTuple):
    """On a day, the part that had come to a stage. of: how many plants were looked at; None where they were not counted."""

    day: date
    share: float
    of: int | None = None


class Half(NamedTuple):
    """When half had come to a stage. first, last: 95 % where the plants of both looks were counted, else the two looks."""

    likely: date
    first: date
    last: date
    counted: bool
    before: Share
    after: Share


def around_half(shares: list[Share]) -> tuple[Share, Share] | None:
    """The last look under a half, and the first at or over it after that; None where the looks do not pass it."""
    in_order = sorted(shares)
    under = [n for n, one in enumerate(in_order) if one.share < 0.5]
    if not under or under[-1] + 1 >= len(in_order):
        return None
    return in_order[under[-1]], in_order[under[-1] + 1]


def half_date(before: Share, after: Share) -> Half:
    """before: under a half; after: at or over it, on a later day."""
    low, high = _logit(before), _logit(after)
    days = (after.day - before.day).days
    rise = high - low
    likely = -low / rise * days
    counted = before.of is not None and after.of is not None
    first, last = 1.0, float(days)
    if counted:
        off = Z95 * days / rise**2 * sqrt(high**2 * _variance(before) + low**2 * _variance(after))
        if isfinite(off):
            first, last = likely - off, likely + off
    return Half(
        before.day + timedelta(days=min(max(round(likely), 1), days)),
        before.day + timedelta(days=floor(min(first, likely))),
        before.day + timedelta(days=ceil(max(last, likely))),
        counted,
        before,
        after,
    )


def _logit(one: Share) -> float:
    """With half a plant added on both sides where plants were counted, so that none and all of few are no certainty."""
    if one.of is None:
        share = min(max(one.share, _NEAR), 1 - _NEAR)
        return log(share / (1 - share))
    come = one.share * one.of
    return log((come + 0.5) / (one.of - come + 0.5))


def _variance(one: Share) -> float:
    assert one.of is not None
    come = one.share * one.of
    return 1 / (come + 0.5) + 1 / (one.of - come + 0.5)
