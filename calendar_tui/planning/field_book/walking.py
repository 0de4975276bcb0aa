"""Where something is measured, in the order in which it is walked."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from calendar_tui.planning.trials.drawing import plots_of_trial
from calendar_tui.season.observing import COHORT, PLANT, Variable
from calendar_tui.season.records import Season
from calendar_tui.season.trials import TrialPlot


def measured_plots(season: Season, trial: str, day: date) -> list[TrialPlot]:
    """The plots of a trial that are measured on a day, in walking order: no guard, and none that is lost by then."""
    return [plot for plot in plots_of_trial(season, trial) if is_measured(plot, day)]


def is_measured(plot: TrialPlot, day: date) -> bool:
    return not plot.is_guard and (plot.lost is None or plot.lost > day)


def units_of(season: Season, cohort: str, variable: Variable, day: date) -> Sequence[str]:
    """Where a variable of a cohort is measured on a day: its plots in walking order, or the cohort itself where it has none."""
    if variable.per == COHORT or all(plot.cohort != cohort for plot in season.plots.values()):
        return (cohort,)
    return [
        plot.id
        for trial in season.trials
        for plot in measured_plots(season, trial, day)
        if plot.cohort == cohort
    ]


def places_of(variable: Variable, unit: str) -> Sequence[str]:
    """Where its values stand in a plot or cohort: there, or at each of the plants that are measured."""
    if variable.per != PLANT:
        return (unit,)
    return [f"{unit} {n}" for n in range(1, (variable.plants or 1) + 1)]
