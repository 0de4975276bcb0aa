"""What must hold among trials and their plots: levels that are read, a plot once, one plot on a piece of ground."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from calendar_tui.nature.layouts.whole_places import dealt
from calendar_tui.season.contrasts import sides_of
from calendar_tui.season.problems import Problem
from calendar_tui.season.records import Season
from calendar_tui.season.trials import DATE, LIGHT, SPACING, VARIETY, Trial, level_date, level_spacing


def _levels(season: Season) -> Iterator[Problem]:
    for i, trial in enumerate(season.trials.values()):
        for factor, levels in trial.factors.items():
            for wrong in _wrong_levels(season, factor, levels):
                yield Problem(("trial", i, "factors", factor), f"trial {trial.id}: {wrong}")


def _wrong_levels(season: Season, factor: str, levels: tuple[str, ...]) -> Iterator[str]:
    twice = next((level for level in levels if levels.count(level) > 1), None)
    if twice is not None:
        yield f'{factor} has the level "{twice}" twice; name each once'
    if factor in ("place", LIGHT):
        yield f"{factor} is what a whole place gets, and no plot can be drawn for it; write places = {{ level = [places] }}"
    for level in levels:
        try:
            _read_level(season, factor, level)
        except ValueError as wrong:
            yield str(wrong)


def _read_level(season: Season, factor: str, level: str) -> None:
    if factor == SPACING:
        level_spacing(level)
    if factor == DATE and not season.first_day <= level_date(level) <= season.last_day:
        raise ValueError(f"date {level} is outside the season, {season.first_day} to {season.last_day}")


def _contrasts(season: Season) -> Iterator[Problem]:
    for i, trial in enumerate(season.trials.values()):
        for factor, texts in trial.contrasts.items():
            for wrong in _wrong_contrasts(trial, factor, texts):
                yield Problem(("trial", i, "contrasts", factor), f"trial {trial.id}: {wrong}")


def _wrong_contrasts(trial: Trial, factor: str, texts: tuple[str, ...]) -> Iterator[str]:
    if factor not in trial.factors:
        yield f'contrasts are of "{factor}", which is no factor; the factors are {", ".join(trial.factors)}'
        return
    for text in texts:
        try:
            sides_of(text, trial.factors[factor])
        except ValueError as wrong:
            yield f"{factor}: {wrong}"


def _set_once(season: Season) -> Iterator[Problem]:
    """What a factor sets is not set for all plots besides."""
    for i, trial in enumerate(season.trials.values()):
        whole = "places" if trial.places else "draw_light_among" if trial.draw_light_among else ""
        if trial.place and whole:
            yield Problem(
                ("trial", i, "place"), f"trial {trial.id} has place and {whole}; leave one of the two out"
            )
        for key, value in _for_all(trial).items():
            if key in trial.factors and value:
                yield Problem(
                    ("trial", i, key),
                    f"trial {trial.id}: {key} is a factor and is set for all plots too; leave one of the two out",
                )


def _drawn_light(season: Season) -> Iterator[Problem]:
    for i, trial in enumerate(season.trials.values()):
        if not trial.draw_light_among:
            continue
        try:
            dealt(trial.draw_light_levels, trial.draw_light_among, 0)
        except ValueError as wrong:
            yield Problem(("trial", i, "draw_light_among"), f"trial {trial.id}: draw_light_among: {wrong}")


def _for_all(trial: Trial) -> Mapping[str, Any]:
    return {VARIETY: trial.variety, DATE: trial.date}


def _plots_once(season: Season) -> Iterator[Problem]:
    """A number once in a trial, and one plot on a row and column of a place."""
    numbers: dict[tuple[str, int], str] = {}
    spots: dict[tuple[str, str, int, int], str] = {}
    for i, plot in enumerate(season.plots.values()):
        if plot.number is not None:
            first = numbers.setdefault((plot.trial, plot.number), plot.id)
            if first != plot.id:
                yield Problem(
                    ("plot", i, "number"),
                    f"plot {plot.id}: {plot.trial} has plot {plot.number} already, {first}; give one of them another number",
                )
        first = spots.setdefault((plot.trial, plot.place, plot.row, plot.column), plot.id)
        if first != plot.id:
            yield Problem(
                ("plot", i, "row"),
                f"plot {plot.id}: {first} lies on row {plot.row}, column {plot.column} already; "
                "one plot lies on a piece of ground",
            )


def _guards(season: Season) -> Iterator[Problem]:
    for i, plot in enumerate(season.plots.values()):
        if plot.is_guard and (plot.number is not None or plot.treatment):
            key = "treatment" if plot.treatment else "number"
            yield Problem(
                ("plot", i, key),
                f"plot {plot.id} is a guard, which is never measured; it has no {key}",
            )
        if not plot.is_guard and plot.number is None:
            yield Problem(("plot", i), f'plot {plot.id} has no number; add number = 101, or entry = "guard"')
        if plot.why and plot.lost is None:
            yield Problem(("plot", i, "why"), f"plot {plot.id}: why it is lost needs the day, lost; set it")


TRIAL_CHECKS: tuple[Callable[[Season], Iterator[Problem]], ...] = (
    _levels,
    _contrasts,
    _set_once,
    _drawn_light,
    _plots_once,
    _guards,
)
