"""Percentiles and chances of a mixture of normals on the log scale, a day at a time."""

from __future__ import annotations

from functools import cache
from math import erfc, log, sqrt
from statistics import NormalDist

import numpy as np

from calendar_tui.nature.cannabinoid_trend.curve_fit import Ahead, Floats

_TO, _PARTS = (
    8.0,
    400,
)  # where a normal's tail ends, in standard deviations; points of the table in one of them
_STEPS = 4


@cache
def _table() -> Floats:
    """The share of a normal below -8 to 8 standard deviations. Between two points a straight line is off by 2e-7 at most."""
    at = np.linspace(-_TO, _TO, int(2 * _TO * _PARTS) + 1)
    return np.array([erfc(-z / sqrt(2)) / 2 for z in at.tolist()])


def normal_cdf(z: Floats) -> Floats:
    """The share of a normal below z standard deviations; any shape."""
    table = _table()
    place = (np.clip(z, -_TO, _TO - 1e-9) + _TO) * _PARTS
    left = place.astype(np.int32)
    low = table[left]
    out: Floats = low + (place - left) * (table[left + 1] - low)
    return out


def below(ahead: Ahead, value: float) -> Floats:
    """The chance that the value (%) is not passed, on each day: shape (days,)."""
    out: Floats = normal_cdf((log(value) - ahead.mean) / ahead.sd) @ ahead.weight
    return out


def percentile(ahead: Ahead, share: float) -> Floats:
    """The value (%) with `share` of the mixture below it, on each day: shape (days,).

    Newton's steps from the normal of the same mean and spread, none longer than half that spread.
    """
    centre = ahead.mean @ ahead.weight
    spread = np.sqrt((ahead.sd**2 + (ahead.mean - centre[:, None]) ** 2) @ ahead.weight)
    at = centre + NormalDist().inv_cdf(share) * spread
    for _ in range(_STEPS):
        z = (at[:, None] - ahead.mean) / ahead.sd
        density = (np.exp(-z * z / 2) / ahead.sd) @ ahead.weight / np.sqrt(2 * np.pi)
        step = (normal_cdf(z) @ ahead.weight - share) / np.maximum(density, 1e-9)
        at = at - np.clip(step, -spread / 2, spread / 2)
    out: Floats = np.exp(at)
    return out
