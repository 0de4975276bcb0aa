"""Trials, treatments, plots, variables and observations as tables of an open folder."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import NamedTuple

from calendar_tui.handing_on.folder.columns import (
    DATE,
    INTEGER,
    NOTE,
    NUMBER,
    Column,
    Row,
    Table,
    kept,
    personal,
)
from calendar_tui.handing_on.words.openness import Openness
from calendar_tui.nature.layouts.designs import DESIGNS
from calendar_tui.nature.layouts.plots import ENTRIES
from calendar_tui.nature.measured import without_noughts
from calendar_tui.planning.plan import Plan
from calendar_tui.season.observing import NOT_LOOKED, OBSERVED_PER, SCALES, Observation, amount_of, counted_in
from calendar_tui.season.records import Season
from calendar_tui.season.trials import Trial, TrialPlot


def _trial_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    for trial in plan.season.trials.values():
        between, within = trial.spacing_m or (None, None)
        yield {
            **TRIALS.kept_of(trial),
            "factors": _by_factor(trial.factors),
            "contrasts": _by_factor(trial.contrasts),
            "between_rows_m": between,
            "in_row_m": within,
            "levels_of_unit": "block>plot" if trial.blocks > 1 else "plot",
        }


def _by_factor(words: Mapping[str, Sequence[str]]) -> str:
    return "; ".join(f"{factor}: {', '.join(several)}" for factor, several in words.items())


TRIALS = Table(
    "trials",
    "Trials",
    "What is compared, and how plots were drawn.",
    ("trial",),
    (
        kept("trial", "id", name="trial", needed=True, miappe="Study unique ID", rdf="study"),
        kept("trial", "name", miappe="Study title"),
        kept("trial", "question", miappe="Study description"),
        kept("trial", "design", categories=tuple(DESIGNS), miappe="Type of experimental design"),
        Column("factors", means="each with its levels", miappe="Experimental Factor description"),
        Column("contrasts", means="comparisons of levels that were planned"),
        kept("trial", "blocks", INTEGER),
        kept("trial", "restriction"),
        *(kept("trial", key, INTEGER) for key in ("plot_rows", "row_plants", "guard_rows", "guard_plants")),
        Column("between_rows_m", NUMBER, "spacing where it is no factor", "m", icasa="PLRS, in cm there"),
        Column("in_row_m", NUMBER, "spacing where it is no factor", "m", icasa="PLSP, in cm there"),
        Column("levels_of_unit", means="from large to small", miappe="Observation unit level hierarchy"),
        kept("trial", "cv", NUMBER, means="expected before planting: how far plots scatter"),
        kept("trial", "seed", INTEGER, means="from which the plots were drawn"),
        NOTE,
    ),
    _trial_rows,
)


class _Treatment(NamedTuple):
    id: str
    trial: str
    levels: tuple[tuple[str, str], ...]


def _treatments(season: Season) -> Mapping[tuple[str, tuple[tuple[str, str], ...]], _Treatment]:
    """Every treatment that a plot has, by trial and levels; numbered in the order of the levels of its trial."""
    found: dict[tuple[str, tuple[tuple[str, str], ...]], _Treatment] = {}
    for trial in season.trials.values():
        of_trial = {_levels(plot, trial) for plot in season.plots.values() if plot.trial == trial.id}
        in_order = sorted(filter(None, of_trial), key=partial(_order, trial))
        for n, levels in enumerate(in_order, 1):
            found[trial.id, levels] = _Treatment(f"{trial.id}-t{n}", trial.id, levels)
    return found


def _levels(plot: TrialPlot, trial: Trial | None) -> tuple[tuple[str, str], ...]:
    """The factors and levels of a plot, factors in the order of its trial."""
    names = list(trial.factors) if trial else []
    return tuple(
        sorted(
            plot.treatment.items(),
            key=lambda one: (names.index(one[0]) if one[0] in names else len(names), one),
        )
    )


def _order(trial: Trial, levels: tuple[tuple[str, str], ...]) -> tuple[tuple[int, str], ...]:
    def place(name: str, level: str) -> tuple[int, str]:
        known = trial.factors.get(name, ())
        return (known.index(level) if level in known else len(known), level)

    return tuple(place(name, level) for name, level in levels)


def _treatment_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    for one in _treatments(plan.season).values():
        label = ", ".join(f"{name} {level}" for name, level in one.levels)
        yield {"treatment": one.id, "trial": one.trial, "label": label}


TREATMENTS = Table(
    "treatments",
    "Treatments",
    "What plots get, each combination of levels once.",
    ("treatment",),
    (
        Column("treatment", needed=True, means="made by this export, from trial and levels"),
        Column("trial", needed=True, refers="trials"),
        Column("label", needed=True, means="in words", miappe="Observation unit factor value"),
    ),
    _treatment_rows,
)


def _level_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    for one in _treatments(plan.season).values():
        for name, level in one.levels:
            yield {"treatment": one.id, "factor": name, "level": level}


LEVELS = Table(
    "levels",
    "Levels of treatments",
    "The level of each factor in each treatment.",
    ("treatment", "factor"),
    (
        Column("treatment", needed=True, refers="treatments"),
        Column("factor", needed=True, miappe="Experimental Factor type"),
        Column("level", needed=True, miappe="Experimental Factor values"),
    ),
    _level_rows,
)


def _plot_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    season, treatments = plan.season, _treatments(plan.season)
    for plot in sorted(season.plots.values(), key=lambda one: (one.trial, one.row, one.column, one.id)):
        trial = season.trials.get(plot.trial)
        treatment = treatments.get((plot.trial, _levels(plot, trial)))
        yield {**PLOTS.kept_of(plot), "treatment": treatment and treatment.id}


PLOTS = Table(
    "plots",
    "Plots",
    "The smallest pieces that get one treatment. Guards are never measured. Rows and columns are counted from the gate.",
    ("plot",),
    (
        kept(
            "plot",
            "id",
            name="plot",
            needed=True,
            icasa="PLOT_ID",
            miappe="Observation unit ID",
            rdf="observation_unit",
        ),
        kept("plot", "trial", needed=True, refers="trials"),
        kept("plot", "number", INTEGER),
        kept("plot", "block", INTEGER, icasa="RP", miappe="Spatial distribution"),
        kept("plot", "main", INTEGER),
        kept("plot", "sub", INTEGER),
        kept("plot", "row", INTEGER, needed=True, icasa="PLOT_X", miappe="Spatial distribution"),
        kept("plot", "column", INTEGER, needed=True, icasa="PLOT_Y", miappe="Spatial distribution"),
        Column("treatment", means="empty for a guard", refers="treatments"),
        kept("plot", "cohort", refers="cohorts"),
        kept("plot", "place", refers="places"),
        kept("plot", "plants", INTEGER),
        kept("plot", "entry", categories=ENTRIES),
        kept("plot", "lost", DATE),
        kept("plot", "why", name="lost_why"),
        NOTE,
    ),
    _plot_rows,
)


def _variable_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    for one in plan.season.variables.values():
        yield {**VARIABLES.kept_of(one), "trait": one.name or one.id}


VARIABLES = Table(
    "variables",
    "Variables",
    "What is observed, how, and in which unit.",
    ("variable",),
    (
        kept(
            "variable",
            "id",
            name="variable",
            needed=True,
            miappe="Variable ID",
            rdf="observed_variable",
        ),
        Column("trait", needed=True, means="in words", miappe="Trait", rdf="trait"),
        kept("variable", "method", miappe="Method"),
        kept("variable", "definition"),
        kept("variable", "scale", miappe="Scale", categories=SCALES),
        kept("variable", "unit", needed=True, miappe="Scale"),
        kept("variable", "per", categories=OBSERVED_PER),
        kept("variable", "low", NUMBER, unit=""),
        kept("variable", "high", NUMBER, unit=""),
        kept("variable", "stage", means="of which stage a share is the part that has come to it"),
    ),
    _variable_rows,
)


def _observation_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    season = plan.season
    for one in sorted(season.observations, key=lambda one: (one.date, one.at, one.variable)):
        plot = season.plots.get(one.unit)
        yield {
            **OBSERVATIONS.kept_of(one),
            "plot": plot and plot.id,
            "cohort": plot.cohort if plot else one.unit,
            "plant": one.plant,
            **_value(season, one),
        }


def _value(season: Season, one: Observation) -> Row:
    """What was found, as a number where it is one. Of a limit no number is made."""
    counted = counted_in(one.value)
    amount = amount_of(one.value, season.variables[one.variable].unit) if one.value else None
    return {
        "value": without_noughts(round(amount, 6)) if amount is not None and counted else amount,
        "n": counted and counted[1],
    }


OBSERVATIONS = Table(
    "observations",
    "Observations",
    "A row a value. `value` is a number, and empty where what was written is none: no number is made of `<0.05`, which stands "
    "in `text`. What is missing has no row; none is 0.",
    ("date", "at", "variable"),
    (
        kept("observation", "date", DATE, needed=True, miappe="Date"),
        kept(
            "observation",
            "at",
            needed=True,
            means="plot or cohort; the number of a plant behind a space",
            miappe="Observation unit ID",
        ),
        kept("observation", "variable", needed=True, refers="variables", miappe="Variable ID"),
        Column("plot", means="empty where it is of a cohort", refers="plots", icasa="PLOT_ID"),
        Column("cohort", means="whose plants", refers="cohorts"),
        Column("plant", INTEGER, "number of the plant, where each has a value"),
        Column("value", NUMBER, "in the unit of the variable", miappe="Value"),
        kept("observation", "value", name="text", means="as it was written"),
        Column("n", INTEGER, "of how many, where they were counted"),
        kept("observation", "state", means="that nobody looked", categories=(NOT_LOOKED,)),
        personal("by", "who looked", "who"),
        NOTE,
    ),
    _observation_rows,
)
