"""What a trial shows by one measure: the values of its plots, what was worked out of them, and tables that a page can draw."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import NamedTuple

import numpy as np

from calendar_tui.nature.field_analysis.analysis import Analysis, Means
from calendar_tui.nature.field_analysis.diagnostics import FieldMap
from calendar_tui.nature.field_analysis.plots import Floats, Level
from calendar_tui.nature.field_analysis.scales import PLAIN, SCALES
from calendar_tui.nature.field_analysis.under_limit import Counted
from calendar_tui.planning.trial_analysis.measures import Measure
from calendar_tui.season.trials import Trial, TrialPlot

Span = tuple[float, float]


class PlotValue(NamedTuple):
    """A plot that has a value. value: in the unit of the measure, the mean where n values were averaged; days: of these.

    residual: what is left of it after treatments and ground, in standard deviations; None where whole places are the plots.
    """

    plot: TrialPlot
    value: float
    n: int
    days: tuple[date, ...]
    residual: float | None


class MeanRow(NamedTuple):
    """A mean in the unit of the measure, turned back from the scale of the analysis. n: plots; points: their own values.

    low, high: a standard error under it and over it, turned back too, and se: on the scale of the analysis; None where there is none.
    lsd, tukey: letters, means that share one do not differ; "" where nothing tells them apart.
    """

    level: Level
    n: int
    mean: float
    se: float | None
    low: float | None
    high: float | None
    lsd: str
    tukey: str
    points: tuple[float, ...]


class MeansTable(NamedTuple):
    """The means of a factor, or of a combination of factors. f, df, error_df, p, is_significant: None where nothing tests it.

    sed, lsd, tukey: of a difference, on the scale of the analysis, from lowest to highest; None where there is none, lsd too
    where the means do not differ significantly, or where pairs have errors of several kinds, which `means` has.
    """

    means: Means
    factors: tuple[str, ...]
    f: float | None
    df: int
    error_df: float | None
    p: float | None
    is_significant: bool | None
    sed: Span | None
    lsd: Span | None
    tukey: Span | None
    rows: tuple[MeanRow, ...]


class WordCount(NamedTuple):
    """How often each word stands in the plots of one treatment."""

    level: Level
    counts: Mapping[str, int]


@dataclass(frozen=True, kw_only=True, eq=False)
class Analysed:
    """A trial by one measure.

    place: where designs are worked out place by place, the one that this is of; else "".
    days: on which it was measured, of the round that is analysed; rounds: the first and last day of every round there is.
    values: plots in walking order. points: of each plot of the analysis, as it was measured; row_plots: the id of the plot of each row of
    its table. factor: by which values of the analysis are multiplied to be in the unit of the measure: 100 of
    percent that are analysed as shares.
    One of three stands, or none, and then `problem` says why: analysis; counted, where values are under a limit and no number is made of
    them, by `factors`; marks, of what is words. remarks: what to know of the values, in sentences. maps: residuals where the plots lie,
    place by place.
    """

    trial: Trial
    measure: Measure
    place: str = ""
    days: tuple[date, ...] = ()
    rounds: tuple[tuple[date, date], ...] = ()
    factors: tuple[str, ...] = ()
    values: tuple[PlotValue, ...] = ()
    factor: float = 1.0
    analysis: Analysis | None = None
    points: tuple[float, ...] = ()
    row_plots: tuple[str, ...] = ()
    counted: tuple[Counted, ...] = ()
    marks: tuple[WordCount, ...] = ()
    maps: tuple[tuple[str, FieldMap], ...] = ()
    remarks: tuple[str, ...] = ()
    problem: str = ""

    @property
    def is_plain(self) -> bool:
        """Whether it was analysed as it was measured, and not on another scale."""
        return self.analysis is None or self.analysis.question.scale == PLAIN

    @property
    def units(self) -> tuple[str, str]:
        """What its means are of, in words for one and for several: plots, or means of places."""
        return ("plot", "plots") if self.analysis is None else self.analysis.gathered.units

    @property
    def round_at(self) -> int | None:
        """The number of its round among `rounds`, from 0; None where it has no value."""
        held = (
            n for n, (first, last) in enumerate(self.rounds) if self.days and first <= self.days[0] <= last
        )
        return next(held, None)

    @cached_property
    def tables(self) -> tuple[MeansTable, ...]:
        """The means of each factor and combination, in the order of the design."""
        return () if self.analysis is None else tuple(_tables(self, self.analysis))


def _tables(of: Analysed, analysis: Analysis) -> Iterator[MeansTable]:
    for means in analysis.means:
        source = means.source
        significant = None if source.p is None else analysis.is_significant(source)
        kinds = means.comparison.kinds if means.comparison else ()
        one = kinds[0] if len(kinds) == 1 else None
        yield MeansTable(
            means,
            means.factors,
            source.f,
            source.df,
            source.error_df,
            source.p,
            significant,
            None if one is None else one.sed,
            one.lsd if one is not None and significant else None,
            None if one is None or not (means.comparison and means.comparison.by_tukey[0]) else one.tukey,
            tuple(_rows(of, analysis, means, bool(significant))),
        )


def _rows(of: Analysed, analysis: Analysis, means: Means, significant: bool) -> Iterator[MeanRow]:
    back = SCALES[analysis.question.scale].back
    by_level: dict[Level, list[float]] = defaultdict(list)
    for level, point in zip(analysis.gathered.plots.levels(means.factors), of.points, strict=True):
        by_level[level].append(point)
    low, high = (of.factor * back(means.value + side * means.se) for side in (-1, 1))
    letters = means.comparison
    for n, level in enumerate(means.levels):
        yield MeanRow(
            level,
            means.n[n],
            of.factor * float(means.back[n]),
            _known(means.se, n),
            _known(low, n),
            _known(high, n),
            letters.by_lsd[n] if letters and significant else "",
            letters.by_tukey[n] if letters else "",
            tuple(by_level[level]),
        )


def _known(figures: Floats, n: int) -> float | None:
    figure = float(np.asarray(figures)[n])
    return None if math.isnan(figure) else figure
