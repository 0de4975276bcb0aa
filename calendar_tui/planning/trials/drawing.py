"""A trial drawn: its cohorts and plots as one change, shown with what they can find before it is saved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from calendar_tui.planning.changes.held_season import HeldSeason, edited_season
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.trials.growing import (
    NewCohort,
    Together,
    cohort_there,
    new_cohorts,
    plants_of,
    together,
)
from calendar_tui.planning.trials.layout import DrawnPlot, ground_of, laid_out, places_of, with_light_drawn
from calendar_tui.planning.trials.power import finding_texts
from calendar_tui.season.edits import Edit
from calendar_tui.season.kind_words import kinds_text
from calendar_tui.season.measures import area_text, as_written, figure, unit_shown
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import SPACING, Trial, TrialPlot
from calendar_tui.season.wording import full_day_text, some_text

_Groups = Mapping[Together, Sequence[DrawnPlot]]


class AlreadyDrawn(Refusal):
    """A trial that has its plots, and was not to be drawn anew."""


def plots_of_trial(season: Season, trial: str) -> list[TrialPlot]:
    """Its plots, those with a number first, in walking order."""
    plots = [plot for plot in season.plots.values() if plot.trial == trial]
    return sorted(
        plots, key=lambda plot: (plot.number is None, plot.number or 0, plot.place, plot.row, plot.column)
    )


def draw_trial(held: HeldSeason, name: str, anew: bool = False) -> Proposal:
    """The proposal that adds the plots of a trial, and the cohorts that it lacks, with what they bring and can find.

    anew: in place of the plots that it has. Raises AlreadyDrawn without it, Refusal where it is under way, FieldErrors.
    """
    season = held.plan.season
    trial = with_light_drawn(season.trials[name])
    there = plots_of_trial(season, name)
    _refuse_drawn(trial, there, anew)
    if wrong := next(_under_way(season, there), ""):
        raise Refusal(f"{wrong}, so trial {trial.id} is under way and is not drawn anew")
    drawn = laid_out(trial)
    groups = _groups(trial, drawn)
    cohorts = {wanted: cohort_there(season, trial, wanted) for wanted in groups}
    made = new_cohorts(season, trial, {w: plots for w, plots in groups.items() if cohorts[w] is None})
    names = _names(groups, {w: c.id for w, c in cohorts.items() if c}, made)
    edits = [
        *_light_edits(season.trials[name].places, trial),
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
        doubts=(*_doubts(season, trial), *proposal.doubts),
        questions=((_again_text(trial, there),) if there else ()),
        notes=(*_notes(trial, drawn), *proposal.notes),
    )


def _refuse_drawn(trial: Trial, there: Sequence[TrialPlot], anew: bool) -> None:
    if there and not anew:
        numbered = sum(not plot.is_guard for plot in there)
        raise AlreadyDrawn(
            f"trial {trial.id} is drawn already, {numbered} {kinds_text('plot', numbered)}; a layout is not drawn again for "
            "its looks, and anew only where the trial itself was changed before planting"
        )


def _under_way(season: Season, there: Sequence[TrialPlot]) -> Iterator[str]:
    """What stands of the plots that a trial has: in the ground, found or lost, they must not become those of other treatments."""
    names = {plot.id for plot in there}
    yield from (f"plot {plot.id} is noted as lost" for plot in there if plot.lost is not None)
    for one in season.observations:
        if one.unit in names:
            yield f"plot {one.unit} was observed on {full_day_text(one.date)}"
    for bag in season.samples.values():
        if bag.plot in names:
            yield f"plot {bag.plot} has a bag of {full_day_text(bag.date)}"
    for name in dict.fromkeys(plot.cohort for plot in there if plot.cohort):
        cohort = season.cohorts[name]
        planted = cohort.recorded.get(cohort.planting)
        if planted is not None:
            yield f"{name} was planted on {full_day_text(planted)}"


def _groups(trial: Trial, drawn: Sequence[DrawnPlot]) -> dict[Together, list[DrawnPlot]]:
    groups: dict[Together, list[DrawnPlot]] = {}
    for plot in drawn:
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


def _light_edits(was: Mapping[str, Sequence[str]], trial: Trial) -> Iterator[Edit]:
    """The places that levels of light get by the draw, written down like the plots. was: those that were written before."""
    gone = (level for level in was if level not in trial.places)
    yield from (Edit("unset", "trial", (trial.id,), ("places", level)) for level in gone)
    for level, lights in trial.places.items():
        if lights != was.get(level):
            yield Edit("set", "trial", (trial.id,), ("places", level), list(lights))


def _tables(
    trial: Trial, drawn: Sequence[DrawnPlot], names: Mapping[Together, str]
) -> Iterator[dict[str, Any]]:
    """The plots as the file has them."""
    for one in drawn:
        plot = one.placed.plot
        parts = (*plot.parts, None, None)
        values = {
            "id": f"{trial.id}-{_guard_name(one) if one.is_guard else one.placed.number}",
            "trial": trial.id,
            "number": one.placed.number or None,
            "block": plot.block or None,
            "main": parts[0],
            "sub": parts[1],
            "row": one.placed.row,
            "column": one.placed.column,
            "treatment": one.treatment or None,
            "cohort": names[together(trial, one)],
            "place": one.of.light,
            "plants": one.ground.planted,
            "entry": plot.entry if plot.entry != "test" else None,
        }
        yield {key: value for key, value in values.items() if value is not None}


def _guard_name(one: DrawnPlot) -> str:
    return f"g{one.of.light.replace(' ', '-')}-{one.placed.row}-{one.placed.column}"


# --- in words


def _what(trial: Trial, drawn: Sequence[DrawnPlot], made: Sequence[NewCohort]) -> str:
    numbered = sum(not one.is_guard for one in drawn)
    guards = len(drawn) - numbered
    more = f", {guards} guard {kinds_text('plot', guards)}" if guards else ""
    cohorts = f", {kinds_text('cohort', len(made))} {some_text([one.id for one in made])}" if made else ""
    return f"trial {trial.id} drawn with seed {trial.seed}: {numbered} {kinds_text('plot', numbered)}{more}{cohorts}"


def size_text(trial: Trial, drawn: Sequence[DrawnPlot]) -> str:
    """How large a plot is, how much of it is measured, and what all take."""
    ground = ground_of(trial)
    plots = [one for one in drawn if not one.is_guard]
    area = sum(one.ground.area_m2 for one in plots)
    restriction = f'; restriction: "{trial.restriction}"' if trial.restriction else "; no restriction"
    return (
        f"{trial.design}, {trial.blocks} {kinds_text('block', trial.blocks)}{restriction}; a plot is {figure(ground.width_m, 'm', as_written)} x "
        f"{figure(ground.length_m, 'm', as_written)} {unit_shown('m')}, {area_text(ground.area_m2)}: {_plants_text(trial)}; {plants_of(plots)} plants on "
        f"{area_text(area)} in all"
    )


def _plants_text(trial: Trial) -> str:
    """Plants of a plot and of its measured centre, at each spacing where that is a factor."""
    levels = trial.factors.get(SPACING, ("",))
    grounds = {level: ground_of(trial, level) for level in levels}
    return ", ".join(
        f"{f'at {level} ' if level else ''}{ground.planted} plants, {ground.measured} of them measured"
        for level, ground in grounds.items()
    )


def _doubts(season: Season, trial: Trial) -> Iterator[str]:
    """That a place holds other trials already. What speaks against plots once they are drawn is told with the change itself."""
    for light in dict.fromkeys(place.light for place in places_of(trial)):
        others = sorted({p.trial for p in season.plots.values() if p.place == light} - {trial.id})
        if others:
            yield (
                f"{light} holds plots of {some_text(others)} already; rows and columns of each trial are counted from its own "
                "corner, so lay them beside each other"
            )


def _notes(trial: Trial, drawn: Sequence[DrawnPlot]) -> Iterator[str]:
    if guards := [one for one in drawn if one.is_guard]:
        yield (
            f"{len(guards)} guard {kinds_text('plot', len(guards))}, each planted like the nearest plot, take {plants_of(guards)} "
            "plants more"
        )
    if trial.draw_light_among:
        drawn_places = "; ".join(f"{level} {', '.join(lights)}" for level, lights in trial.places.items())
        yield f"which place gets which light is drawn: {drawn_places}; set their lamps so"
    if len(places_of(trial)) > 1:
        yield f"each place has blocks of its own, drawn with seeds {trial.seed}, {(trial.seed or 0) + 1}, and so on"
    if SPACING in trial.factors:
        yield "plots of every spacing are of one size; a cohort with plots of several spacings has no spacing of its own"


def _again_text(trial: Trial, there: Sequence[TrialPlot]) -> str:
    return (
        f"trial {trial.id} was drawn before; its {len(there)} plots go. Drawn anew because the trial was changed, never "
        f"because of how a layout looks"
    )
