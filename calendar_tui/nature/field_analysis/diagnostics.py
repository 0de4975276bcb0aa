"""What the residuals of a trial show: whether the spread differs between treatments, and where in the field it lies high or low."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from calendar_tui.nature.field_analysis.distributions import f_tail
from calendar_tui.nature.field_analysis.plots import Floats, Level, Plots, cells_of


@dataclass(frozen=True, eq=False)
class Spread:
    """Whether residuals spread alike at all levels of a factor: F of their sizes (Levene 1960). narrow, wide: a level and its SD."""

    factor: str
    f: float
    df: int
    error_df: int
    p: float
    narrow: tuple[str, float]
    wide: tuple[str, float]


def spread(plots: Plots, residuals: Floats, factor: str) -> Spread | None:
    """None where a level has fewer than 3 plots, or all residuals are 0. Near enough where blocks are fitted too."""
    cells = cells_of(plots, (factor,))
    counts = cells.counts
    if counts.min() < 3 or not np.abs(residuals).max() > 0:
        return None
    indicator = cells.indicator()
    centred = residuals - (indicator.T @ residuals / counts)[cells.codes]
    sizes = np.abs(centred)
    means = indicator.T @ sizes / counts
    within = float(((sizes - means[cells.codes]) ** 2).sum())
    df, error_df = len(counts) - 1, len(plots) - len(counts)
    if within <= 1e-12 * float(sizes @ sizes):
        return None
    f = float((counts * (means - sizes.mean()) ** 2).sum()) / df / (within / error_df)
    deviations = np.sqrt(indicator.T @ centred**2 / (counts - 1))
    narrow, wide = int(deviations.argmin()), int(deviations.argmax())
    named = [(cells.levels[n][0], float(deviations[n])) for n in (narrow, wide)]
    return Spread(factor, f, df, error_df, f_tail(f, df, error_df), *named)


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
