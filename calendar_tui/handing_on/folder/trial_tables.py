"""Trials, treatments, plots, variables and observations as tables of an open folder."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import NamedTuple

from calendar_tui.handing_on.folder.columns import DATE, INTEGER, NUMBER, Column, Row, Table
from calendar_tui.handing_on.words.openness import Asked
from calendar_tui.nature.layouts.designs import DESIGNS
from calendar_tui.nature.layouts.plots import ENTRIES
from calendar_tui.nature.measured import without_noughts
from calendar_tui.planning.plan import Plan
from calendar_tui.season.observing import NOT_LOOKED, OBSERVED_PER, SCALES, Observation, amount_of, counted_in
from calendar_tui.season.records import Season
from calendar_tui.season.trials import Trial, TrialPlot


def _trial_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    for trial in plan.season.trials.values():
        between, within = trial.spacing_m or (None, None)
        yield {
            **{name: getattr(trial, name) for name in _AS_THEY_ARE},
            "trial": trial.id,
            "factors": _by_factor(trial.factors),
            "contrasts": _by_factor(trial.contrasts),
            "restriction": trial.restriction,
            "between_rows_m": between,
            "in_row_m": within,
            "levels_of_unit": "block>plot" if trial.blocks > 1 else "plot",
            "note": trial.note if asked.names else None,
        }


def _by_factor(words: Mapping[str, Sequence[str]]) -> str:
    return "; ".join(f"{factor}: {', '.join(several)}" for factor, several in words.items())


_AS_THEY_ARE = (
    *("name", "question", "design", "blocks", "plot_rows", "row_plants", "guard_rows", "guard_plants"),
    *("cv", "seed"),
)

TRIALS = Table(
    "trials",
    "Trials",
    "What is compared, and how plots were drawn.",
    ("trial",),
    (
        Column("trial", needed=True, means="short name", miappe="Study unique ID", rdf="study"),
        Column("name", means="longer name", miappe="Study title"),
        Column("question", means="what it is to answer", miappe="Study description"),
        Column(
            "design",
            means="how treatments were drawn",
            categories=tuple(DESIGNS),
            miappe="Type of experimental design",
        ),
        Column("factors", means="each with its levels", miappe="Experimental Factor description"),
        Column("contrasts", means="comparisons of levels that were planned"),
        Column("blocks", INTEGER, "complete blocks, or replicates"),
        Column("restriction", means="what the draw had to keep, settled beforehand"),
        Column("plot_rows", INTEGER, "rows of a plot, guards included"),
        Column("row_plants", INTEGER, "plants in a row of a plot, guards included"),
        Column("guard_rows", INTEGER, "on each side of a plot, not measured"),
        Column("guard_plants", INTEGER, "at each end of a row, not measured"),
        Column("between_rows_m", NUMBER, "spacing where it is no factor", "m", icasa="PLRS, in cm there"),
        Column("in_row_m", NUMBER, "spacing where it is no factor", "m", icasa="PLSP, in cm there"),
        Column("levels_of_unit", means="from large to small", miappe="Observation unit level hierarchy"),
        Column("cv", NUMBER, "expected before planting: how far plots scatter", "%"),
        Column("seed", INTEGER, "from which the plots were drawn"),
        Column("note", means="as written; left out unless names were asked for"),
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


def _treatment_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
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


def _level_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
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


def _plot_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    season, treatments = plan.season, _treatments(plan.season)
    for plot in sorted(season.plots.values(), key=lambda one: (one.trial, one.row, one.column, one.id)):
        trial = season.trials.get(plot.trial)
        treatment = treatments.get((plot.trial, _levels(plot, trial)))
        yield {
            **{name: getattr(plot, name) for name in _OF_PLOTS},
            "plot": plot.id,
            "treatment": treatment and treatment.id,
            "cohort": plot.cohort if plot.cohort in season.cohorts else None,
            "place": plot.place if season.place_of(plot.place) else None,
            "lost_why": plot.why,
            "note": plot.note if asked.names else None,
        }


_OF_PLOTS = ("trial", "number", "block", "main", "sub", "row", "column", "plants", "entry", "lost")

PLOTS = Table(
    "plots",
    "Plots",
    "The smallest pieces that get one treatment. Guards are never measured. Rows and columns are counted from the gate.",
    ("plot",),
    (
        Column("plot", needed=True, icasa="PLOT_ID", miappe="Observation unit ID", rdf="observation_unit"),
        Column("trial", needed=True, refers="trials"),
        Column("number", INTEGER, "on its stake; a guard plot has none"),
        Column("block", INTEGER, "in which block", icasa="RP", miappe="Spatial distribution"),
        Column("main", INTEGER, "which main plot, incomplete block or strip of the block"),
        Column("sub", INTEGER, "which sub-plot of that, or strip across it"),
        Column(
            "row",
            INTEGER,
            "the nearest to the gate is 1",
            icasa="PLOT_X",
            miappe="Spatial distribution",
            needed=True,
        ),
        Column(
            "column", INTEGER, "the leftmost is 1", icasa="PLOT_Y", miappe="Spatial distribution", needed=True
        ),
        Column("treatment", means="empty for a guard", refers="treatments"),
        Column("cohort", means="whose plants stand in it", refers="cohorts"),
        Column("place", means="where it lies", refers="places"),
        Column("plants", INTEGER, "planted, guards included"),
        Column("entry", means="what it is for", categories=ENTRIES),
        Column("lost", DATE, "from when nothing of it counts"),
        Column("lost_why", means="as written"),
        Column("note", means="as written; left out unless names were asked for"),
    ),
    _plot_rows,
)


def _variable_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    for one in plan.season.variables.values():
        yield {
            **{name: getattr(one, name) for name in _OF_VARIABLES},
            "variable": one.id,
            "trait": one.name or one.id,
        }


_OF_VARIABLES = ("method", "definition", "scale", "unit", "per", "low", "high", "stage")

VARIABLES = Table(
    "variables",
    "Variables",
    "What is observed, how, and in which unit.",
    ("variable",),
    (
        Column("variable", needed=True, means="short name", miappe="Variable ID", rdf="observed_variable"),
        Column("trait", needed=True, means="in words", miappe="Trait", rdf="trait"),
        Column("method", means="how it is measured", miappe="Method"),
        Column("definition", means="which of several meanings is used"),
        Column("scale", means="what its values are", miappe="Scale", categories=SCALES),
        Column("unit", needed=True, means="of its values; 1 where they have none", miappe="Scale"),
        Column("per", means="what one value stands for", categories=OBSERVED_PER),
        Column("low", NUMBER, "a value under it was asked back"),
        Column("high", NUMBER, "a value over it was asked back"),
        Column("stage", means="of a share: of which stage it is the part that has come to it"),
    ),
    _variable_rows,
)


def _observation_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    season = plan.season
    for one in sorted(season.observations, key=lambda one: (one.date, one.at, one.variable)):
        plot = season.plots.get(one.unit)
        cohort = plot.cohort if plot else one.unit
        yield {
            "date": one.date,
            "at": one.at,
            "variable": one.variable,
            "plot": plot and plot.id,
            "cohort": cohort if cohort in season.cohorts else None,
            "plant": one.plant,
            **_value(season, one),
            "by": one.who if asked.names else None,
            "note": one.note if asked.names else None,
        }


def _value(season: Season, one: Observation) -> Row:
    """What was found, as a number where it is one, and as it was written. Of a limit no number is made."""
    counted = counted_in(one.value)
    amount = amount_of(one.value, season.variables[one.variable].unit) if one.value else None
    return {
        "value": without_noughts(round(amount, 6)) if amount is not None and counted else amount,
        "text": one.value,
        "n": counted and counted[1],
        "state": one.state,
    }


OBSERVATIONS = Table(
    "observations",
    "Observations",
    "A row a value. `value` is a number, and empty where what was written is none: no number is made of `<0.05`, which stands "
    "in `text`. What is missing has no row; none is 0.",
    ("date", "at", "variable"),
    (
        Column("date", DATE, "when", needed=True, miappe="Date"),
        Column(
            "at",
            needed=True,
            means="plot or cohort, and the number of a plant behind a blank",
            miappe="Observation unit ID",
        ),
        Column("variable", needed=True, refers="variables", miappe="Variable ID"),
        Column("plot", means="empty where it is of a cohort", refers="plots", icasa="PLOT_ID"),
        Column("cohort", means="whose plants", refers="cohorts"),
        Column("plant", INTEGER, "number of the plant, where each has a value"),
        Column("value", NUMBER, "in the unit of the variable", miappe="Value"),
        Column("text", means="as it was written"),
        Column("n", INTEGER, "of how many, where they were counted"),
        Column("state", means="that nobody looked", categories=(NOT_LOOKED,)),
        Column("by", means="who looked; left out unless names were asked for"),
        Column("note", means="as written; left out unless names were asked for"),
    ),
    _observation_rows,
)
