"""Residuals of a trial where its plots lie, in cells: two lines a row of plots, the number and below it what is left."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from statistics import fmean
from typing import NamedTuple

from calendar_tui.handing_on.words.trial_map import GUARD_SIGN, LOST_SIGN
from calendar_tui.planning.trial_analysis.analysed import PlotValue
from calendar_tui.planning.trials.ground_map import GroundMap
from calendar_tui.season.trials import TrialPlot

CELL = 7
# From here on a residual stands out.
_FAR = 2.0
_NO_VALUE = "."


class ResidualCell(NamedTuple):
    """is_far: whether it is far from what its treatment and ground have."""

    text: str
    is_far: bool = False


_Row = list[ResidualCell]


def residual_cells(ground: GroundMap, values: Iterable[PlotValue], most: int) -> Iterator[_Row]:
    """The furthest row first, with the mean of each row at its end and of each column below, in pieces of so many columns."""
    left = {value.plot.id: value.residual for value in values if value.residual is not None}
    for start in range(1, ground.columns + 1, most):
        columns = range(start, min(start + most, ground.columns + 1))
        is_last = columns.stop > ground.columns
        for line in range(ground.rows, 0, -1):
            plots = [ground.plots.get((line, column)) for column in columns]
            yield [ResidualCell(_number(plot)) for plot in plots]
            whole = [left[p.id] for p in ground.plots.values() if p.row == line and p.id in left]
            yield [*(_cell(plot, left) for plot in plots), *([_mean(whole)] if is_last else [])]
        yield [ResidualCell("")]
        yield [
            _mean([left[p.id] for p in ground.plots.values() if p.column == c and p.id in left])
            for c in columns
        ]


def _number(plot: TrialPlot | None) -> str:
    if plot is None:
        return ""
    if plot.is_guard:
        return GUARD_SIGN
    return f"{plot.number}{LOST_SIGN if plot.lost is not None else ''}"


def _cell(plot: TrialPlot | None, left: dict[str, float]) -> ResidualCell:
    if plot is None or plot.is_guard:
        return ResidualCell("")
    residual = left.get(plot.id)
    return (
        ResidualCell(_NO_VALUE)
        if residual is None
        else ResidualCell(_signed(residual), abs(residual) >= _FAR)
    )


def _mean(residuals: Sequence[float]) -> ResidualCell:
    return ResidualCell(f"({_signed(fmean(residuals))})" if residuals else "")


def _signed(number: float) -> str:
    return f"{round(number, 1) + 0.0:+.1f}"
