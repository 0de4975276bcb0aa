"""Where something is measured, in the order in which it is walked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from calendar_tui.planning.trials.drawing import plots_of_trial
from calendar_tui.season.observing import COHORT, PLANT, Variable
from calendar_tui.season.records import Season
from calendar_tui.season.trials import TrialPlot


def measured_plots(season: Season, trial: str, day: date) -> list[TrialPlot]:
    """The plots of a trial that are measured on a day, in walking order: no guard, and none that is lost by then."""
    return [plot for plot in plots_of_trial(season, trial) if is_measured(plot, day)]


def is_measured(plot: TrialPlot, day: date) -> bool:
    return not plot.is_guard and plot.lost_by(day) is None


def plots_by_cohort(season: Season) -> Mapping[str, Sequence[TrialPlot]]:
    """The plots of each cohort in walking order, trial by trial: no guard, lost ones too."""
    by_cohort: dict[str, list[TrialPlot]] = {}
    for trial in season.trials:
        for plot in plots_of_trial(season, trial):
            if not plot.is_guard:
                by_cohort.setdefault(plot.cohort, []).append(plot)
    return by_cohort


def units_of(
    plots: Mapping[str, Sequence[TrialPlot]], cohort: str, variable: Variable, day: date
) -> Sequence[str]:
    """Where a variable of a cohort is measured on a day: its plots in walking order, or the cohort itself where it has none.

    plots: those of each cohort.
    """
    if variable.per == COHORT or not plots.get(cohort):
        return (cohort,)
    return [plot.id for plot in plots[cohort] if is_measured(plot, day)]


def places_of(variable: Variable, unit: str) -> Sequence[str]:
    """Where its values stand in a plot or cohort: there, or at each of the plants that are measured."""
    if variable.per != PLANT:
        return (unit,)
    return [f"{unit} {n}" for n in range(1, (variable.plants or 1) + 1)]
