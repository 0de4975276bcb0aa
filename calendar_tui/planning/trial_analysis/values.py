"""Readings as rows of the analysis: shares counted out of totals, plants averaged or taken as samples, on the scale that suits them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from calendar_tui.nature.field_analysis.gathering import TrialProblem
from calendar_tui.nature.field_analysis.plots import Floats
from calendar_tui.nature.field_analysis.scales import ARCSINE, COUNT, LOG, LOGIT, PLAIN, shares
from calendar_tui.planning.trial_analysis.measures import Measure
from calendar_tui.planning.trial_analysis.readings import Reading
from calendar_tui.season import observing
from calendar_tui.season.trials import TrialPlot

SHARES = (LOGIT, ARCSINE, PLAIN)
COUNTS = (COUNT, LOG, PLAIN)
NUMBERS = (PLAIN, LOG)


class Row(NamedTuple):
    """A row of the analysis. readings: those that it was made of; value: as it is analysed, before its scale; shown: as it was measured,
    shares as parts of 1.
    """

    plot: TrialPlot
    readings: tuple[Reading, ...]
    value: float
    shown: float


class Rows(NamedTuple):
    """scale: one of the analysis; factor: 100 of shares that the measure has in percent, else 1."""

    rows: tuple[Row, ...]
    scale: str
    factor: float

    @property
    def values(self) -> Floats:
        return np.array([row.value for row in self.rows], dtype=float)


def rows_of(measure: Measure, readings: Sequence[Reading], scale: str = "", by_plant: bool = True) -> Rows:
    """scale: as it is asked for, "" for what suits the measure. by_plant: whether plants are rows of their own, else averaged.

    Raises TrialProblem for a scale that is not for such values, and for counts of more than all.
    """
    by_plot = _by_plot(readings)
    is_counted = all(one.counted for one in readings)
    if measure.is_share:
        chosen = _chosen(measure, scale, SHARES, LOGIT if is_counted else ARCSINE)
        factor = 100.0 if measure.is_percent else 1.0
        return Rows(tuple(_share_rows(by_plot, chosen, factor, is_counted)), chosen, factor)
    kinds = COUNTS if measure.scale == observing.COUNT else NUMBERS
    chosen = _chosen(measure, scale, kinds, kinds[0])
    groups = [(one,) for ones in by_plot.values() for one in ones] if by_plant else list(by_plot.values())
    rows = [Row(group[0].plot, tuple(group), value := _mean(group), value) for group in groups]
    return Rows(tuple(rows), chosen, 1.0)


def _chosen(measure: Measure, scale: str, scales: Sequence[str], usual: str) -> str:
    if scale and scale not in scales:
        raise TrialProblem(f"{measure.id} is not analysed on the scale {scale}; it takes {', '.join(scales)}")
    return scale or usual


def _by_plot(readings: Sequence[Reading]) -> Mapping[str, tuple[Reading, ...]]:
    by_plot: dict[str, list[Reading]] = {}
    for one in readings:
        by_plot.setdefault(one.plot.id, []).append(one)
    return {name: tuple(ones) for name, ones in by_plot.items()}


def _mean(group: Sequence[Reading]) -> float:
    return float(np.sort(np.array([one.value for one in group], dtype=float)).mean())


def _share_rows(
    by_plot: Mapping[str, tuple[Reading, ...]], scale: str, factor: float, is_counted: bool
) -> list[Row]:
    """A row a plot: plants of a plot that were counted are counted together."""
    groups = list(by_plot.values())
    if not is_counted:
        means = [_mean(group) / factor for group in groups]
        return [Row(group[0].plot, group, mean, mean) for group, mean in zip(groups, means, strict=True)]
    counts = [[one.counted for one in group if one.counted] for group in groups]
    come, of = (np.array([float(sum(c[n] for c in some)) for some in counts]) for n in (0, 1))
    values, shown = shares(come, of, scale), shares(come, of, PLAIN)
    return [
        Row(group[0].plot, group, float(value), float(as_counted))
        for group, value, as_counted in zip(groups, values, shown, strict=True)
    ]
