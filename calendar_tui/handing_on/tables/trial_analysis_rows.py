"""Trials of a season analysed, as plain data for JSON."""

from __future__ import annotations

from calendar_tui.handing_on.tables.analysis_rows import Row, analysis_row, under_limit_row
from calendar_tui.planning.trial_analysis.analysed import Analysed, PlotValue

PLOT = "plot"


def analysed_row(one: Analysed) -> Row:
    """A trial by one measure. Means and residuals are on the scale of the analysis, plots in the unit of the measure."""
    measure = one.measure
    return {
        "trial": one.trial.id,
        "measure": measure.id,
        "name": measure.name,
        "unit": measure.unit or None,
        "place": one.place or None,
        "days": list(one.days),
        "rounds": [{"first": first, "last": last} for first, last in one.rounds],
        **_figures(one),
        "turned_back_times": one.factor,
        "plot_values": list(map(_plot, one.values)),
        "problem": one.problem or None,
    }


def _figures(one: Analysed) -> Row:
    if one.analysis is not None:
        return analysis_row(one.analysis, one.measure.head, one.row_plots, PLOT)
    if one.counted:
        return under_limit_row(one.counted, one.factors, one.measure.head)
    if one.marks:
        return {
            "factors": list(one.factors),
            "words": [{"level": list(mark.level), "counts": dict(mark.counts)} for mark in one.marks],
        }
    return {}


def _plot(value: PlotValue) -> Row:
    plot = value.plot
    return {
        "plot": plot.id,
        "number": plot.number,
        "block": plot.block,
        "row": plot.row,
        "column": plot.column,
        "place": plot.place or None,
        "treatment": dict(plot.treatment),
        "value": value.value,
        "n": value.n,
        "days": list(value.days),
        "residual_in_sd": value.residual,
    }
