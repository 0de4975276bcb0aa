"""Percentiles and chances of a mixture of normals on the log scale, a day at a time."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import erfc, inf, log, sqrt
from statistics import NormalDist
from typing import NamedTuple

import numpy as np

from calendar_tui.nature.cannabinoid_trend.curve_fit import Ahead, Floats

# Where a normal's tail ends, in standard deviations; points of the table in one of them.
_TO, _PARTS = 8.0, 400
# How many days apart the first guess is looked at; numbers in an array that stays in the processor's cache.
_EVERY, _AT_ONCE = 6, 12_000
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
    out: Floats = normal_cdf((log(value) - ahead.mean) / ahead.sd) @ ahead.weight
    return out


def percentile(ahead: Ahead, share: float) -> Floats:
    """The value (%) with `share` of the mixture below it, on each day: shape (days,)."""
    return percentiles(ahead, (share,))[0]


def percentiles(ahead: Ahead, shares: Sequence[float]) -> list[Floats]:
    """`percentile` for several shares.

    It starts from the normal of the same mean and spread; how far that is off is found on some days, and lies evenly between.
    """
    centre, spread = _moments(ahead)
    every = np.arange(len(centre))
    some = np.append(every[:-1:_EVERY], every[-1])
    few = Ahead(ahead.weight, ahead.mean[some], ahead.sd[some])
    normal = [centre + NormalDist().inv_cdf(share) * spread for share in shares]
    off = _solved(few, shares, [guess[some] for guess in normal])
    guesses = [at + np.interp(every, some, found - at[some]) for at, found in zip(normal, off, strict=True)]
    return [np.exp(found) for found in _solved(ahead, shares, guesses)]


def _moments(ahead: Ahead) -> tuple[Floats, Floats]:
    """Mean and standard deviation of the mixture on each day."""
    centre = ahead.mean @ ahead.weight
    square = (ahead.mean**2 + ahead.sd**2) @ ahead.weight
    return centre, np.sqrt(square - centre**2)


def _solved(ahead: Ahead, shares: Sequence[float], guesses: Sequence[Floats]) -> list[Floats]:
    """The log values with so much below them, by share; some days at once, so that arrays stay in the processor's cache."""
    at_once = max(1, _AT_ONCE // len(ahead.weight))
    found = []
    for first in range(0, len(ahead.mean), at_once):
        days = slice(first, first + at_once)
        part = _Part.of(Ahead(ahead.weight, ahead.mean[days], ahead.sd[days]))
        every = zip(shares, guesses, strict=True)
        found.append([_steps(part, share, at[days]) for share, at in every])
    return [np.concatenate(parts) for parts in zip(*found, strict=True)]


class _Part(NamedTuple):
    """A mixture in terms of the table: a log value's place for each point is value * scale - zero. low, high: no percentile beyond."""

    weight: Floats
    scale: Floats
    zero: Floats
    low: Floats
    high: Floats

    @staticmethod
    def of(ahead: Ahead) -> _Part:
        scale, wide = _PARTS / ahead.sd, _TO * ahead.sd.max()
        zero = ahead.mean * scale - _TO * _PARTS
        return _Part(ahead.weight, scale, zero, ahead.mean.min(axis=1) - wide, ahead.mean.max(axis=1) + wide)


def _steps(part: _Part, share: float, at: Floats) -> Floats:
    """Halley's steps from `at`; one that leaves what is known to hold the value goes half-way."""
    weight, scale, zero, low, high = part
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
