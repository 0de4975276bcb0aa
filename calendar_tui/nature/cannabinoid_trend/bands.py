"""Percentiles and chances of a mixture of normals on the log scale, a day at a time."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import erfc, inf, log, sqrt
from statistics import NormalDist
from typing import NamedTuple

import numpy as np

from calendar_tui.nature.cannabinoid_trend.curve_fit import Ahead, Floats, Mixture

# Where a normal's tail ends, in standard deviations; points of the table in one of them.
_TO, _PARTS = 8.0, 400
_EVERY = 6  # how many days apart the first guess is looked at
_MOST_STEPS, _NEAR = 60, 3e-3  # log; a step so small leaves an error of its cube


@cache
def _table() -> tuple[Floats, Floats]:
    """The share of a normal below -8 to 8 standard deviations, and how much it grows from each point to the next."""
    at = np.linspace(-_TO, _TO, int(2 * _TO * _PARTS) + 1)
    shares = np.array([erfc(-z / sqrt(2)) / 2 for z in at.tolist()])
    return shares, np.diff(shares, append=shares[-1])


def _looked_up(place: Floats) -> tuple[Floats, Floats]:
    """The share of a normal below a place in the table, from 0 at its first point, and how much it grows to the next point.

    Between two points a straight line is off by 2e-7 at most. Writes over `place`.
    """
    shares, growth = _table()
    left = place.astype(np.intp)
    slope = growth.take(left, mode="clip")
    place -= left
    place *= slope
    place += shares.take(left, mode="clip")
    return place, slope


def normal_cdf(z: Floats) -> Floats:
    """The share of a normal below z standard deviations; any shape."""
    return _looked_up((z + _TO) * _PARTS)[0]


def below(ahead: Ahead, value: float) -> Floats:
    """The chance that the value (%) is not passed, on each day: shape (days,)."""
    parts = [normal_cdf((log(value) - part.mean) / part.sd) @ part.weight for _, part in ahead.parts()]
    return np.concatenate(parts)


def percentile(ahead: Ahead, share: float) -> Floats:
    """The value (%) with `share` of the mixture below it, on each day: shape (days,)."""
    return percentiles(ahead, (share,))[0]


def percentiles(ahead: Ahead, shares: Sequence[float]) -> list[Floats]:
    """`percentile` for several shares.

    On some days it starts from the normal of the same mean and spread; how far these percentiles are off the mean lies
    evenly between, and is what it starts from on every day.
    """
    centre = ahead.mean @ ahead.weight
    every = np.arange(len(centre))
    some = np.append(every[:-1:_EVERY], every[-1])
    few, middle = ahead.on(some), centre[some]
    spread = np.sqrt((few.mean**2 + few.sd**2) @ few.weight - middle**2)
    starts = [middle + NormalDist().inv_cdf(share) * spread for share in shares]
    guesses = [centre + np.interp(every, some, found - middle) for found in _solved(few, shares, starts)]
    parts = [_solved(part, shares, [at[place] for at in guesses]) for place, part in ahead.parts()]
    return [np.exp(np.concatenate(found)) for found in zip(*parts, strict=True)]


def _solved(part: Mixture, shares: Sequence[float], guesses: Sequence[Floats]) -> list[Floats]:
    """The log values with so much below them, by share."""
    placed = _Placed.of(part)
    return [_steps(placed, share, at) for share, at in zip(shares, guesses, strict=True)]


class _Placed(NamedTuple):
    """A mixture in terms of the table: a log value's place for each point is value * scale - zero. low, high: no percentile beyond."""

    weight: Floats
    scale: Floats
    zero: Floats
    low: Floats
    high: Floats

    @staticmethod
    def of(part: Mixture) -> _Placed:
        scale, wide = _PARTS / part.sd, _TO * part.sd.max()
        zero = part.mean * scale - _TO * _PARTS
        return _Placed(part.weight, scale, zero, part.mean.min(axis=1) - wide, part.mean.max(axis=1) + wide)


def _steps(placed: _Placed, share: float, at: Floats) -> Floats:
    """Halley's steps from `at`; one that leaves what is known to hold the value goes half-way."""
    weight, scale, zero, low, high = placed
    moved, steps = inf, 0
    while moved > _NEAR and steps < _MOST_STEPS:
        place = at[:, None] * scale
        place -= zero
        z = place - _TO * _PARTS
        found, slope = _looked_up(place)
        over = found @ weight - share
        low, high = np.where(over < 0, at, low), np.where(over < 0, high, at)
        slope *= scale
        density = np.maximum(slope @ weight, 1e-9)
        slope *= scale
        slope *= z
        bend = slope @ weight / _PARTS**2  # by how much the density falls
        step = over / density
        step /= np.maximum(1 + step * bend / (2 * density), 0.5)
        new = np.where((at - step >= low) & (at - step <= high), at - step, (low + high) / 2)
        moved, at, steps = float(np.abs(new - at).max()), new, steps + 1
    return at
