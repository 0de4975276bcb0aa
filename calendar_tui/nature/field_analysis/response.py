"""How the mean answers to a level that is a number: a date as days of delay, a spacing, a rate.

Orthogonal polynomials of the levels as they are, evenly spaced or not. An optimum is given only where the curve is significant, the
parabola fits, and its top or bottom lies inside the levels that were tried. Density: y = a x k^x, with its highest yield at
-1 / ln k (Carmer and Jackobs 1965, Agron. J. 57:241).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from calendar_tui.nature.field_analysis.estimates import Fit
from calendar_tui.nature.field_analysis.plots import Cells, Floats, is_date, number_of

LINEAR, QUADRATIC, REST = "linear", "quadratic", "rest"
TOP, BOTTOM = "top", "bottom"
_MOST_STEPS, _CLOSE = 50, 1e-12
_POINTS = 61


class Ruler(NamedTuple):
    """How levels that are no numbers are one: the number of each, and its unit, as a spacing has metres in the row."""

    numbers: Mapping[str, float]
    unit: str


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a response: LINEAR, QUADRATIC, or the REST of the curve. f, p: None where nothing tests it."""

    name: str
    df: int
    f: float | None = None
    error_df: float | None = None
    p: float | None = None


@dataclass(frozen=True, slots=True)
class Turn:
    """Where the parabola turns: x in the unit of the levels; which: TOP or BOTTOM; value: there, on the scale of the analysis."""

    x: float
    which: str
    value: float


@dataclass(frozen=True, eq=False)
class Response:
    """x: the levels as numbers, dates as days from the first; from_date: that first one, "" of other levels. unit: of x, "" where
    the levels do not say.

    slope: of the straight line, a unit of x, with its standard error. turn: of the parabola, wherever it lies; None for a straight one.
    optimum: the turn where it may be given; why_none: else the reason, one of WHY.
    """

    factor: str
    x: tuple[float, ...]
    from_date: str
    parts: tuple[Part, ...]
    slope: tuple[float, float]
    turn: Turn | None
    optimum: Turn | None
    why_none: str
    unit: str = ""


FEW, FLAT, NO_CURVE, POOR_FIT, OUTSIDE = WHY = (
    "fewer than three levels",
    "the means do not differ significantly",
    "the curve is not significant",
    "a parabola does not fit the means",
    "the parabola turns outside the levels that were tried",
)
OUTSIDE_TRIED = "the curve's top lies outside the densities that were tried"


def response(
    fit: Fit, cells: Cells, p: float | None, level: float, ruler: Ruler | None = None
) -> Response | None:
    """The response to a factor whose levels are all numbers or dates; None where one is a word, or two are the same number.

    cells: of that factor alone. p: of the factor as a whole, None where nothing tests it. level: of significance. ruler: by which
    levels are numbers, where they are not written so.
    """
    labels = [level[0] for level in cells.levels]
    numbers = [ruler.numbers.get(label) if ruler else number_of(label) for label in labels]
    if None in numbers or len({*numbers}) < len(numbers):
        return None
    x = np.array(numbers, dtype=float)
    dated = ruler is None and is_date(labels[0])
    x = x - x[0] if dated else x
    contrasts = _polynomials(x)
    parts = tuple(_part(fit, cells, name, rows) for name, rows in _named_parts(contrasts))
    straight = fit.combined(cells, contrasts[:1] / float(contrasts[0] @ x))
    turn = _turn(x, fit.means(cells).value)
    why = _why_none(parts, p, level, turn, x)
    slope = (float(straight.value[0]), float(straight.se[0]))
    return Response(
        cells.factors[0],
        tuple(map(float, x)),
        labels[0] if dated else "",
        parts,
        slope,
        turn,
        None if why else turn,
        why,
        "d" if dated else ruler.unit if ruler else "",
    )


def _polynomials(x: Floats) -> Floats:
    """Orthogonal polynomials of degree 1 and up, a row each, of length 1."""
    scaled = (x - x.mean()) / np.ptp(x)
    basis, _ = np.linalg.qr(np.vander(scaled, increasing=True))
    signs = np.sign(basis[-1])
    rows: Floats = (basis * signs).T[1:]
    return rows


def _named_parts(contrasts: Floats) -> list[tuple[str, Floats]]:
    parts = [(LINEAR, contrasts[:1]), (QUADRATIC, contrasts[1:2]), (REST, contrasts[2:])]
    return [(name, rows) for name, rows in parts if len(rows)]


def _part(fit: Fit, cells: Cells, name: str, rows: Floats) -> Part:
    tested = fit.together(cells, rows)
    return Part(name, len(rows)) if tested is None else Part(name, len(rows), *tested)


def _turn(x: Floats, means: Floats) -> Turn | None:
    """Where the parabola by least squares on the means turns; None where it is straight."""
    if len(x) < 3:
        return None
    middle, width = float(x.mean()), float(np.ptp(x))
    c, b, a = np.polynomial.polynomial.polyfit((x - middle) / width, means, 2)
    if abs(a) < 1e-12 * max(abs(float(b)), abs(float(c)), 1e-300):
        return None
    at = -b / (2 * a)
    return Turn(middle + width * float(at), TOP if a < 0 else BOTTOM, float(c + b * at / 2))


def _why_none(parts: tuple[Part, ...], p: float | None, level: float, turn: Turn | None, x: Floats) -> str:
    """The reason to give no optimum, one of WHY; "" where there is one."""
    by_name = {part.name: part.p for part in parts}
    if len(x) < 3:
        return FEW
    if p is None or p > level:
        return FLAT
    curve, rest = by_name.get(QUADRATIC), by_name.get(REST)
    if curve is None or curve > level or turn is None:
        return NO_CURVE
    if rest is not None and rest <= level:
        return POOR_FIT
    return "" if x.min() < turn.x < x.max() else OUTSIDE


@dataclass(frozen=True, slots=True)
class Density:
    """y = a x k^x. top: the density of the highest yield, in the unit of x, wherever it lies; None where yield rises without end.

    best: the top where it may be given; why_none: else the reason, FLAT or OUTSIDE_TRIED.
    """

    a: float
    k: float
    top: float | None
    best: float | None
    why_none: str = ""

    def between(self, first: float, last: float) -> list[tuple[float, float]]:
        """Points of the curve, to draw it: densities from first to last, and their yields."""
        return [(float(x), float(self.a * x * self.k**x)) for x in np.linspace(first, last, _POINTS)]


def density(x: Floats, means: Floats, is_significant: bool) -> Density | None:
    """The curve of yield on plants per area, by least squares. None where a figure is not over 0, or fewer than 3 are given.

    is_significant: whether the means differ; no best density is given where they are not shown to. It begins with the straight line of ln(y / x), and goes on by steps of Gauss and Newton, halved until they help.
    """
    if len(x) < 3 or not ((x > 0).all() and (means > 0).all()):
        return None
    at: Floats = np.asarray(np.polynomial.polynomial.polyfit(x, np.log(means / x), 1), dtype=float)
    for _ in range(_MOST_STEPS):
        curve = x * np.exp(at[0] + at[1] * x)
        step = np.linalg.lstsq(np.column_stack((curve, curve * x)), means - curve, rcond=None)[0]
        halved = (at + step / 2**n for n in range(_MOST_STEPS))
        at, before = next((b for b in halved if _misfit(b, x, means) <= _misfit(at, x, means)), at), at
        if np.abs(at - before).max() < _CLOSE:
            break
    top = -1 / float(at[1]) if at[1] < 0 else math.inf
    why = FLAT if not is_significant else "" if x.min() < top < x.max() else OUTSIDE_TRIED
    return Density(
        math.exp(at[0]), math.exp(at[1]), top if math.isfinite(top) else None, None if why else top, why
    )


def _misfit(at: Floats, x: Floats, means: Floats) -> float:
    return float(((means - x * np.exp(at[0] + at[1] * x)) ** 2).sum())
