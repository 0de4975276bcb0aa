"""What recorded dates of induction teach of a variety's critical day, width, juvenile time and inductive days.

Bayes on a grid: every set of figures is tried by the rule of `nature/plant.py`, and weighed by what was believed before
and by how well it gives the records. No figure is fitted alone, for one record can be met by many sets; what they share
is learnt, and what only goes together is shown by its correlation.

Arrays of weights and days have one axis a figure: critical day, width, juvenile time, inductive days, in that order.
Needs numpy, so nothing on the way to `week`, `done` or the first picture imports this file.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import reduce
from itertools import combinations
from math import inf, isfinite
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from calendar_tui.nature.futures import COUNT, shares
from calendar_tui.nature.looks import NEVER, SCALES, Between, Floats, likelihood

Days = NDArray[np.int32]

FIGURES = ("critical_h", "width_h", "juvenile_d", "inductive_d")
TAUGHT = (
    "critical_h",
    "full_h",
    "juvenile_d",
    "inductive_d",
)  # what a variety keeps; full_h is critical less width

_ROUNDING = 1e-9  # as in nature/plant.py


class Grid(NamedTuple):
    """The values tried of each figure, rising: critical day and width to full response, h; juvenile and inductive, d.

    Juvenile time is in whole days from emergence. Every width and every number of inductive days is over 0.
    """

    critical_h: tuple[float, ...]
    width_h: tuple[float, ...]
    juvenile_d: tuple[int, ...]
    inductive_d: tuple[float, ...]

    @property
    def shape(self) -> tuple[int, ...]:
        """Values of each figure: the shape of all arrays over the grid."""
        return tuple([len(values) for values in self])


# 23 x 9 x 14 x 13 = 37,674 points, round the defaults for essential-oil types.
GRID = Grid(
    tuple([12.75 + 0.125 * n for n in range(23)]),
    tuple([0.1 + 2.7 * n / 8 for n in range(9)]),
    tuple(range(7, 47, 3)),
    tuple([float(n) for n in range(2, 15)]),
)


# The least values tried of juvenile time and inductive days, d.
LEAST_D = 1


class Belief(NamedTuple):
    """What is believed of one figure before records: mean and standard deviation; an infinite one is 'nothing known'."""

    mean: float
    sd: float


class Type(NamedTuple):
    """What is believed of a variety before records, by figure; the figures are taken as not going together."""

    critical_h: Belief
    width_h: Belief
    juvenile_d: Belief
    inductive_d: Belief


def grid_of(kind: Type) -> Grid:
    """GRID, moved by steps of 0.125 h and by whole days so that what is believed lies in its middle."""
    critical, _, juvenile, inductive = [belief.mean for belief in kind]
    hours = round((critical - 14.1) / 0.125) * 0.125
    more = max(round(juvenile - 25), LEAST_D - GRID.juvenile_d[0])
    longer = max(round(inductive - 8), LEAST_D - GRID.inductive_d[0])
    return Grid(
        tuple([at + hours for at in GRID.critical_h]),
        GRID.width_h,
        tuple([at + more for at in GRID.juvenile_d]),
        tuple([at + longer for at in GRID.inductive_d]),
    )


def wider(grid: Grid) -> Grid:
    """The grid with critical days up to 1 h 15 min further off both ways, and the shortest juvenile times, by its own steps."""
    critical, juvenile = grid.critical_h, grid.juvenile_d
    low = [critical[0] - 0.125 * n for n in range(10, 0, -1)]
    high = [critical[-1] + 0.125 * n for n in range(1, 11)]
    sooner = range(juvenile[0] - 3, LEAST_D - 1, -3)
    return grid._replace(critical_h=(*low, *critical, *high), juvenile_d=(*reversed(sooner), *juvenile))


class Weights(NamedTuple):
    """A weight for every point of a grid, together 1: what is believed, before records or after."""

    grid: Grid
    share: Floats


class Margin(NamedTuple):
    """One figure by itself, in its own unit: mean, standard deviation, 10th, 50th and 90th percentile."""

    mean: float
    sd: float
    early: float
    likely: float
    late: float


class Tie(NamedTuple):
    """Two figures that the records teach only together, and their correlation, -1 to 1."""

    one: str
    other: str
    correlation: float


# --- from figures to dates


def induction_days(felt_h: Sequence[float], starts: Sequence[int], grid: Grid = GRID) -> Days:
    """The day number on which plants are induced, for every point of the grid; NEVER where not within `felt_h`.

    felt_h: one felt day length (h) a day, day number 0 first; starts: the day number, 0 or more, from which days count,
    for each juvenile time of the grid, or one for all of them (cuttings). The same rule, and the same sums in the same
    order, as `plant.induction`: the days are equal to its days. Raises ValueError for another number of starts.
    """
    if len(starts) not in (1, len(grid.juvenile_d)):
        raise ValueError(f"{len(starts)} starts for {len(grid.juvenile_d)} juvenile times: give one or each")
    critical = np.repeat(np.array(grid.critical_h), len(grid.width_h))
    full = critical - np.tile(np.array(grid.width_h), len(grid.critical_h))
    induced = _count(np.asarray(felt_h, dtype=np.float64), np.array(starts), critical, full, grid.inductive_d)
    by_figure = induced.reshape(len(starts), *grid.shape[:2], len(grid.inductive_d)).transpose(1, 2, 0, 3)
    return np.broadcast_to(by_figure, grid.shape)


def _count(felt_h: Floats, starts: Days, critical: Floats, full: Floats, needs: Sequence[float]) -> Days:
    """The day on which each start, with each pair of critical and full day, reaches each count: that shape.

    starts and needs rise. A count rises by 1 a day at most, so a day looks only for the next count each has to reach.
    """
    width = critical - full
    count = np.zeros((len(starts), len(critical)))
    reached = np.zeros(count.shape, dtype=np.intp)
    need = np.array([*needs, inf]) - _ROUNDING
    induced = np.full((*count.shape, len(needs)), NEVER, dtype=np.int32)
    for day, felt in enumerate(felt_h):
        begun = int(np.searchsorted(starts, day, side="right"))
        if not begun:
            continue
        adds = np.where(felt <= full, 1.0, (critical - felt) / width)
        count[:begun] = np.where(felt >= critical, 0.0, count[:begun] + adds)
        while (there := np.nonzero(count[:begun] >= need[reached[:begun]]))[0].size:
            induced[*there, reached[there]] = day
            reached[there] += 1
        if reached.min() == len(needs):
            break
    return induced


# --- from dates to weights


def prior(kind: Type, grid: Grid = GRID) -> Weights:
    """What is believed before records: normal in each figure, as far as the grid goes. Raises ValueError for an sd of 0."""
    axes = [_bell(np.array(values), belief) for values, belief in zip(grid, kind, strict=True)]
    share = reduce(np.multiply.outer, axes)
    return Weights(grid, share / share.sum())


def _bell(values: Floats, belief: Belief) -> Floats:
    mean, sd = belief
    if not sd > 0:
        raise ValueError(f"a standard deviation of {sd:g}: it must be over 0")
    squares = ((values - mean) / sd) ** 2
    out: Floats = np.exp(-0.5 * (squares - squares.min()))
    return out


class Cohort(NamedTuple):
    """What one cohort shows. felt_h and starts as for `induction_days`; record: its induction, in day numbers.

    The felt days should go on for a month after the record, since it may be early by many days.
    """

    felt_h: Sequence[float]
    starts: Sequence[int]
    record: Between


class GridLikelihood(NamedTuple):
    """A cohort tried with every point of a grid: the day on which each induces it, and how likely each makes the record.

    log_likelihood: by the scale of the record's error, which is its first axis.
    """

    days: Days
    log_likelihood: Floats


def grid_likelihood(
    cohort: Cohort, grid: Grid = GRID, scales: Mapping[float, float] = SCALES
) -> GridLikelihood:
    """What one record makes of the points of a grid. Raises ValueError where it lies beyond the felt days."""
    ends = [end for end in cohort.record if isfinite(end)]
    if ends and max(ends) >= len(cohort.felt_h):
        raise ValueError(f"a record on day {max(ends):g}: the felt days end on day {len(cohort.felt_h) - 1}")
    days = induction_days(cohort.felt_h, cohort.starts, grid)
    by_day = np.array([likelihood(cohort.record, len(cohort.felt_h), {scale: 1.0}) for scale in scales])
    return GridLikelihood(days, _log(by_day)[:, days])


def after_all(
    before: Weights, records: Iterable[GridLikelihood], scales: Mapping[float, float] = SCALES
) -> Weights:
    """What is believed of the figures after some records: `by_scale`, whatever the scale."""
    return Weights(before.grid, by_scale(before, records, scales).sum(axis=0))


def by_scale(
    before: Weights, records: Iterable[GridLikelihood], scales: Mapping[float, float] = SCALES
) -> Floats:
    """The weight of each scale of the records' errors with each point of the grid after some records, together 1.

    The scale is one for all records, and nobody knows it: those that agree speak for a small one, and one that contradicts the
    others for a large one, so that all of them tell less (as the spread of the days does in `nature/spans.py`).
    scales: those that the records were tried with. Raises ValueError where no point of the grid gives the records.
    """
    logs = _log(before.share) + _summed(records, scales)
    if logs.max() == -inf:
        raise ValueError("no figures within the grid give these records: the plants would never be induced")
    share = np.exp(logs - logs.max())
    out: Floats = share / share.sum()
    return out


def together(records: Iterable[GridLikelihood], scales: Mapping[float, float] = SCALES) -> Floats:
    """The log of how likely each point of the grid makes all records, whatever the scale of their errors."""
    out: Floats = np.logaddexp.reduce(_summed(records, scales))
    return out


def _summed(records: Iterable[GridLikelihood], scales: Mapping[float, float]) -> Floats:
    """The log of how likely each scale and point makes all records, and of how likely the scale is."""
    logs: Floats = np.log(list(scales.values())).reshape(-1, *[1] * len(FIGURES))
    for record in records:
        logs = logs + record.log_likelihood
    return logs


def _log(share: Floats) -> Floats:
    out: Floats = np.log(share, out=np.full_like(share, -inf), where=share > 0)
    return out


# --- what was learnt


def margin(weights: Weights, figure: str) -> Margin:
    """One figure by itself, by its name: one of FIGURES, or full_h (critical less width). Raises KeyError for another.

    Percentiles lie between the grid's values, each of which stands at the middle of its weight (Hazen 1914).
    """
    values, share = _axis(weights, figure)
    mean = float(values @ share)
    sd = float(np.sqrt(share @ (values - mean) ** 2))
    heavy = share > 0
    values, share = values[heavy], share[heavy]
    early, likely, late = np.interp([0.1, 0.5, 0.9], np.cumsum(share) - share / 2, values)
    return Margin(mean, sd, float(early), float(likely), float(late))


def _axis(weights: Weights, figure: str) -> tuple[Floats, Floats]:
    """The values of a figure, rising, and the weight of each."""
    if figure != "full_h":
        axis = dict(zip(FIGURES, range(4), strict=True))[figure]
        others = tuple([other for other in range(4) if other != axis])
        return np.array(weights.grid[axis], dtype=np.float64), weights.share.sum(axis=others)
    values = np.subtract.outer(np.array(weights.grid.critical_h), np.array(weights.grid.width_h)).ravel()
    order = np.argsort(values, kind="stable")
    return values[order], weights.share.sum(axis=(2, 3)).ravel()[order]


def learnt(before: Weights, after: Weights) -> dict[str, float]:
    """Standard deviation after over before of each figure of TAUGHT: 1 is nothing learnt, 0 is all.

    A figure of which only one value was believed before has nothing to teach: 1.
    """
    return {figure: _left(margin(before, figure).sd, margin(after, figure).sd) for figure in TAUGHT}


def _left(before: float, after: float) -> float:
    return after / before if before else 1.0


def correlations(weights: Weights) -> Floats:
    """Correlations of FIGURES, shape (4, 4); 0 with a figure of which one value alone has weight."""
    axes = np.meshgrid(*[np.array(values, dtype=np.float64) for values in weights.grid], indexing="ij")
    table, share = np.array([axis.ravel() for axis in axes]), weights.share.ravel()
    off = table - (table @ share)[:, None]
    covariance = (off * share) @ off.T
    sd = np.sqrt(np.diag(covariance))
    spread = np.multiply.outer(sd, sd)
    out: Floats = np.divide(covariance, spread, out=np.eye(4), where=spread > 1e-12)
    return out


def ties(after: Weights, least: float = 0.4) -> tuple[Tie, ...]:
    """The pairs of FIGURES that are known only together, their correlation `least` or more, the closest first.

    Before records none go together. full_h is critical less width, so what ties it is told by those two.
    """
    table = correlations(after)
    drawn = [Tie(FIGURES[i], FIGURES[j], float(table[i, j])) for i, j in combinations(range(4), 2)]
    return tuple(
        sorted([t for t in drawn if abs(t.correlation) >= least], key=lambda tie: -abs(tie.correlation))
    )


def representatives(weights: Weights, count: int = COUNT) -> Floats:
    """Sets of figures that stand for the weights, equally likely: shape (count, 4), in the order of FIGURES.

    Set i is for future i of `nature/futures.py`: its critical day is the one at that future's share, its width the one at
    its share among the points of that critical day, and so on (Rosenblatt 1952). So the critical day is resampled
    systematically, each value as often as its weight says, to within one set. The same every time: no random numbers.
    """
    by_future = zip(*[shares(figure, count) for figure in FIGURES], strict=True)
    return np.array([_drawn(weights, each) for each in by_future])


def _drawn(weights: Weights, shares_below: Sequence[float]) -> list[float]:
    """The set of figures at these shares, one a figure, each among the points that have the values drawn before."""
    rest, drawn = weights.share, list[float]()
    for values, below in zip(weights.grid, shares_below, strict=True):
        heaped = np.cumsum(rest.reshape(len(values), -1).sum(axis=1))
        at = int(np.searchsorted(heaped, below * heaped[-1], side="right"))
        drawn.append(float(values[at]))
        rest = rest[at]
    return drawn
