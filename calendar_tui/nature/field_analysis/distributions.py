"""Tails of the normal, t, F and chi-square distributions, and the t that leaves a given tail. Plain numbers in and out.

F, t and chi-square come from the incomplete beta and gamma functions, by the continued fractions of Abramowitz and Stegun
(1964), 26.5.8 and 6.5.31, worked out by Lentz's method (Thompson and Barnett 1986, J. Comput. Phys. 64:490).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

_TINY, _CLOSE, _MOST_STEPS = 1e-300, 1e-16, 100_000


def normal_tail(z: float) -> float:
    """The chance that a standard normal is over z."""
    return math.erfc(z / math.sqrt(2)) / 2


def f_tail(f: float, df1: float, df2: float) -> float:
    """The chance that F with df1 and df2 degrees of freedom is over f."""
    return 1.0 if f <= 0 else _beta_part(df2 / (df2 + df1 * f), df2 / 2, df1 / 2)


def t_two_tails(t: float, df: float) -> float:
    """The chance that t with df degrees of freedom is further from 0 than t, on either side."""
    return _beta_part(df / (df + t * t), df / 2, 0.5)


def t_of_two_tails(share: float, df: float) -> float:
    """The t that leaves this share on both sides together. share: over 0 to 1."""
    return decreasing_root(lambda t: t_two_tails(t, df), share)


def chi_square_tail(x: float, df: float) -> float:
    """The chance that chi-square with df degrees of freedom is over x."""
    return 1.0 if x <= 0 else _gamma_tail(x / 2, df / 2)


def decreasing_root(function: Callable[[float], float], level: float) -> float:
    """The x of 0 or more at which a function that falls from 1 to 0 comes to a level: halved until two neighbours are left."""
    low, high = 0.0, 1.0
    while function(high) > level:
        low, high = high, high * 2
    while low < (middle := (low + high) / 2) < high:
        low, high = (middle, high) if function(middle) > level else (low, middle)
    return high


def _beta_part(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function of x, from 0 to 1."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    # The fraction is quick on this side of the mode; on the other it is that of what is left.
    if x > (a + 1) / (a + b + 2):
        return 1 - _beta_part(1 - x, b, a)
    front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    return math.exp(front) / a / _continued(_beta_terms(x, a, b))


def _beta_terms(x: float, a: float, b: float) -> Iterator[tuple[float, float]]:
    m = 0
    while True:
        m += 1
        k = m // 2
        if m % 2:
            yield -(a + k) * (a + b + k) * x / ((a + 2 * k) * (a + 2 * k + 1)), 1.0
        else:
            yield k * (b - k) * x / ((a + 2 * k - 1) * (a + 2 * k)), 1.0


def _gamma_tail(x: float, a: float) -> float:
    """The regularised upper incomplete gamma function: a series below the mode, a fraction above."""
    front = math.exp(a * math.log(x) - x - math.lgamma(a))
    if x < a + 1:
        term = total = 1 / a
        k = a
        while term > total * _CLOSE:
            k += 1
            term *= x / k
            total += term
        return 1 - front * total
    terms = ((-k * (k - a), x + 2 * k + 1 - a) for k in range(1, _MOST_STEPS))
    return front / _continued(terms, x + 1 - a)


def _continued(terms: Iterator[tuple[float, float]], first: float = 1.0) -> float:
    """first + a1 / (b1 + a2 / (b2 + ...)) of the terms (a, b), until a step changes nothing."""
    value = first or _TINY
    c, d = value, 0.0
    for _, (a, b) in zip(range(_MOST_STEPS), terms, strict=False):
        d = 1 / (b + a * d or _TINY)
        c = b + a / c or _TINY
        value *= c * d
        if abs(c * d - 1) < _CLOSE:
            break
    return value
