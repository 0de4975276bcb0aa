"""Equally likely futures: for each figure that nobody knows, values spread evenly over what it may be.

A figure is known by its early, likely and late value: one in ten is below the early one, half are below the likely one,
and one in ten is above the late one. Between and beyond them a normal curve is laid, of its own width on either side.
Future number i takes the i-th value of each figure. The values are always the same: no clock and no random numbers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from math import inf
from statistics import NormalDist

from calendar_tui.nature.rounding import whole

COUNT = 50
# No end of a range lies between two futures that are further apart than so many days (a choice).
GAP_D = 14
# A figure's values come in the order of the fractions of 1, 2, 3 ... times the square root of its number (Weyl 1916: such
# fractions fill the unit evenly). These primes were picked as those of which no two order 50, 200 or 500 futures nearly
# alike: the correlation of any two is under 0.12.
_ROOTS: Mapping[str, int] = {
    "critical_h": 653,
    "width_h": 3,
    "juvenile_d": 7,
    "inductive_d": 17,
    "shoot_d": 23,
    "transplant_d": 59,
    "slip_d": 97,
    "flowering_d": 197,
    "harvest_d": 241,
    "drying_d": 313,
    "record_d": 479,
    "weather": 757,
}
FIGURES = tuple(_ROOTS)
# Orders of the futures of several varieties, likewise: the figures of no two go together (under 0.25 in 50 futures). The first
# stands for the order as it is.
_ORDERS = (1, 31, 79, 233, 2411, 37, 317, 457)
_NORMAL = NormalDist()
_TENTH = -_NORMAL.inv_cdf(0.1)


@lru_cache(maxsize=256)
def shares(figure: str, count: int = COUNT) -> tuple[float, ...]:
    """How much of what a figure may be lies below its value in each future: each of 0.5 / count, 1.5 / count ... once.

    figure: one of FIGURES. Raises KeyError for another.
    """
    root = _ROOTS[figure] ** 0.5
    order = sorted(range(count), key=lambda i: (i + 1) * root % 1.0)
    by_future = dict(zip(order, range(count), strict=True))
    return tuple([(by_future[i] + 0.5) / count for i in range(count)])


@lru_cache(maxsize=256)
def deviations(figure: str, count: int = COUNT) -> tuple[float, ...]:
    """A figure's value in each future, as multiples of the way from likely to late, or from likely to early below 0."""
    return tuple([_NORMAL.inv_cdf(share) / _TENTH for share in shares(figure, count)])


def values(figure: str, span: Sequence[float], count: int = COUNT) -> tuple[float, ...]:
    """A figure's value in each future. span: its early, likely and late value, in any unit."""
    early, likely, late = span
    below, above = likely - early, late - likely
    return tuple([likely + by * (above if by > 0 else below) for by in deviations(figure, count)])


@lru_cache(maxsize=64)
def order(number: int, count: int = COUNT) -> tuple[int, ...]:
    """An order of so many futures, each once: the first is 0, 1, 2 ...; further ones have little to do with it or each other.

    There are as many as _ORDERS; after the last the first comes again.
    """
    root = _ORDERS[number % len(_ORDERS)] ** 0.5
    ranked = sorted(range(count), key=lambda i: (i + 1) * root % 1.0)
    by_place = dict(zip(ranked, range(count), strict=True))
    return tuple([by_place[i] for i in range(count)]) if number % len(_ORDERS) else tuple(range(count))


def tenths(days: Sequence[float]) -> tuple[float, float]:
    """The 10th and the 90th percentile of a day's number over the futures, as whole days, halves up.

    An infinite one is not reached: a percentile on it is infinite. Where an end falls into a gap of over two weeks between
    two futures, it is the outer of the two: on the days between them nothing comes. Raises ValueError where there are none.
    """
    ranked = _ranked(days)
    first, last = _ranks(len(ranked))
    early, late = _at(ranked, first), _at(ranked, last)
    if _is_in_gap(ranked, first):
        early = ranked[int(first)]
    if _is_in_gap(ranked, last):
        late = ranked[int(last) + 1]
    return _whole(early), _whole(late)


def _ranked(amounts: Sequence[float]) -> list[float]:
    if not amounts:
        raise ValueError("there are no futures to take percentiles of")
    return sorted(amounts)


def _is_in_gap(ranked: Sequence[float], rank: float) -> bool:
    return rank % 1 > 0 and ranked[int(rank) + 1] - ranked[int(rank)] > GAP_D


def _ranks(count: int) -> tuple[float, ...]:
    """Where the ends lie in the order of so many futures, each of which stands at the middle of its share (Hazen 1914)."""
    return tuple([min(max(count * share - 0.5, 0.0), count - 1) for share in (0.1, 0.9)])


def _whole(day: float) -> float:
    return day if day == inf else whole(day)


def ends(amounts: Sequence[float]) -> tuple[float, float]:
    """The 10th and the 90th percentile of an amount over the futures. Raises ValueError where there are none."""
    ranked = _ranked(amounts)
    early, late = (_at(ranked, rank) for rank in _ranks(len(ranked)))
    return early, late


def middle(days: Sequence[float]) -> float:
    """The median of a day's number over the futures, as a whole day, halves up; infinite where half do not come.

    Raises ValueError where there are none.
    """
    if not days:
        raise ValueError("there are no futures to take the middle of")
    return _whole(_at(sorted(days), (len(days) - 1) / 2))


def _at(ranked: Sequence[float], rank: float) -> float:
    below, part = ranked[int(rank)], rank - int(rank)
    between = below + (ranked[int(rank) + 1] - below) * part if part else below
    return between if between < inf else inf


def parted(days: Sequence[float], apart: float) -> tuple[tuple[float, int], ...]:
    """Two groups of futures, each with its median day and how many they are; empty where there are no two.

    They are parted at the widest gap between days in order, where it is of `apart` days or more and each side holds a
    tenth of the futures. An infinite day is not reached, and ever so far from one that is.
    """
    ranked = sorted(days)
    least = -(-len(ranked) // 10)
    gaps = [(_gap(ranked[n - 1], ranked[n]), n) for n in range(max(least, 1), len(ranked) - least + 1)]
    widest, cut = max(gaps, default=(0.0, 0))
    if widest < apart:
        return ()
    return tuple([(part[len(part) // 2], len(part)) for part in (ranked[:cut], ranked[cut:])])


def _gap(before: float, after: float) -> float:
    return 0.0 if before == after else after - before
