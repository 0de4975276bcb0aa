"""A field book to be filled in where one walks: a row for each place in walking order, a column for each variable, on one day."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from calendar_tui.planning.field_book.due import Round, rounds_on
from calendar_tui.planning.field_book.entry import DOT
from calendar_tui.planning.field_book.walking import measured_plots, places_of
from calendar_tui.planning.trials.drawing import plots_of_trial
from calendar_tui.season.observing import COHORT, PLANT, Observation, Variable
from calendar_tui.season.readers import choices
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import TrialPlot
from calendar_tui.season.wording import day_text

# What is walked: a trial by its id, or the cohorts, each as a whole.
WHOLE = ""


class GridRow(NamedTuple):
    """at: as an observation names it; plot: None of a cohort as a whole; lost: from when nothing of it counts, and why, "" else."""

    at: str
    plot: TrialPlot | None = None
    lost: str = ""


class Grid(NamedTuple):
    """walk: a trial or `WHOLE`. values: what is recorded of the day, by place and variable, as it is typed.

    due: the cells that a round asks for and another day has not.
    """

    walk: str
    day: date
    variables: tuple[Variable, ...]
    rows: tuple[GridRow, ...]
    values: Mapping[tuple[str, str], str]
    due: frozenset[tuple[str, str]]

    def takes(self, row: GridRow, variable: Variable) -> bool:
        """Whether a value can stand there: a plant has the variables of plants, a lost plot none."""
        if row.lost:
            return False
        if row.plot is None:
            return variable.per != PLANT
        return variable.per != COHORT and (variable.per == PLANT) == (" " in row.at)

    @property
    def cells(self) -> Iterator[tuple[str, str]]:
        """Where values can stand, row by row."""
        return (
            (row.at, variable.id)
            for row in self.rows
            for variable in self.variables
            if self.takes(row, variable)
        )


def walks_of(season: Season, day: date) -> list[str]:
    """What can be walked: the trials that have plots to measure, then the cohorts as a whole where there are any."""
    trials = [name for name in season.trials if measured_plots(season, name, day)]
    return [*trials, WHOLE] if season.cohorts else trials


def grid_of(season: Season, walk: str, day: date, names: Sequence[str] = ()) -> Grid:
    """names: of the variables; none for those that are due or there on the day, else those in use, else all.

    Raises Refusal for a variable that is not there.
    """
    units = _units(season, walk, day)
    values = {
        (one.at, one.variable): one.value or DOT
        for one in season.observations
        if one.date == day and one.unit in units
    }
    due = frozenset(
        (place, one.variable)
        for one in rounds_on(season, day)
        for place in one.places
        if place.partition(" ")[0] in units and (place in one.missing or (place, one.variable) in values)
    )
    asked = {name for _, name in (*due, *values)}
    variables = _variables(season, walk, names or [name for name in season.variables if name in asked])
    rows = tuple(row for unit in units.values() for row in _rows(season, unit, variables, day))
    return Grid(walk, day, variables, rows, values, due)


def _units(season: Season, walk: str, day: date) -> dict[str, TrialPlot | Cohort]:
    """The plots of a trial in walking order, lost ones too and no guards; or the cohorts that are there on the day."""
    if walk == WHOLE:
        return {one.id: one for one in season.cohorts.values() if _is_there(season, one, day)}
    return {plot.id: plot for plot in plots_of_trial(season, walk) if not plot.is_guard}


def _is_there(season: Season, cohort: Cohort, day: date) -> bool:
    """Whether a cohort has begun by a day, and was not cut before it."""
    begun = min((*cohort.recorded.values(), *cohort.planned.values()), default=season.first_day)
    cut = cohort.recorded.get("harvest")
    return begun <= day and (cut is None or day <= cut)


def _variables(season: Season, walk: str, names: Sequence[str]) -> tuple[Variable, ...]:
    for name in names:
        if name not in season.variables:
            raise Refusal(f'"{name}" is not a variable of this season{choices(name, season.variables)}')
    used = {name for chore in season.chores.values() if chore.active for name in chore.observe}
    chosen = names or [name for name in season.variables if name in used] or list(season.variables)
    fits = COHORT if walk != WHOLE else PLANT
    return tuple(season.variables[name] for name in chosen if season.variables[name].per != fits)


def _rows(
    season: Season, unit: TrialPlot | Cohort, variables: Sequence[Variable], day: date
) -> Iterator[GridRow]:
    """A plot as a whole, where a variable is of it, and each of its plants where one is of those."""
    if isinstance(unit, Cohort):
        has_plots = any(plot.cohort == unit.id and not plot.is_guard for plot in season.plots.values())
        if not has_plots or any(variable.per == COHORT for variable in variables):
            yield GridRow(unit.id)
        return
    lost = _lost(unit, day)
    if lost or any(variable.per != PLANT for variable in variables):
        yield GridRow(unit.id, unit, lost)
    plants = max((len(places_of(one, unit.id)) for one in variables if one.per == PLANT), default=0)
    for n in range(1, 0 if lost else plants + 1):
        yield GridRow(f"{unit.id} {n}", unit)


def _lost(plot: TrialPlot, day: date) -> str:
    lost = plot.lost_by(day)
    if lost is None:
        return ""
    return f"lost from {day_text(lost)}" + (f": {plot.why}" if plot.why else "")


def earlier_values(season: Season, at: str, variable: str, day: date, most: int = 3) -> list[Observation]:
    """The last so many values of a place from before a day, the newest first."""
    found = [
        one
        for one in season.observations
        if one.variable == variable and one.at == at and one.date < day and one.value
    ]
    return sorted(found, key=lambda one: one.date, reverse=True)[:most]


def day_of_entry(one: Round, today: date) -> date:
    """The day on which a round is written down: today where that counts for it or comes before it, else its own."""
    return one.day if today >= one.until else today


def walk_of(season: Season, one: Round) -> str:
    """The trial in which the first of what a round has missing lies, of none missing the first of its places."""
    unit = next(iter(one.missing or one.places), "").partition(" ")[0]
    plot = season.plots.get(unit)
    return WHOLE if plot is None else plot.trial
