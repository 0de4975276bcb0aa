"""Scales on which values are analysed, so that their spread does not hang on their size, and the way back for means.

Shares by the logit, counts of plants out of a number with a half added on both sides (Haldane 1956, Ann. Hum. Genet. 20:309), or by
the arcsine of the square root (Bartlett 1947, Biometrics 3:39); counts by the square root of the count and a half (the same).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

import numpy as np

from calendar_tui.nature.field_analysis.gathering import Marks, TrialProblem
from calendar_tui.nature.field_analysis.plots import Floats

PLAIN, LOG, COUNT, LOGIT, ARCSINE = "plain", "log", "count", "logit", "arcsine"


class Scale(NamedTuple):
    """there: what a value becomes; back: what a mean of that is on its own scale. words: what was done, for a sentence.

    least, most: between which values lie, None for no bound; open_ends: whether they may not be these themselves.
    """

    words: str
    there: Callable[[Floats], Floats]
    back: Callable[[Floats], Floats]
    least: float | None = None
    most: float | None = None
    open_ends: bool = False


SCALES: Mapping[str, Scale] = {
    PLAIN: Scale("as measured", lambda y: y, lambda y: y),
    LOG: Scale("the natural logarithm", np.log, np.exp, least=0.0, open_ends=True),
    COUNT: Scale(
        "the square root of count + 0.5", lambda y: np.sqrt(y + 0.5), lambda y: y**2 - 0.5, least=0.0
    ),
    LOGIT: Scale(
        "the logit, ln(share / (1 - share))",
        lambda y: np.log(y / (1 - y)),
        lambda y: 1 / (1 + np.exp(-y)),
        least=0.0,
        most=1.0,
        open_ends=True,
    ),
    ARCSINE: Scale(
        "the arcsine of the square root of the share",
        lambda y: np.arcsin(np.sqrt(y)),
        lambda y: np.sin(np.clip(y, 0, np.pi / 2)) ** 2,
        least=0.0,
        most=1.0,
    ),
}


def on_scale(values: Floats, scale: str) -> Floats:
    """The values on a scale; NaN stays. Raises TrialProblem for one that has no place on it, with the places of all such."""
    chosen = SCALES[scale]
    there = ~np.isnan(values)
    outside = there & ~_inside(values, chosen)
    if outside.any():
        rows = np.flatnonzero(outside)
        raise TrialProblem(_why_outside(float(values[rows[0]]), scale), list(map(int, rows)))
    scaled = np.full(len(values), np.nan)
    scaled[there] = chosen.there(values[there])
    return scaled


def shares(counts: Floats, totals: Floats, scale: str) -> Floats:
    """Counts out of totals as shares; for the logit with a half added to both sides, so that none and all have one too.

    Raises TrialProblem for a count that is no number from 0 to its total.
    """
    known = ~np.isnan(counts)
    with np.errstate(invalid="ignore"):
        wrong = known & ~((counts >= 0) & (counts <= totals) & (totals > 0))
    if wrong.any():
        rows = np.flatnonzero(wrong)
        first = rows[0]
        raise TrialProblem(
            f"{counts[first]:g} of {totals[first]:g} is no count out of a total; write a number from 0 to its total",
            list(map(int, rows)),
        )
    half = 0.5 if scale == LOGIT else 0.0
    with np.errstate(invalid="ignore", divide="ignore"):
        parts: Floats = (counts + half) / (totals + 2 * half)
    return parts


def _inside(values: Floats, scale: Scale) -> Marks:
    inside = np.ones(len(values), dtype=bool)
    with np.errstate(invalid="ignore"):
        if scale.least is not None:
            inside &= values > scale.least if scale.open_ends else values >= scale.least
        if scale.most is not None:
            inside &= values < scale.most if scale.open_ends else values <= scale.most
    return inside


def _why_outside(value: float, scale: str) -> str:
    if scale in (LOGIT, ARCSINE) and not 0 <= value <= 1:
        return (
            f"{value:g} is no share from 0 to 1; write 0.42 for 42 %, or set that the values are in percent"
        )
    if scale == LOGIT:
        return f"a share of {value:g} has no logit; give counts and what they are out of, or take the scale {ARCSINE}"
    if scale == LOG:
        return f"{value:g} has no logarithm; a value must be over 0, or the scale another"
    return f"{value:g} is under 0; a count is 0 or more"
