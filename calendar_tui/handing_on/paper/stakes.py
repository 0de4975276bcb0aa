"""Labels for the stakes of plots, and for the bags in which their harvest goes: the number large, block, place and treatment below."""

from __future__ import annotations

from calendar_tui.handing_on.paper.labels import MM_A_POINT, LabelText
from calendar_tui.language.speaking import tr, translated
from calendar_tui.planning.trials.drawing import plots_of_trial
from calendar_tui.planning.trials.ground_map import level_name
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import Trial, TrialPlot

# A number that is read from the path, standing (common practice, no source).
_NUMBER_MM = 24 * MM_A_POINT
# Levels that have a line of their own; what is more stands in the last.
_MOST_LEVELS = 3


def stake_text(plot: TrialPlot) -> LabelText:
    """What stands on the stake of a plot; its code holds the plot's id."""
    block = "" if plot.block is None else tr("block {block}", block=plot.block)
    where = (plot.trial, block, plot.place, plot.cohort)
    levels = [f"{translated(factor)} {level_name(factor, level)}" for factor, level in plot.treatment.items()]
    own, more = levels[: _MOST_LEVELS - 1], levels[_MOST_LEVELS - 1 :]
    lines = (", ".join(filter(None, where)), *own, *([", ".join(more)] if more else []))
    return LabelText(plot.id, lines, str(plot.number), _NUMBER_MM, notice="")


def stake_texts(season: Season, trial: Trial) -> list[LabelText]:
    """The label of each plot with a number, in walking order. Raises Refusal before the draw."""
    plots = [plot for plot in plots_of_trial(season, trial.id) if not plot.is_guard]
    if not plots:
        raise Refusal(
            f"trial {trial.id} has no plots yet; draw it first: calendar-tui trial {trial.id} --draw"
        )
    return [stake_text(plot) for plot in plots]
