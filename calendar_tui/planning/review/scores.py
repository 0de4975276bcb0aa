"""How well dates were said: bias, spread, the share of records inside their ranges, and the score of a range."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean, median

from calendar_tui.planning.review.outcomes import AT_RECORD, BASES, Outcome
from calendar_tui.season.stages import STAGES

# Of a normal curve: between this many standard deviations lie 95 %.
_Z = 1.959963984540054
# A range is from the 10th to the 90th percentile: 20 % lie outside, and each day outside costs 2 / 0.2 days.
OUTSIDE_COST = 10.0
# By what records are put together; "" for all of them.
GROUPS: Mapping[str, Callable[[Outcome], str]] = {
    "": lambda one: "",
    "stage": lambda one: one.stage,
    "variety": lambda one: one.variety,
    "place": lambda one: one.place,
}


@dataclass(frozen=True, slots=True)
class Score:
    """Records of one group against one basis.

    group: "stage", "variety", "place" or "" for all; name: which of them. n: records; bias_d: the median of record less what
    was said, d, over 0 where records were later; mean_absolute_d: d. ranged: how many had a range; inside: how many of these
    lay in it; low, high: between which shares the true one lies, 95 % (Wilson 1927); interval_d: the mean score of the ranges at 80 %,
    d, the less the better (Gneiting and Raftery 2007, JASA 102:359). None for those four without a range.
    """

    basis: str
    group: str
    name: str
    n: int
    bias_d: float
    mean_absolute_d: float
    ranged: int
    inside: int | None
    low: float | None
    high: float | None
    interval_d: float | None


def scores(outcomes: Iterable[Outcome]) -> tuple[Score, ...]:
    """A score for each basis and group that has a record, in the order of both."""
    every = tuple(outcomes)
    return tuple(score for group, key in GROUPS.items() for score in _of_group(every, group, key))


def _of_group(every: Sequence[Outcome], group: str, key: Callable[[Outcome], str]) -> Iterator[Score]:
    names = sorted({key(one) for one in every}, key=_rank)
    for name in names:
        for basis in _bases(every):
            if of := [one for one in every if key(one) == name and one.basis == basis]:
                yield score(basis, group, name, of)


def _bases(every: Sequence[Outcome]) -> list[str]:
    """In the order in which they are shown: what was said some days before a record stands ahead of what was said at it."""
    further = sorted({one.basis for one in every} - set(BASES))
    at = BASES.index(AT_RECORD)
    return [*BASES[:at], *further, *BASES[at:]]


def _rank(name: str) -> tuple[int, str]:
    return (STAGES.index(name), "") if name in STAGES else (-1, name)


def score(basis: str, group: str, name: str, outcomes: Sequence[Outcome]) -> Score:
    """The score of one or more records against one basis."""
    errors = [one.error_d for one in outcomes]
    ranged = [one for one in outcomes if one.inside is not None]
    inside = sum(one.inside or False for one in ranged)
    low, high = wilson(inside, len(ranged)) if ranged else (None, None)
    return Score(
        basis,
        group,
        name,
        len(errors),
        float(median(errors)),
        fmean(map(abs, errors)),
        len(ranged),
        inside if ranged else None,
        low,
        high,
        fmean(map(interval_score, ranged)) if ranged else None,
    )


def wilson(inside: int, n: int) -> tuple[float, float]:
    """Between which shares the true one lies, with 95 %, where `inside` of `n` > 0 were seen (Wilson 1927)."""
    share, more = inside / n, _Z * _Z / n
    middle, half = share + more / 2, _Z * sqrt(share * (1 - share) / n + more / (4 * n))
    return max((middle - half) / (1 + more), 0.0), min((middle + half) / (1 + more), 1.0)


def interval_score(one: Outcome) -> float:
    """Width of the range and ten times the days outside it, d. Raises ValueError without a range."""
    if one.earliest is None or one.latest is None:
        raise ValueError("a plan date has no range to score")
    outside = max((one.earliest - one.recorded).days, (one.recorded - one.latest).days, 0)
    return (one.latest - one.earliest).days + OUTSIDE_COST * outside
