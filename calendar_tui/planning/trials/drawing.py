"""A trial drawn: its cohorts and plots as one change, shown with what they can find before it is saved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from calendar_tui.planning.capacity.space import square_metres
from calendar_tui.planning.changes.held_season import HeldSeason, edited_season
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.tasks.amounts import area_of_light_m2
from calendar_tui.planning.trials.growing import (
    NewCohort,
    Together,
    cohort_there,
    new_cohorts,
    plants_of,
    together,
)
from calendar_tui.planning.trials.layout import DrawnPlot, ground_of, laid_out, places_of
from calendar_tui.planning.trials.power import finding_texts
from calendar_tui.season.edits import Edit
from calendar_tui.season.kind_words import kinds_text
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import SPACING, Trial, TrialPlot
from calendar_tui.season.wording import full_day_text, some_text

_Groups = Mapping[Together, Sequence[DrawnPlot]]


def plots_of_trial(season: Season, trial: str) -> list[TrialPlot]:
    """Its plots, those with a number first, in walking order."""
    plots = [plot for plot in season.plots.values() if plot.trial == trial]
    return sorted(
        plots, key=lambda plot: (plot.number is None, plot.number or 0, plot.place, plot.row, plot.column)
    )


def draw_trial(held: HeldSeason, name: str, anew: bool = False) -> Proposal:
    """The proposal that adds the plots of a trial, and the cohorts that it lacks, with what they bring and can find.

    anew: in place of the plots that it has. Raises Refusal, FieldErrors.
    """
    season = held.plan.season
    trial = season.trials[name]
    there = plots_of_trial(season, name)
    _refuse_drawn(trial, there, anew)
    _refuse_observed(season, trial, there)
    drawn = laid_out(trial)
    groups = _groups(trial, drawn)
    cohorts = {wanted: cohort_there(season, trial, wanted) for wanted in groups}
    made = new_cohorts(season, trial, {w: plots for w, plots in groups.items() if cohorts[w] is None})
    names = _names(groups, {w: c.id for w, c in cohorts.items() if c}, made)
    edits = [
        *(Edit("remove", "plot", (plot.id,)) for plot in there),
        *(Edit("add", "cohort", (one.id,), (), dict(one.table)) for one in made),
        *_plants_edits(season, groups, names),
        *(Edit("add", "plot", (table["id"],), (), table) for table in _tables(trial, drawn, names)),
    ]
    after = edited_season(held, edits, {"plot": [], "cohort": []})
    used = tuple(dict.fromkeys(names.values()))
    proposal = propose(
        held.plan, after, _what(trial, drawn, made), edits, tuple(one.id for one in made), also=used
    )
    return replace(
        proposal,
        verdicts=(size_text(trial, drawn), *finding_texts(trial), *proposal.verdicts),
        doubts=(*_doubts(season, trial, drawn, groups, names), *proposal.doubts),
        questions=((_again_text(trial, there),) if there else ()),
        notes=(*_notes(trial, drawn), *proposal.notes),
    )


def _refuse_drawn(trial: Trial, there: Sequence[TrialPlot], anew: bool) -> None:
    if there and not anew:
        numbered = sum(not plot.is_guard for plot in there)
        raise Refusal(
            f"trial {trial.id} is drawn already, {numbered} {kinds_text('plot', numbered)}; a layout is not drawn again for "
            f"its looks. Where the trial itself was changed before planting: calendar-tui trial {trial.id} --draw --anew"
        )
    if lost := [plot for plot in there if plot.lost is not None]:
        raise Refusal(
            f"plot {lost[0].id} is noted as lost, so trial {trial.id} is under way and is not drawn anew"
        )


def _refuse_observed(season: Season, trial: Trial, there: Sequence[TrialPlot]) -> None:
    """What was found in a plot is of its treatment, and must not become that of another."""
    names = {plot.id for plot in there}
    found = [one for one in season.observations if one.unit in names]
    if found:
        raise Refusal(
            f"plot {found[0].unit} was observed on {full_day_text(found[0].date)}, so trial {trial.id} is under way and is not "
            "drawn anew"
        )


def _groups(trial: Trial, drawn: Sequence[DrawnPlot]) -> dict[Together, list[DrawnPlot]]:
    groups: dict[Together, list[DrawnPlot]] = {}
    for plot in drawn:
        if plot.ground is not None:
            groups.setdefault(together(trial, plot), []).append(plot)
    return groups


def _names(groups: _Groups, known: Mapping[Together, str], made: Sequence[NewCohort]) -> dict[Together, str]:
    """The cohort of each group: the one that is there, or the new one that is planted so."""
    by_table = {(one.table["variety"], _light(one.table), _planted(one.table)): one.id for one in made}
    return {w: known.get(w) or by_table[w.variety, w.light, w.planted] for w in groups}


def _light(table: Mapping[str, Any]) -> str:
    return f"{table['place']} {table.get('part', '')}".rstrip()


def _planted(table: Mapping[str, Any]) -> Any:
    return list(table["planned"].values())[-1]


def _plants_edits(season: Season, groups: _Groups, names: Mapping[Together, str]) -> Iterator[Edit]:
    """The plants of a cohort that has no number of them yet."""
    for wanted, plots in groups.items():
        cohort = season.cohorts.get(names[wanted])
        if cohort is not None and cohort.plants is None:
            yield Edit("set", "cohort", (cohort.id,), ("plants",), plants_of(plots))


def _tables(
    trial: Trial, drawn: Sequence[DrawnPlot], names: Mapping[Together, str]
) -> Iterator[dict[str, Any]]:
    """The plots as the file has them."""
    for one in drawn:
        plot, is_guard = one.placed.plot, one.ground is None
        parts = (*plot.parts, None, None)
        values = {
            "id": f"{trial.id}-{_guard_name(one) if is_guard else one.placed.number}",
            "trial": trial.id,
            "number": one.placed.number or None,
            "block": plot.block or None,
            "main": parts[0],
            "sub": parts[1],
            "row": one.placed.row,
            "column": one.placed.column,
            "treatment": one.treatment or None,
            "cohort": None if is_guard else names[together(trial, one)],
            "place": one.of.light,
            "plants": one.ground.planted if one.ground else None,
            "entry": plot.entry if plot.entry != "test" else None,
        }
        yield {key: value for key, value in values.items() if value is not None}


def _guard_name(one: DrawnPlot) -> str:
    return f"g{one.of.light.replace(' ', '-')}-{one.placed.row}-{one.placed.column}"


# --- in words


def _what(trial: Trial, drawn: Sequence[DrawnPlot], made: Sequence[NewCohort]) -> str:
    numbered = sum(one.ground is not None for one in drawn)
    guards = len(drawn) - numbered
    more = f", {guards} guard {kinds_text('plot', guards)}" if guards else ""
    cohorts = f", {kinds_text('cohort', len(made))} {some_text([one.id for one in made])}" if made else ""
    return f"trial {trial.id} drawn with seed {trial.seed}: {numbered} {kinds_text('plot', numbered)}{more}{cohorts}"


def size_text(trial: Trial, drawn: Sequence[DrawnPlot]) -> str:
    """How large a plot is, how much of it is measured, and what all take."""
    ground = ground_of(trial)
    plots = [one for one in drawn if one.ground is not None]
    area = sum(one.ground.area_m2 for one in plots if one.ground)
    restriction = f'; restriction: "{trial.restriction}"' if trial.restriction else "; no restriction"
    return (
        f"{trial.design}, {trial.blocks} {kinds_text('block', trial.blocks)}{restriction}; a plot is {ground.width_m:g} x "
        f"{ground.length_m:g} m, {square_metres(ground.area_m2)}: {_plants_text(trial)}; {plants_of(plots)} plants on "
        f"{square_metres(area)} in all"
    )


def _plants_text(trial: Trial) -> str:
    """Plants of a plot and of its measured centre, at each spacing where that is a factor."""
    levels = trial.factors.get(SPACING, ("",))
    grounds = {level: ground_of(trial, level) for level in levels}
    return ", ".join(
        f"{f'at {level} ' if level else ''}{ground.planted} plants, {ground.measured} of them measured"
        for level, ground in grounds.items()
    )


def _doubts(
    season: Season, trial: Trial, drawn: Sequence[DrawnPlot], groups: _Groups, names: Mapping[Together, str]
) -> Iterator[str]:
    for wanted, plots in groups.items():
        cohort = season.cohorts.get(names[wanted])
        needed = plants_of(plots)
        if cohort is not None and cohort.plants is not None and cohort.plants < needed:
            yield f"{cohort.id} has {cohort.plants} plants, and its plots take {needed}"
    for place in places_of(trial):
        area, plots_there = area_of_light_m2(season, place.light), sum(one.of == place for one in drawn)
        taken = plots_there * ground_of(trial).area_m2
        if area is not None and taken > area:
            yield f"the {plots_there} plots in {place.light} take {square_metres(taken)}, and it has {square_metres(area)}"


def _notes(trial: Trial, drawn: Sequence[DrawnPlot]) -> Iterator[str]:
    if guards := sum(one.ground is None for one in drawn):
        yield f"{guards} guard {kinds_text('plot', guards)} take ground; their plants are not counted"
    if len(places_of(trial)) > 1:
        yield f"each place has blocks of its own, drawn with seeds {trial.seed}, {(trial.seed or 0) + 1}, and so on"
    if SPACING in trial.factors:
        yield "plots of every spacing are of one size; a cohort with plots of several spacings has no spacing of its own"


def _again_text(trial: Trial, there: Sequence[TrialPlot]) -> str:
    return (
        f"trial {trial.id} was drawn before; its {len(there)} plots go. Drawn anew because the trial was changed, never "
        f"because of how a layout looks"
    )
