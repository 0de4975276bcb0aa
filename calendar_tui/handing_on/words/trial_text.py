"""Trials in words: a line each, and one with what it compares, can find, and where its plots stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from calendar_tui.handing_on.words.plain_text import WIDTH, count_text, hanging, wrapped
from calendar_tui.handing_on.words.trial_map import map_lines
from calendar_tui.planning.trial_doubts import doubts_of
from calendar_tui.planning.trials.drawing import plots_of_trial, size_text
from calendar_tui.planning.trials.ground_map import level_name
from calendar_tui.planning.trials.layout import laid_out, wanted_of
from calendar_tui.planning.trials.power import finding_texts
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import LIGHT, Trial, TrialPlot
from calendar_tui.season.wording import full_day_text, some_text

NO_TRIAL = (
    "There is no trial yet. Add one, such as: calendar-tui add trial K1 design blocks place F1 variety amber "
    "spacing 1.5x0.6m planting date 2027-05-10 seed 20261208 levels of spacing 1.5x0.6, 1.5x0.9"
)


def trials_text(season: Season) -> Iterator[str]:
    """A line for each trial."""
    if not season.trials:
        yield from hanging(NO_TRIAL)
    for trial in season.trials.values():
        yield from hanging(head_text(season, trial))


def head_text(season: Season, trial: Trial) -> str:
    """A trial in one line: its name, its design, how many plots, how many of them lost."""
    return f"{trial.id}  {_head(trial)}; {_standing(season, trial)}"


def _head(trial: Trial) -> str:
    sizes = " x ".join(f"{len(levels)} {factor}" for factor, levels in trial.factors.items())
    levels = len(trial.places or (trial.draw_light_levels if trial.draw_light_among else ()))
    light = f", {levels} {LIGHT}" if levels > 1 else ""
    name = f"{trial.name}: " if trial.name else ""
    return f"{name}{trial.design}, {sizes or 'no factor'}{light}, {count_text(trial.blocks, 'block')}"


def _standing(season: Season, trial: Trial) -> str:
    plots = [plot for plot in plots_of_trial(season, trial.id) if not plot.is_guard]
    if not plots:
        return "not drawn"
    lost = sum(plot.lost is not None for plot in plots)
    return count_text(len(plots), "plot") + (f", {lost} lost" if lost else "")


def trial_text(season: Season, trial: Trial, width: int = WIDTH) -> Iterator[str]:
    """One trial, its map last."""
    yield from hanging(head_text(season, trial), width)
    yield from facts_lines(season, trial, width)
    yield from map_lines(season, trial, width)


def facts_lines(season: Season, trial: Trial, width: int = WIDTH) -> Iterator[str]:
    """What a trial asks, compares, takes and can find, its cohorts, and where its plots disagree."""
    if trial.question:
        yield from wrapped(trial.question, "  ", width, "  ")
    for factor, levels in trial.factors.items():
        yield from wrapped(
            f"{factor}: {', '.join(level_name(factor, one) for one in levels)}", "    ", width, "  "
        )
    for level, lights in trial.places.items():
        yield from wrapped(f"{LIGHT} {level}: {', '.join(lights)}", "    ", width, "  ")
    if trial.draw_light_among and not trial.places:
        named, among = (", ".join(names) for names in (trial.draw_light_levels, trial.draw_light_among))
        yield from wrapped(f"{LIGHT} {named}: to be drawn among {among}", "    ", width, "  ")
    for text in _figures(trial):
        yield from wrapped(text, "    ", width, "  ")
    yield from _cohort_lines(season, trial, width)
    for text in doubts_of(season, trial):
        yield from wrapped(text, "    ", width, "  ! ")


def plot_texts(season: Season, plot: TrialPlot) -> Iterator[str]:
    """One plot: its number and where it lies, what it gets, whose plants stand in it, why it is lost."""
    name = "guard plot, never measured" if plot.is_guard else f"plot {plot.number}"
    parts = (("block", plot.block), ("main plot", plot.main), ("sub-plot", plot.sub))
    inside = [f"{word} {number}" for word, number in parts if number is not None]
    yield ", ".join((name, *inside, f"row {plot.row}, column {plot.column}", plot.place))
    if plot.treatment:
        yield ", ".join(f"{factor} {level_name(factor, level)}" for factor, level in plot.treatment.items())
    cohort = season.cohorts.get(plot.cohort)
    whose = plot.cohort if cohort is None else f"cohort {cohort.id}, {cohort.variety}"
    plants = "" if plot.plants is None else count_text(plot.plants, "plant")
    if texts := [text for text in (whose, plants, plot.note) if text]:
        yield "; ".join(texts)
    if plot.lost is not None:
        yield f"lost from {full_day_text(plot.lost)} on: {plot.why or 'why is not set'}; nothing of it counts"


def _figures(trial: Trial) -> list[str]:
    """What it takes and can find, which no seed changes; and what is missing for a draw."""
    seeded = trial if trial.seed is not None else replace(trial, seed=0)
    try:
        figures = [size_text(seeded, laid_out(seeded)), *finding_texts(seeded)]
    except Refusal as missing:
        figures = [_missing_text(trial, missing)]
    try:
        wanted_of(trial)
    except Refusal as missing:
        figures.append(_missing_text(trial, missing))
    return figures


def _missing_text(trial: Trial, missing: Refusal) -> str:
    return str(missing).removeprefix(f"trial {trial.id}: ")


def _cohort_lines(season: Season, trial: Trial, width: int) -> Iterator[str]:
    by_cohort: dict[str, list[str]] = {}
    for plot in plots_of_trial(season, trial.id):
        if plot.cohort and not plot.is_guard:
            by_cohort.setdefault(plot.cohort, []).append(str(plot.number))
    for cohort in (name for name in season.cohorts if name in by_cohort):
        numbers = by_cohort[cohort]
        text = f"{cohort}: {count_text(len(numbers), 'plot')}, {some_text(numbers, ' ')}"
        yield from wrapped(text, "    ", width, "  ")
