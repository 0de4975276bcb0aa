"""Rows of a table made into the plots of a trial: guards left out, samples averaged, what is twice or missing found."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from calendar_tui.nature.field_analysis.designs import BLOCK, INCOMPLETE, MAIN, UNIT, Layout
from calendar_tui.nature.field_analysis.plots import Level, Plots, cells_of, order_of
from calendar_tui.nature.layouts.designs import SPLIT

PLOT = "plot"  # the role of a column that names each plot
Marks = NDArray[np.bool_]


class TrialProblem(ValueError):
    """A table that is not the trial it is set to be. rows: those it is about, from 0; the message names none of them."""

    def __init__(self, message: str, rows: Sequence[int] = ()) -> None:
        super().__init__(message)
        self.rows = tuple(rows)


class PlotTwice(TrialProblem):
    """A plot that stands in several rows, which are not set to be its samples."""


@dataclass(frozen=True, eq=False)
class Sampling:
    """Samples in a plot: how many at least and at most, and the variance between those of one plot (ms, df); ms None for df 0."""

    fewest: int
    most: int
    df: int
    ms: float | None


@dataclass(frozen=True, eq=False)
class Gathered:
    """plots: those with a value, in the order of their labels; rows: of the table, that each was made of, with a value or not.

    missing: rows without a value; guards: how many rows were left out as such. absent: what no plot with a value has, of a design with complete blocks. sampling: None for a value a plot.
    """

    plots: Plots
    rows: tuple[tuple[int, ...], ...]
    layout: Layout
    missing: tuple[int, ...]
    guards: int
    absent: tuple[Level, ...]
    sampling: Sampling | None

    @property
    def units(self) -> tuple[str, str]:
        """What its values are of, in words for one and for several: plots, or where all of a unit is averaged its means."""
        columns = self.layout.columns
        is_mean = self.sampling is not None and self.sampling.most > 1
        if not is_mean or UNIT not in columns or PLOT in columns:
            return "plot", "plots"
        return f"{columns[UNIT][0]} mean", f"{columns[UNIT][0]} means"


def gather(rows: Plots, layout: Layout, guards: Marks | None = None, sampled: bool = False) -> Gathered:
    """The plots of a layout. rows: one a plot, or one a sample where `sampled`. Raises TrialProblem."""
    guard = np.zeros(len(rows), dtype=bool) if guards is None else guards
    numbers = np.flatnonzero(~guard)
    inner = rows.kept(~guard)
    layout = replicated(inner, layout)
    averaged = sampled or (UNIT in layout.columns and (layout.replicated or layout.design != SPLIT))
    keys = _keys(inner, layout)
    by_key: dict[Level, list[int]] = defaultdict(list)
    for n, key in enumerate(keys):
        by_key[key].append(n)
    if not averaged:
        _refuse_twice(by_key, numbers, layout)
    _refuse_mixed_plots(by_key, inner, numbers, layout)
    missing = tuple(int(numbers[n]) for n in np.flatnonzero(np.isnan(inner.values)))
    plots, keys_there, sampling = _averaged(inner, by_key)
    made_of = tuple(tuple(int(numbers[n]) for n in by_key[key]) for key in keys_there)
    absent = tuple(_absent(plots, layout))
    _refuse_too_few(plots, layout)
    return Gathered(plots, made_of, layout, missing, int(guard.sum()), absent, sampling if averaged else None)


def replicated(rows: Plots, layout: Layout) -> Layout:
    """The layout with whether any level of a treatment has several of its units. Raises TrialProblem for a unit of two levels."""
    if UNIT not in layout.columns:
        return layout
    applied = layout.columns[MAIN] if layout.design == SPLIT else layout.factors()
    level_of: dict[Level, tuple[Level, int]] = {}
    pairs = zip(rows.levels(layout.columns[UNIT]), rows.levels(applied), strict=True)
    for n, (unit, level) in enumerate(pairs):
        first, at = level_of.setdefault(unit, (level, n))
        if first != level:
            raise TrialProblem(
                f"{_named(layout.columns[UNIT], unit)} has {_named(applied, first)} and {_named(applied, level)}; the unit "
                "is what one level is applied to as a whole",
                (at, n),
            )
    units = len(level_of)
    levels = len({level for level, _ in level_of.values()})
    return layout._replace(replicated=units > levels)


def _keys(rows: Plots, layout: Layout) -> list[Level]:
    """What makes a plot one: its own name, or its ground and treatments; each row by itself where plots have neither."""
    if PLOT in layout.columns:
        return rows.levels(layout.columns[PLOT])
    columns = _columns_of_plots(layout)
    if set(columns) == set(layout.factors()):
        return [(str(n),) for n in range(len(rows))]
    return rows.levels(columns)


def _columns_of_plots(layout: Layout) -> tuple[str, ...]:
    """The columns whose combinations are the plots; blocks within a unit are averaged where units are the replicates."""
    dropped = {BLOCK} if UNIT in layout.columns and layout.replicated else set()
    return tuple(name for role, names in layout.columns.items() if role not in dropped for name in names)


def _refuse_twice(by_key: dict[Level, list[int]], numbers: NDArray[np.intp], layout: Layout) -> None:
    columns = layout.columns.get(PLOT) or _columns_of_plots(layout)
    for key, rows in by_key.items():
        if len(rows) > 1:
            raise PlotTwice(
                f"the plot {_named(columns, key)} stands here more than once",
                [int(numbers[n]) for n in rows],
            )


def _refuse_mixed_plots(
    by_key: dict[Level, list[int]], rows: Plots, numbers: NDArray[np.intp], layout: Layout
) -> None:
    """A plot that is named has one treatment and one place in the design."""
    if PLOT not in layout.columns:
        return
    others = tuple(name for role, names in layout.columns.items() if role != PLOT for name in names)
    levels = rows.levels(others)
    for key, found in by_key.items():
        odd = next((n for n in found if levels[n] != levels[found[0]]), None)
        if odd is not None:
            raise TrialProblem(
                f"plot {' '.join(key)} is {_named(others, levels[found[0]])} and {_named(others, levels[odd])}; a plot has "
                "one of each",
                (int(numbers[found[0]]), int(numbers[odd])),
            )


def _averaged(rows: Plots, by_key: dict[Level, list[int]]) -> tuple[Plots, list[Level], Sampling]:
    """A plot a key, with the mean of the values that it has; those with none are left out."""
    labelled = {
        key: tuple(column[found[0]] for column in rows.labels.values()) for key, found in by_key.items()
    }
    keys = sorted(by_key, key=lambda key: tuple(map(order_of, (*key, *labelled[key]))))
    values = {key: rows.values[by_key[key]] for key in keys}
    values = {key: np.sort(v[~np.isnan(v)]) for key, v in values.items()}
    there = [key for key in keys if len(values[key])]
    columns = list(zip(*(labelled[key] for key in there), strict=True)) or [()] * len(rows.labels)
    plots = Plots(
        dict(zip(rows.labels, columns, strict=True)), np.array([float(values[key].mean()) for key in there])
    )
    df = sum(len(values[key]) - 1 for key in there)
    ss = sum(float(((values[key] - values[key].mean()) ** 2).sum()) for key in there)
    counts = [len(values[key]) for key in there] or [0]
    return plots, there, Sampling(min(counts), max(counts), df, ss / df if df else None)


def _absent(plots: Plots, layout: Layout) -> Iterator[Level]:
    """Block and treatments that no plot with a value has, of a design in which each block has all treatments."""
    if layout.design in INCOMPLETE or not len(plots):
        return
    ground = layout.columns.get(BLOCK, ()) if UNIT not in layout.columns else ()
    columns = (*ground, *layout.factors())
    each = [cells_of(plots, (name,)).levels for name in columns]
    there = set(plots.levels(columns))
    for level in product(*each):
        whole = tuple(label for part in level for label in part)
        if whole not in there:
            yield whole


def _refuse_too_few(plots: Plots, layout: Layout) -> None:
    if not len(plots):
        raise TrialProblem("no plot has a value")
    for name in layout.factors():
        levels = cells_of(plots, (name,)).levels
        if len(levels) < 2:
            raise TrialProblem(f"{name} has one level, {levels[0][0]}; what is compared needs two or more")


def _named(columns: Sequence[str], level: Level) -> str:
    return ", ".join(f"{name} {label}" for name, label in zip(columns, level, strict=True))
