"""Trials as plain data for JSON."""

from __future__ import annotations

from collections.abc import Sequence

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.trial_doubts import doubts_of
from calendar_tui.planning.trials.drawing import plots_of_trial
from calendar_tui.planning.trials.power import Finding, findings, light_units
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import Trial, TrialPlot


def trials_data(season: Season, trials: Sequence[Trial]) -> Row:
    """findings: what each can find, null where it cannot be told yet; light: null where light is no factor."""
    return {"trials": [_trial(season, trial) for trial in trials]}


def _trial(season: Season, trial: Trial) -> Row:
    light = light_units(trial)
    return {
        "id": trial.id,
        "name": trial.name,
        "question": trial.question,
        "design": trial.design,
        "factors": {factor: list(levels) for factor, levels in trial.factors.items()},
        "places": {level: list(lights) for level, lights in trial.places.items()} or {"": [trial.place]},
        "draw_light_among": list(trial.draw_light_among),
        "blocks": trial.blocks,
        "restriction": trial.restriction,
        "seed": trial.seed,
        "findings": _findings(trial),
        "light": None if light is None else {"places": dict(light.places), "error_df": light.error_df},
        "plots": [plot_row(plot) for plot in plots_of_trial(season, trial.id)],
        "doubts": list(doubts_of(season, trial)),
    }


def _findings(trial: Trial) -> list[Row] | None:
    try:
        return [_finding(one) for one in findings(trial)]
    except Refusal:
        return None


def _finding(one: Finding) -> Row:
    return {
        "what": one.comparison.what,
        "plots_a_mean": one.comparison.plots,
        "error_df": one.comparison.error_df,
        "coarse": one.comparison.coarse,
        "smallest_difference_percent": [
            {"cv": cv, "percent": difference} for cv, difference in one.differences
        ],
    }


def plot_row(plot: TrialPlot) -> Row:
    """A plot by the keys of the file."""
    return {
        "id": plot.id,
        "number": plot.number,
        "block": plot.block,
        "main": plot.main,
        "sub": plot.sub,
        "row": plot.row,
        "column": plot.column,
        "treatment": dict(plot.treatment),
        "cohort": plot.cohort,
        "place": plot.place,
        "plants": plot.plants,
        "entry": plot.entry,
        "lost": plot.lost,
        "why": plot.why,
    }
