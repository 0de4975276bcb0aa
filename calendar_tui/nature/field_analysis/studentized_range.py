"""The studentized range: the span of k normal means over an independent estimate of their error.

1 - P(Q > q) is the integral over s, the estimate over its true value (df s^2 is chi-square), of the chance that the range
of k standard normals is under q s. That chance is k times the integral of phi(z) (Phi(z) - Phi(z - w))^(k - 1) over z
(David and Nagaraja 2003, Order Statistics, 2.3 and 7.2). Both are worked out by Gauss-Legendre.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
# Standard deviations beyond which a normal, and the estimate of a spread, count for nothing.
_FAR, _FAR_SPREAD = 8.5, 12.0
# From this range on no k matters: all of its chance is inside.
_WHOLE_RANGE = 10.0
_NODES = 40
_FEW = 10
_CLOSE, _EXACT = 1e-11, 1e-14
_ROOT_TWO = math.sqrt(2)
_erfc = np.frompyfunc(math.erfc, 1, 1)


@cache
def range_tail(q: float, k: int, df: float) -> float:
    """The chance that the studentized range of k means is over q. k: 2 or more; df: of the error, 1 or more."""
    if q <= 0:
        return 1.0
    reach = _FAR_SPREAD / math.sqrt(2 * df)
    low, high = max(0.0, 1 - reach), 1 + reach
    # The chance rises where s is under this, and is 1 beyond: each side is smooth.
    turn = min(max(_WHOLE_RANGE / q, low), high)
    # Where s near 0 counts, its density is a broken power of it, which is smooth in the fourth root.
    power = 4 if df < _FEW else 1
    edges = (low, (low + turn) / 2, turn, (turn + high) / 2, high)
    root, weights = _nodes_between([edge ** (1 / power) for edge in edges])
    s = root**power
    density = np.exp(_log_density(s, df)) * power * root ** (power - 1)
    return float(np.clip((weights * density) @ (1 - _range_under(q * s, k)), 0.0, 1.0))


@cache
def range_of_tail(share: float, k: int, df: float) -> float:
    """The q that the studentized range of k means is over with this chance, by false position (Illinois)."""
    kept, newest = 0.0, 4.0
    while range_tail(newest, k, df) > share:
        kept, newest = newest, newest * 2
    at_kept, at_newest = range_tail(kept, k, df) - share, range_tail(newest, k, df) - share
    while abs(newest - kept) > _CLOSE * newest and abs(at_newest) > _EXACT:
        q = newest - at_newest * (newest - kept) / (at_newest - at_kept)
        at_q = range_tail(q, k, df) - share
        if at_q * at_newest < 0:
            kept, at_kept = newest, at_newest
        else:
            at_kept /= 2
        newest, at_newest = q, at_q
    return newest


def _log_density(s: Floats, df: float) -> Floats:
    """Of an estimated over a true standard deviation with df degrees of freedom."""
    with np.errstate(divide="ignore"):
        steep: Floats = (df - 1) * np.log(s) if df > 1 else np.zeros_like(s)
    constant = math.log(2) + df / 2 * math.log(df / 2) - math.lgamma(df / 2)
    return constant + steep - df * s * s / 2


def _range_under(w: Floats, k: int) -> Floats:
    """The chance that the range of k standard normals is under w."""
    z, weights = _nodes_between((-_FAR, -2.0, 2.0, _FAR))
    inside = _normal_under(z) - _normal_under(z - w[:, None])
    under: Floats = k * (inside ** (k - 1)) @ (weights * np.exp(-z * z / 2) / math.sqrt(2 * math.pi))
    return under


def _normal_under(z: Floats) -> Floats:
    return np.asarray(_erfc(-z / _ROOT_TWO), dtype=float) / 2


def _nodes_between(edges: Sequence[float]) -> tuple[Floats, Floats]:
    """The nodes and weights of Gauss-Legendre in each part between two edges."""
    node, weight = _legendre(_NODES)
    parts = [(a, b) for a, b in pairwise(edges) if b > a]
    nodes = np.concatenate([(a + b) / 2 + (b - a) / 2 * node for a, b in parts])
    return nodes, np.concatenate([(b - a) / 2 * weight for a, b in parts])


@cache
def _legendre(count: int) -> tuple[Floats, Floats]:
    return np.polynomial.legendre.leggauss(count)
