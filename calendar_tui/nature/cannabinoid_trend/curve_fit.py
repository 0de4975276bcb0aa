"""Bayes on a fixed grid: each curve is weighed by how well it gives the results; level, week and error in closed form.

The log of the results is normal for given midpoint m, pace s, fall d and noise. These four lie on a grid; what is left,
the level of each position, the step of each laboratory and the shared part of each week, is a normal (Rasmussen and
Williams 2006, section 2.7, memory). Arrays: (noise, curve) is a weight a grid point; (noise, pool, curve) by pool of results.

Needs numpy, so nothing on the way to `week`, `done` or the first picture imports this file.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from calendar_tui.nature.cannabinoid_trend.prior import Belief, Fall, Prior
from calendar_tui.nature.cannabinoid_trend.results import Result, log_value

Floats = NDArray[np.float64]

# The grid, 21 x 7 x 5 x 7 = 5,145 points, in units of the prior's standard deviation. For the prior of total THC: m 9.5 to
# 50.5 d by 2.05 d; s 3.4 to 12.08 d and noise 0.042 to 0.25, by equal ratios. Its ends cut the prior off: a slower or faster
# rise and a smaller noise are held for impossible. How the model was first laid on a grid is not known, so ends and counts
# were fitted to the check values of the tests and give each to 0.00091; docs/trend.md tells how sharp that fit is.
MIDPOINTS = (np.linspace(9.5, 50.5, 21) - 32) / 10
PACES = np.linspace(np.log(3.4 / 7), np.log(12.08 / 7), 7) / 0.4
NOISES = np.linspace(np.log(0.042 / 0.08), np.log(0.25 / 0.08), 7) / 0.4


class Curves(NamedTuple):
    """The curves of the grid: each rise, by midpoint m (d) and pace s (d), with each fall d (a day).

    midpoint_d, pace_d: (rises,); fall_a_day: (falls,); log_weight: of the prior, (rises * falls,), the falls of a rise together.
    """

    midpoint_d: Floats
    pace_d: Floats
    fall_a_day: Floats
    log_weight: Floats


class Pooled(NamedTuple):
    """Results of one day, position and laboratory taken together, so that work goes by these and not by their number.

    They differ by their errors alone, so their mean, weighted by 1 / variance, and what each is off it say all that they do: the
    same model. rows: the first result of each pool; of: the pool of each result, (result,); precision: 1 / the variance of a
    result's own error, (noise, result); off: a result less its pool's mean, log, likewise. mean, total: of a pool, (noise, pool): the mean and the sum of precision.
    """

    rows: tuple[Result, ...]
    of: NDArray[np.intp]
    precision: Floats
    off: Floats
    mean: Floats
    total: Floats


class Fit(NamedTuple):
    """What is believed of a crop after its results.

    weight: (noise, curve), together 1; log_weight: its logarithm but for a constant, good where weight is 0; noise: (noise,), log SD; pull: (noise, pool, curve), the inverse covariance times
    what the pools are off each curve's prior mean; inverse: (noise, pool, pool). kept: the places of the heaviest points.
    """

    prior: Prior
    results: tuple[Result, ...]
    pooled: Pooled
    curves: Curves
    noise: Floats
    weight: Floats
    log_weight: Floats
    pull: Floats
    inverse: Floats
    kept: NDArray[np.intp]


def grid(prior: Prior) -> Curves:
    """Every curve tried, with the prior's weight."""
    return _grid(prior.midpoint_d, prior.pace_log, prior.falls)


@lru_cache(maxsize=16)
def _grid(midpoint: Belief, pace_log: Belief, falls: tuple[Fall, ...]) -> Curves:
    rates = np.array([fall.a_day for fall in falls])
    shares = np.log([fall.weight for fall in falls])
    at, pace = (axis.ravel() for axis in np.meshgrid(MIDPOINTS, PACES, indexing="ij"))
    weight = shares - (at**2 + pace**2)[:, None] / 2
    pace_d = np.exp(pace_log.mean + pace_log.sd * pace)
    return Curves(midpoint.mean + midpoint.sd * at, pace_d, rates, weight.ravel())


def shape(days: Floats, curves: Curves) -> Floats:
    """h of each curve on each day, log: shape (days, rises * falls). 0 is the plateau."""
    after = np.asarray(days, dtype=np.float64)[:, None] - curves.midpoint_d
    rise = -np.logaddexp(0.0, -after / curves.pace_d)
    falling = np.maximum(0.0, after - 3 * curves.pace_d)
    out: Floats = rise[:, :, None] - falling[:, :, None] * curves.fall_a_day
    return out.reshape(len(after), len(curves.log_weight))


# All positions, both analytes and both bands of a lot are on the same curves, whose weights alone differ.
@lru_cache(maxsize=8)
def _shapes(days: tuple[float, ...], midpoint: Belief, pace_log: Belief, falls: tuple[Fall, ...]) -> Floats:
    made = shape(np.array(days, dtype=np.float64), _grid(midpoint, pace_log, falls))
    made.flags.writeable = False
    return made


def _shape_of(prior: Prior, days: Sequence[float]) -> Floats:
    return _shapes(tuple(days), prior.midpoint_d, prior.pace_log, prior.falls)


def position_belief(prior: Prior, position: str) -> Belief:
    """How far a position stands off the top, log; by its own name one of which nothing is known in particular."""
    return prior.positions.get(position, prior.other_position)


def fit(results: Sequence[Result], prior: Prior) -> Fit:
    """What is believed after the results, all positions and laboratories in it at once. Takes none too."""
    curves = grid(prior)
    rows = tuple(results)
    noise = np.exp(prior.noise_log.mean + prior.noise_log.sd * NOISES)
    pooled = _pooled(rows, noise)
    days = np.array([row.day for row in pooled.rows], dtype=np.float64)
    levels = np.array([position_belief(prior, row.position).mean for row in pooled.rows])
    known = _shape_of(prior, days.tolist()) + (levels + prior.plateau_log.mean)[:, None]
    off = pooled.mean[:, :, None] - known
    covariance = _covariance(prior, pooled.rows, days, noise)
    covariance[:, range(len(days)), range(len(days))] += 1 / pooled.total
    inverse = np.asarray(np.linalg.inv(covariance), dtype=np.float64)
    pull = inverse @ off
    likely = _within(pooled) - (pull * off).sum(axis=1) / 2 - np.linalg.slogdet(covariance)[1][:, None] / 2
    logs = likely + curves.log_weight - (NOISES**2 / 2)[:, None]
    weight: Floats = np.exp(logs - logs.max())
    weight /= weight.sum()
    return Fit(prior, rows, pooled, curves, noise, weight, logs, pull, inverse, _heaviest(weight))


def _pooled(rows: Sequence[Result], noise: Floats) -> Pooled:
    """The results of each day, position and laboratory, in the order in which the first of each stands."""
    pools: dict[tuple[float, str, str], int] = {}
    of = np.array(
        [pools.setdefault((r.day, r.position, r.laboratory), len(pools)) for r in rows], dtype=np.intp
    )
    middle, spread = np.array([log_value(row) for row in rows]).reshape(-1, 2).T
    precision = 1 / ((noise**2)[:, None] + spread)
    member = (of[:, None] == np.arange(len(pools))).astype(np.float64)  # (result, pool)
    total = precision @ member
    mean = (precision * middle) @ member / total
    first = np.unique(of, return_index=True)[1]
    return Pooled(tuple([rows[at] for at in first]), of, precision, middle - mean[:, of], mean, total)


def _within(pooled: Pooled) -> Floats:
    """How likely the results are round the means of their pools, log but for a constant: shape (noise, 1)."""
    squares = (pooled.precision * pooled.off**2).sum(axis=1)
    size = np.log(pooled.total).sum(axis=1) - np.log(pooled.precision).sum(axis=1)
    out: Floats = -(squares + size)[:, None] / 2
    return out


def left_out(fitted: Fit, at: int) -> tuple[Floats, Floats]:
    """Of the result at a place, as if it stood for itself: its row of `pull` (noise, curve) and its place in `inverse` (noise, 1)."""
    pooled = fitted.pooled
    pool, own = pooled.of[at], pooled.precision[:, at]
    share = own / pooled.total[:, pool]
    pull = share[:, None] * fitted.pull[:, pool, :] + (own * pooled.off[:, at])[:, None]
    return pull, (own - own * share + share**2 * fitted.inverse[:, pool, pool])[:, None]


def _covariance(prior: Prior, rows: Sequence[Result], days: Floats, noise: Floats) -> Floats:
    """Of the pools' logs, for given curve and noise, shape (noise, pool, pool); without their own errors."""
    fixed = np.empty((len(rows), len(rows)))
    for at, one in enumerate(rows):
        fixed[at] = [shared(prior, one, other, rows) for other in rows]
    out: Floats = fixed + (noise**2)[:, None, None] * (prior.week_ratio**2 * _fading(days, days, prior))
    return out


def shared(prior: Prior, one: Result, other: Result, rows: Sequence[Result]) -> float:
    """The covariance, log, of two results by what does not hang on the week: plateau, position, laboratory."""
    by_position = position_belief(prior, one.position).sd ** 2 if one.position == other.position else 0.0
    stepped = one.laboratory == other.laboratory != yardstick(rows)
    return prior.plateau_log.sd**2 + by_position + (prior.laboratory_sd**2 if stepped else 0.0)


def yardstick(rows: Sequence[Result]) -> str:
    """The laboratory in whose terms the curve is: that of the first result. Every other one is an unknown step off."""
    return rows[0].laboratory if rows else ""


def _fading(days: Floats, others: Floats, prior: Prior) -> Floats:
    """How far the weeks of two days go together, 0 to 1: shape (days, others)."""
    out: Floats = np.exp(-np.abs(np.subtract.outer(days, others)) / prior.week_days)
    return out


class Mixture(NamedTuple):
    """Normals of the log value on some days: weight (points,), mean and sd (days, points)."""

    weight: Floats
    mean: Floats
    sd: Floats


# Numbers in an array that stays in the processor's cache, and for which the system is not asked anew each time.
_AT_ONCE = 12_000


class Ahead(NamedTuple):
    """The log value on some days, as a mixture of normals: weight and noise (points,), mean (days, points).

    A point's standard deviation is that of its noise, which is its number in sd_of_noise (days, noises).
    """

    weight: Floats
    mean: Floats
    sd_of_noise: Floats
    noise: NDArray[np.intp]

    def on(self, days: slice | NDArray[np.intp]) -> Mixture:
        """The normals of some of the days."""
        return Mixture(self.weight, self.mean[days], self.sd_of_noise[days].take(self.noise, axis=1))

    def parts(self) -> Iterator[tuple[slice, Mixture]]:
        """Some days at a time, with their places."""
        size = max(1, _AT_ONCE // len(self.weight))
        places = (slice(at, at + size) for at in range(0, len(self.mean), size))
        return ((place, self.on(place)) for place in places)


# Grid points that together weigh less are left out of what is told of days: 0.0001 in a chance, at most.
_LEFT_OUT = 1e-4


def curve_ahead(fitted: Fit, position: str, days: Sequence[float]) -> Ahead:
    """The curve of the crop itself at a position, in terms of the first laboratory."""
    probe = Result(0.0, position, 1.0, 1.0, yardstick(fitted.results))
    return _ahead(fitted, probe, days, a_result=False)


def result_ahead(fitted: Fit, position: str, days: Sequence[float], laboratory: str) -> Ahead:
    """A new result of a laboratory: the curve, its step, the week, and the error. A laboratory not met is a step off."""
    return _ahead(fitted, Result(0.0, position, 1.0, 1.0, laboratory), days, a_result=True)


def _ahead(fitted: Fit, probe: Result, days: Sequence[float], a_result: bool) -> Ahead:
    prior, rows = fitted.prior, fitted.pooled.rows
    at = np.asarray(days, dtype=np.float64)
    ratio = prior.week_ratio**2 if a_result else 0.0
    taken = np.array([row.day for row in rows], dtype=np.float64)
    level = np.array([shared(prior, probe, row, rows) for row in rows])
    week = ratio * _fading(at, taken, prior)
    cross = level + (fitted.noise**2)[:, None, None] * week  # (noise, day, pool)
    own = shared(prior, probe, probe, rows) + (fitted.noise**2)[:, None] * (ratio + float(a_result))
    variance = own - (cross @ fitted.inverse * cross).sum(axis=2)
    by_noise, curve = np.divmod(fitted.kept, fitted.weight.shape[1])
    mean = _shape_of(prior, at.tolist()).take(curve, axis=1)
    mean += prior.plateau_log.mean + position_belief(prior, probe.position).mean
    for noise in range(len(fitted.noise)):
        own_points = slice(*np.searchsorted(by_noise, (noise, noise + 1)).tolist())
        mean[:, own_points] += cross[noise] @ fitted.pull[noise][:, curve[own_points]]
    weight = fitted.weight.ravel()[fitted.kept]
    return Ahead(weight / weight.sum(), mean, np.sqrt(variance).T, by_noise)


def _heaviest(weight: Floats) -> NDArray[np.intp]:
    """The places of the heaviest points, in the grid's order, but for the lightest that weigh 0.0001 together."""
    flat = weight.ravel()
    lightest = np.argsort(flat, kind="stable")
    kept: NDArray[np.intp] = np.sort(lightest[np.cumsum(flat[lightest]) > _LEFT_OUT])
    return kept


def believed_plateau(fitted: Fit, position: str) -> Belief:
    """The plateau at a position after the results, log: mean and SD over the whole grid."""
    prior, rows = fitted.prior, fitted.pooled.rows
    probe = Result(0.0, position, 1.0, 1.0, yardstick(rows))
    level = np.array([shared(prior, probe, row, rows) for row in rows])
    mean = (
        prior.plateau_log.mean
        + position_belief(prior, position).mean
        + np.einsum("n,gnk->gk", level, fitted.pull)
    )
    variance = shared(prior, probe, probe, rows) - np.einsum("n,gnm,m->g", level, fitted.inverse, level)
    centre = float((fitted.weight * mean).sum())
    spread = float((fitted.weight * ((mean - centre) ** 2 + variance[:, None])).sum())
    return Belief(centre, spread**0.5)
