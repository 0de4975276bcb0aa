"""Differences between means: the least significant difference (LSD), Tukey's, and letters for means that do not differ."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations

import numpy as np

from calendar_tui.nature.field_analysis.distributions import t_of_two_tails, t_two_tails
from calendar_tui.nature.field_analysis.estimates import Estimates, Fit
from calendar_tui.nature.field_analysis.letters import letters
from calendar_tui.nature.field_analysis.plots import Cells, Floats
from calendar_tui.nature.field_analysis.studentized_range import range_of_tail, range_tail

# Of more means no chances by Tukey are worked out, each of which is an integral; the critical range is one.
_MOST_CHANCES = 10
_LEAST_DF = 1 - 1e-6
_ROOT_TWO = math.sqrt(2)


@dataclass(frozen=True, eq=False)
class Pairs:
    """Pairs of means. first, second: their numbers; differences: first less second, with error NaN where nothing tests it."""

    first: tuple[int, ...]
    second: tuple[int, ...]
    differences: Estimates


@dataclass(frozen=True, slots=True)
class Kind:
    """Pairs whose levels differ in the same factors. Each figure from lowest to highest; tukey: half of the width of its interval.

    plots: of one mean and of the other, the fewer first, where pairs are told apart by them too; else None.
    """

    differing: tuple[str, ...]
    plots: tuple[int, int] | None
    sed: tuple[float, float]
    df: tuple[float, float]
    lsd: tuple[float, float]
    tukey: tuple[float, float]


@dataclass(frozen=True, eq=False)
class Comparison:
    """kinds: of pairs that can be tested. by_lsd, by_tukey: letters; tukey_p: chances pair by pair, None for many means."""

    pairs: Pairs
    kinds: tuple[Kind, ...]
    by_lsd: tuple[str, ...]
    by_tukey: tuple[str, ...]
    lsd_p: tuple[float, ...]
    tukey_p: tuple[float, ...] | None


def pairs_of(fit: Fit, cells: Cells, untested: Sequence[str] = ()) -> Pairs:
    """All pairs of cells. untested: factors whose levels nothing tests, so that pairs that differ in them have no error."""
    both = list(combinations(range(len(cells.levels)), 2))
    coefficients = np.zeros((len(both), len(cells.levels)))
    for row, (i, j) in enumerate(both):
        coefficients[row, i], coefficients[row, j] = 1, -1
    found = fit.combined(cells, coefficients)
    blind = np.array([bool({*untested} & {*_differing(cells, i, j)}) for i, j in both])
    se, df = np.where(blind, np.nan, found.se), np.where(blind, np.nan, found.df)
    first, second = zip(*both, strict=True)
    return Pairs(first, second, Estimates(found.value, se, df))


def compare(
    fit: Fit, cells: Cells, level: float, untested: Sequence[str] = (), by_plots: bool = False
) -> Comparison | None:
    """How cells differ at a level of significance, such as 0.05; None where no pair can be tested.

    by_plots: whether the kinds of pairs are told apart by how many plots their means have, as checks and new lines are.

    Tukey's range takes the fewest degrees of freedom of all pairs, where they differ.
    """
    pairs = pairs_of(fit, cells, untested)
    _, se, df = pairs.differences
    # Under one degree of freedom nothing can be said of an error.
    known = [n for n in range(len(se)) if np.isfinite(df[n]) and df[n] >= _LEAST_DF and se[n] > 0]
    if not known:
        return None
    count, least = len(cells.levels), float(df[known].min())
    tukey = range_of_tail(level, count, least) / _ROOT_TWO * se
    lsd = np.full(len(se), np.nan)
    lsd[known] = [_t(level, round(float(df[n]), 9)) * se[n] for n in known]
    means = list(map(float, fit.means(cells).value))
    nothing = ("",) * count
    whole = len(known) == len(se)
    return Comparison(
        pairs,
        _kinds(cells, pairs, known, (se, df, lsd, tukey), by_plots),
        letters(means, _apart(pairs, lsd)) if whole else nothing,
        letters(means, _apart(pairs, tukey)) if whole else nothing,
        *_chances(pairs, known, count, least),
    )


def _chances(
    pairs: Pairs, known: Sequence[int], count: int, least: float
) -> tuple[tuple[float, ...], tuple[float, ...] | None]:
    """The chance of each difference by t, and by Tukey where there are few means; NaN where nothing tests it."""
    value, se, df = pairs.differences
    by_t, by_range = np.full(len(se), np.nan), np.full(len(se), np.nan)
    for n in known:
        t = float(abs(value[n]) / se[n])
        by_t[n] = t_two_tails(t, float(df[n]))
        if count <= _MOST_CHANCES:
            by_range[n] = range_tail(t * _ROOT_TWO, count, least)
    return tuple(map(float, by_t)), tuple(map(float, by_range)) if count <= _MOST_CHANCES else None


@cache
def _t(level: float, df: float) -> float:
    return t_of_two_tails(level, df)


def _apart(pairs: Pairs, least: Floats) -> list[tuple[int, int]]:
    """The pairs that differ by more than these differences."""
    rows = zip(pairs.first, pairs.second, np.abs(pairs.differences.value), least, strict=True)
    return [(i, j) for i, j, difference, limit in rows if difference > limit]


def _differing(cells: Cells, i: int, j: int) -> tuple[str, ...]:
    both = zip(cells.factors, cells.levels[i], cells.levels[j], strict=True)
    return tuple(name for name, one, other in both if one != other)


def _kinds(
    cells: Cells, pairs: Pairs, known: Sequence[int], figures: Sequence[Floats], by_plots: bool
) -> tuple[Kind, ...]:
    """The kinds of pairs, those that differ in fewest factors first."""
    by_kind: dict[tuple[tuple[str, ...], tuple[int, int] | None], list[int]] = {}
    counts = cells.counts
    for n in known:
        i, j = pairs.first[n], pairs.second[n]
        fewer, more = sorted((int(counts[i]), int(counts[j])))
        by_kind.setdefault((_differing(cells, i, j), (fewer, more) if by_plots else None), []).append(n)
    ordered = sorted(
        by_kind,
        key=lambda kind: (len(kind[0]), [cells.factors.index(name) for name in kind[0]], kind[1] or ()),
    )
    return tuple(Kind(*kind, *(_span(part[by_kind[kind]]) for part in figures)) for kind in ordered)


def _span(figures: Floats) -> tuple[float, float]:
    return float(figures.min()), float(figures.max())
