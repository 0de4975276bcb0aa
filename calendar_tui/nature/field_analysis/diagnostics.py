"""What the residuals of a trial show: whether the spread differs between treatments, and where in the field it lies high or low."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from calendar_tui.nature.field_analysis.distributions import chi_square_tail
from calendar_tui.nature.field_analysis.plots import Floats, Level, Plots, cells_of


@dataclass(frozen=True, eq=False)
class Spread:
    """Whether residuals spread alike at all levels of a factor: Bartlett's chi-square. narrow, wide: a level and its SD."""

    factor: str
    chi_square: float
    df: int
    p: float
    narrow: tuple[str, float]
    wide: tuple[str, float]


def spread(plots: Plots, residuals: Floats, error_df: float, factor: str) -> Spread | None:
    """Bartlett 1937 (Proc. R. Soc. A 160:268) on residuals, each level with its part of the error's degrees of freedom.

    None where a level has less than one of them, or residuals that are all 0. Of Levene's test, by sizes of residuals, levels of three
    plots whose spread is alike are told apart far too often.
    """
    cells = cells_of(plots, (factor,))
    df = cells.counts * error_df / len(plots)
    squares = cells.indicator().T @ residuals**2
    if df.min() < 1 or not squares.min() > 1e-12 * squares.max():
        return None
    variances, total, count = squares / df, float(df.sum()), len(df)
    correction = 1 + (float((1 / df).sum()) - 1 / total) / (3 * (count - 1))
    logs = total * math.log(float(squares.sum()) / total) - float(df @ np.log(variances))
    chi_square = max(logs / correction, 0.0)
    narrow, wide = int(variances.argmin()), int(variances.argmax())
    named = [(cells.levels[n][0], math.sqrt(float(variances[n]))) for n in (narrow, wide)]
    return Spread(factor, chi_square, count - 1, chi_square_tail(chi_square, count - 1), *named)


@dataclass(frozen=True, eq=False)
class FieldMap:
    """Residuals where the plots lie, in standard deviations of all of them. row_means, column_means: as long as rows, columns.

    at: by row and column, by their numbers; without those where no plot, or several, lie.
    """

    rows: tuple[str, ...]
    columns: tuple[str, ...]
    at: dict[tuple[int, int], float]
    row_means: tuple[float, ...]
    column_means: tuple[float, ...]


def field_map(plots: Plots, residuals: Floats, row: str, column: str) -> FieldMap | None:
    """None where all residuals are 0."""
    scale = float(np.sqrt(np.mean(residuals**2)))
    if not scale > 0:
        return None
    rows, columns = cells_of(plots, (row,)), cells_of(plots, (column,))
    both: dict[tuple[int, int], list[float]] = {}
    for r, c, residual in zip(rows.codes, columns.codes, residuals / scale, strict=True):
        both.setdefault((int(r), int(c)), []).append(float(residual))
    means = [
        tuple(map(float, cells.indicator().T @ residuals / scale / cells.counts)) for cells in (rows, columns)
    ]
    return FieldMap(
        _labels(rows.levels),
        _labels(columns.levels),
        {at: one[0] for at, one in both.items() if len(one) == 1},
        *means,
    )


def _labels(levels: tuple[Level, ...]) -> tuple[str, ...]:
    return tuple(level[0] for level in levels)
