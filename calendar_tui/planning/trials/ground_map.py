"""The plots of a trial as they lie, place by place, for whoever draws the map."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from string import ascii_lowercase, ascii_uppercase
from typing import NamedTuple

from calendar_tui.planning.trials.drawing import plots_of_trial
from calendar_tui.season.records import Season
from calendar_tui.season.trials import DATE, LIGHT, Trial, TrialPlot, level_date
from calendar_tui.season.wording import day_text

# Signs for the levels of the first, second, third factor, where names are too long.
_SIGNS: Sequence[Sequence[str]] = (ascii_uppercase, [str(n) for n in range(1, 100)], ascii_lowercase)


class GroundMap(NamedTuple):
    """The plots of one place. level: of light, "" where light is no factor; plots: by row and column, from 1."""

    place: str
    level: str
    rows: int
    columns: int
    plots: Mapping[tuple[int, int], TrialPlot]


def maps_of(season: Season, trial: Trial) -> list[GroundMap]:
    """In the order in which its places stand in the file; [] where nothing is drawn."""
    by_place: dict[str, list[TrialPlot]] = {}
    for plot in plots_of_trial(season, trial.id):
        by_place.setdefault(plot.place, []).append(plot)
    return [_map(place, plots) for place, plots in by_place.items()]


def _map(place: str, plots: Sequence[TrialPlot]) -> GroundMap:
    level = next((plot.treatment[LIGHT] for plot in plots if LIGHT in plot.treatment), "")
    return GroundMap(
        place,
        level,
        max(plot.row for plot in plots),
        max(plot.column for plot in plots),
        {(plot.row, plot.column): plot for plot in plots},
    )


def beside(maps: Sequence[GroundMap], at: TrialPlot, back: int, right: int) -> TrialPlot:
    """The nearest plot that way from a plot, itself at the edge; from the front or back of a place on into the next one.

    back, right: 1, 0 or -1; one of them is 0.
    """
    n = next(n for n, one in enumerate(maps) if one.place == at.place)
    plots = maps[n].plots
    for step in range(1, max(maps[n].rows, maps[n].columns)):
        if plot := plots.get((at.row + back * step, at.column + right * step)):
            return plot
    # Places are drawn below each other: from the front of one the way leads to the back of the next.
    m = n - back
    if not back or not 0 <= m < len(maps):
        return at
    return min(maps[m].plots.values(), key=lambda plot: (plot.row * back, abs(plot.column - at.column)))


def level_name(factor: str, level: str) -> str:
    """A level as a person reads it: "10 Jan" of a date."""
    if factor != DATE:
        return level
    try:
        return day_text(level_date(level))
    except ValueError:
        return level


def treatment_name(plot: TrialPlot) -> str:
    """What a plot gets within its place: "10 Jan amber 1.5x0.6"."""
    return " ".join(level_name(factor, level) for factor, level in plot.treatment.items() if factor != LIGHT)


def levels_of(trial: Trial, plots: Iterable[TrialPlot]) -> dict[str, tuple[str, ...]]:
    """The levels of each factor: those of the trial, then those that its plots alone have, as where one was renamed after the draw."""
    levels = {factor: list(given) for factor, given in trial.factors.items()}
    for plot in plots:
        for factor, level in plot.treatment.items():
            if factor != LIGHT and level not in (of := levels.setdefault(factor, [])):
                of.append(level)
    return {factor: tuple(found) for factor, found in levels.items()}


def codes_of(levels: Mapping[str, Sequence[str]]) -> dict[tuple[str, str], str]:
    """A short sign for each level of each factor; those past the signs there are go by their names. levels: as `levels_of` has them."""
    codes: dict[tuple[str, str], str] = {}
    for n, (factor, names) in enumerate(levels.items()):
        signs = _SIGNS[n % len(_SIGNS)]
        codes |= {(factor, level): sign for level, sign in zip(names, signs, strict=False)}
    return codes
