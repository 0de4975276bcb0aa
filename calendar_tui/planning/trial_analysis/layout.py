"""The layout of a trial by its record, as the analysis takes it: which column of its plots has which role."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from calendar_tui.nature.field_analysis.designs import (
    APPLIED,
    BLOCK,
    COLUMN,
    DESIGNS,
    REPLICATE,
    ROW,
    UNIT,
    Layout,
)
from calendar_tui.nature.field_analysis.gathering import PLOT, TrialProblem
from calendar_tui.nature.field_analysis.plots import number_of
from calendar_tui.nature.field_analysis.response import Ruler
from calendar_tui.nature.layouts.designs import ALPHA, BLOCKS, COMPLETE, LATIN, SPLIT
from calendar_tui.season.trials import LIGHT, SPACING, Trial, TrialPlot, level_spacing

PLACE, INCOMPLETE_BLOCK = "place", "incomplete block"
_GROUND: Mapping[str, Callable[[TrialPlot], object]] = {
    BLOCK: lambda plot: plot.block,
    INCOMPLETE_BLOCK: lambda plot: plot.main,
    ROW: lambda plot: plot.row,
    COLUMN: lambda plot: plot.column,
    PLACE: lambda plot: plot.place,
    PLOT: lambda plot: plot.id,
}
# The columns of roles that have no column of their own name: of an alpha design the blocks are complete replicates.
_NAMED_OTHERWISE: Mapping[str, Mapping[str, str]] = {ALPHA: {REPLICATE: BLOCK, BLOCK: INCOMPLETE_BLOCK}}
# Where a place gets a level of light: designs that can be worked out with places as the main units.
_WITHIN_PLACES = (COMPLETE, BLOCKS)


class TrialLayout(NamedTuple):
    """layout: with the columns of `labels`, each of which gives its label of a plot. row, column: those of where plots lie.

    is_mapped: whether all lie on one ground.
    """

    layout: Layout
    labels: Mapping[str, Callable[[TrialPlot], str]]
    row: str
    column: str
    is_mapped: bool


class Part(NamedTuple):
    """Plots that are worked out together. place: "" of all; factors: what they compare, with the levels of the trial."""

    place: str
    plots: Sequence[TrialPlot]
    factors: Mapping[str, tuple[str, ...]]


def parts_of(trial: Trial, plots: Sequence[TrialPlot]) -> list[Part]:
    """All plots; else light by the means of whole places, and then place by place, where the design is of one place."""
    places = list(dict.fromkeys(plot.place for plot in plots))
    apart = trial.design not in _WITHIN_PLACES if has_light(trial) else trial.design == LATIN
    if len(places) < 2 or not apart:
        return [Part("", list(plots), _factors_of(trial, plots))]
    light = [Part("", list(plots), {LIGHT: tuple(trial.places)})] if has_light(trial) else []
    by_place = {place: [plot for plot in plots if plot.place == place] for place in places}
    return [*light, *(Part(place, own, _factors_of(trial, own)) for place, own in by_place.items())]


def has_light(trial: Trial) -> bool:
    """Whether light is a factor of it."""
    return len(trial.places) > 1


def _factors_of(trial: Trial, plots: Sequence[TrialPlot]) -> dict[str, tuple[str, ...]]:
    """What these plots compare, light first, with the levels of the trial."""
    several_places = len({plot.place for plot in plots}) > 1
    light = {LIGHT: tuple(trial.places)} if has_light(trial) and several_places else {}
    return {**light, **trial.factors}


def layout_of(trial: Trial, plots: Sequence[TrialPlot], factors: Sequence[str]) -> TrialLayout:
    """The layout of plots that are worked out together by these factors. Raises TrialProblem where a plot lacks what its design needs."""
    design, ground = _design_of(trial, plots, factors)
    names = {column: _free(column, factors) for column in _GROUND}
    columns = {role: (names[column],) for role, column in ground.items()}
    _refuse_lacking(plots, ground)
    roles = {**_factor_roles(design, factors), **columns}
    labels: dict[str, Callable[[TrialPlot], str]] = {
        names[column]: _text(_GROUND[column]) for column in dict.fromkeys((*ground.values(), ROW, COLUMN))
    }
    for factor in factors:
        labels[factor] = _level(factor)
    return TrialLayout(
        Layout(design, roles), labels, names[ROW], names[COLUMN], len({plot.place for plot in plots}) == 1
    )


def _design_of(
    trial: Trial, plots: Sequence[TrialPlot], factors: Sequence[str]
) -> tuple[str, Mapping[str, str]]:
    """The design of plots that are worked out together, and of its ground role -> column."""
    places = {plot.place for plot in plots}
    if tuple(factors) == (LIGHT,):
        return COMPLETE, {UNIT: PLACE}
    if LIGHT in factors:
        blocks = {BLOCK: BLOCK} if trial.design == BLOCKS else {}
        one_place_a_level = len(places) == len({plot.treatment.get(LIGHT) for plot in plots})
        return SPLIT, {**blocks, UNIT: PLACE, **({PLOT: PLOT} if one_place_a_level else {})}
    if trial.design == COMPLETE and len(places) > 1:
        # Each place was drawn by itself, and is a block of its own.
        return BLOCKS, {BLOCK: PLACE, PLOT: PLOT}
    columns = _NAMED_OTHERWISE.get(trial.design, {})
    ground = (role for role in DESIGNS[trial.design].roles if role not in APPLIED)
    return trial.design, {**{role: columns.get(role, role) for role in ground}, PLOT: PLOT}


def _free(column: str, factors: Sequence[str]) -> str:
    """The name of a column of the ground, where a factor may be called so too."""
    return f"{column} of the ground" if column in factors else column


def _factor_roles(design: str, factors: Sequence[str]) -> dict[str, tuple[str, ...]]:
    """The first factor has the first role; all that are left have the last."""
    *alone, last = (role for role in DESIGNS[design].roles if role in APPLIED)
    return {
        **{role: (name,) for role, name in zip(alone, factors, strict=False)},
        last: tuple(factors[len(alone) :]),
    }


def _text(ground: Callable[[TrialPlot], object]) -> Callable[[TrialPlot], str]:
    return lambda plot: str(ground(plot))


def _level(factor: str) -> Callable[[TrialPlot], str]:
    return lambda plot: plot.treatment[factor]


def _refuse_lacking(plots: Sequence[TrialPlot], ground: Mapping[str, str]) -> None:
    for column in ground.values():
        lacking = next((plot for plot in plots if _GROUND[column](plot) in (None, "")), None)
        if lacking is not None:
            key = "main" if column == INCOMPLETE_BLOCK else column
            raise TrialProblem(f"plot {lacking.id}: {key} is not set, and the design needs it")


def is_measured_by(levels: Sequence[str], ruler: Ruler | None) -> bool:
    """Whether levels are numbers or dates, or such by a ruler, no two alike, so that there is a response to them."""
    numbers = [ruler.numbers.get(level) if ruler else number_of(level) for level in levels]
    return len(levels) > 1 and None not in numbers and len({*numbers}) == len(numbers)


def spacing_ruler(levels: Sequence[str]) -> Ruler | None:
    """Spacings as numbers: metres between rows or in the row, where only these differ, else square metres a plant.

    None where a level is no spacing.
    """
    try:
        both = {level: level_spacing(level) for level in levels}
    except ValueError:
        return None
    between, within = ({one[n] for one in both.values()} for n in (0, 1))
    if len(between) == 1:
        return Ruler({level: one[1] for level, one in both.items()}, "m in the row")
    if len(within) == 1:
        return Ruler({level: one[0] for level, one in both.items()}, "m between rows")
    return Ruler({level: round(one[0] * one[1], 6) for level, one in both.items()}, "m2 a plant")


def density_ruler(levels: Sequence[str]) -> Ruler | None:
    """Spacings as plants per square metre; None where a level is no spacing, or fewer than three densities are there."""
    try:
        plants = {
            level: 1 / (between * within) for level in levels for between, within in [level_spacing(level)]
        }
    except ValueError:
        return None
    is_curve = len({round(one, 6) for one in plants.values()}) == len(plants) > 2
    return Ruler(plants, "plants/m2") if is_curve else None


def rulers_of(factors: Mapping[str, Sequence[str]]) -> dict[str, Ruler]:
    """How levels that are not written as numbers are such: those of spacing."""
    ruler = spacing_ruler(factors[SPACING]) if SPACING in factors else None
    return {} if ruler is None else {SPACING: ruler}
