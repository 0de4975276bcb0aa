"""What is believed after the records of some cohorts at once, and from when days count for plants that emerge on a day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from calendar_tui.nature.looks import SCALES
from calendar_tui.nature.refit import GRID, Cohort, Grid, Weights, after_all, grid_likelihood


def posterior(before: Weights, cohorts: Iterable[Cohort], scales: Mapping[float, float] = SCALES) -> Weights:
    """Each record has an error of its own, of a scale that all share."""
    return after_all(before, [grid_likelihood(cohort, before.grid, scales) for cohort in cohorts], scales)


def starts_of(emergence: int, grid: Grid = GRID) -> tuple[int, ...]:
    """For each juvenile time of the grid."""
    return tuple([emergence + days for days in grid.juvenile_d])
