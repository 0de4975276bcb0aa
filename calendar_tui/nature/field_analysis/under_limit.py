"""Values of which some are under a limit: no number is made of those, so there is no mean and no test with them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from calendar_tui.nature.field_analysis.gathering import Marks
from calendar_tui.nature.field_analysis.plots import Level, Plots, cells_of


@dataclass(frozen=True, slots=True)
class Counted:
    """The values of one treatment. n: with those under the limit; median: None where half or more are under it."""

    level: Level
    n: int
    under: int
    median: float | None
    lowest: float | None
    highest: float | None


def counted(rows: Plots, under: Marks, factors: tuple[str, ...]) -> tuple[Counted, ...]:
    """How many values of each treatment are under the limit, and the median where it is measured. Missing values are left out."""
    kept = rows.kept(under | ~np.isnan(rows.values))
    below = under[under | ~np.isnan(rows.values)]
    cells = cells_of(kept, factors)
    return tuple(
        _counted(level, kept.values[cells.codes == n], below[cells.codes == n])
        for n, level in enumerate(cells.levels)
    )


def _counted(level: Level, values: np.ndarray, under: Marks) -> Counted:
    measured = np.sort(values[~under])
    count, below = len(values), int(under.sum())
    # Whatever those under the limit are, they come before all that is measured.
    whole = np.concatenate((np.full(below, -np.inf), measured))
    median = float(np.median(whole))
    return Counted(
        level,
        count,
        below,
        median if np.isfinite(median) else None,
        float(measured[0]) if len(measured) else None,
        float(measured[-1]) if len(measured) else None,
    )
