"""A sheet of a trial: a line for each plot in walking order, and for each plant that is measured; taken in again by plot id."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from typing import NamedTuple

from calendar_tui.language.speaking import translated
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.field_book.entries import entry_of, observe
from calendar_tui.planning.field_book.entry import DOT, Compared, Entry
from calendar_tui.planning.field_book.walking import measured_plots, places_of
from calendar_tui.planning.plan import Plan
from calendar_tui.season.observing import COHORT, NO_UNITS, PLANT, Variable
from calendar_tui.season.readers import choices, shown
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trial_table import TrialTable
from calendar_tui.season.trials import Trial, TrialPlot
from calendar_tui.season.typed_dates import typed_in_season

PLOT, PLANT_HEAD, DATE = "plot", "plant", "date"
# What tells where a plot lies and what it gets; not looked at when a sheet is taken in.
_SHOWN = ("number", "block", "row", "column", "treatment")
_MOST_WRONG = 12


class SheetRow(NamedTuple):
    """plant: None of the plot as a whole; values: as they are written in, "" where nothing is, "." not looked."""

    plot: TrialPlot
    plant: int | None
    values: tuple[str, ...]


def head_of(variable: Variable) -> str:
    """A variable with its unit: "height (cm)", "stand"."""
    name = translated(variable.id)
    return name if variable.unit in NO_UNITS else f"{name} ({variable.unit})"


def variables_of(season: Season, trial: Trial, names: Sequence[str] = ()) -> list[Variable]:
    """Those that are named, else those that chores observe and those observed in the trial, else all. Raises Refusal."""
    for name in names:
        if name not in season.variables:
            right = (
                choices(name, season.variables) if season.variables else "; there is none yet: add a variable"
            )
            raise Refusal(f'"{name}" is not a variable of this season{right}')
    if not names:
        used = {name for chore in season.chores.values() if chore.active for name in chore.observe}
        plots = {plot.id for plot in season.plots.values() if plot.trial == trial.id}
        used |= {one.variable for one in season.observations if one.unit in plots}
        names = [name for name in season.variables if name in used] or list(season.variables)
    chosen = [season.variables[name] for name in names if season.variables[name].per != COHORT]
    if not chosen:
        raise Refusal("no variable is measured in plots yet; add one, such as: add variable height unit cm")
    return chosen


def sheet_rows(season: Season, trial: Trial, variables: Sequence[Variable], day: date) -> list[SheetRow]:
    """Raises Refusal where there is no plot to measure."""
    plots = measured_plots(season, trial.id, day)
    if not plots:
        raise Refusal(f"trial {trial.id} has no plot to measure; trial {trial.id} --draw makes its plots")
    there = {(one.at, one.variable): one for one in season.observations if one.date == day}
    plants = max((len(places_of(v, "")) for v in variables if v.per == PLANT), default=0)
    whole = [None] if any(v.per != PLANT for v in variables) else []
    rows = []
    for plot in plots:
        for plant in (*whole, *range(1, plants + 1)):
            at = plot.id if plant is None else f"{plot.id} {plant}"
            found = [there.get((at, v.id)) if _is_here(v, plant) else None for v in variables]
            values = tuple("" if one is None else one.value or DOT for one in found)
            rows.append(SheetRow(plot, plant, values))
    return rows


def _is_here(variable: Variable, plant: int | None) -> bool:
    """Whether a line of a plot, or of a plant, has room for a variable."""
    return (variable.per == PLANT) == (plant is not None)


def sheet_table(
    rows: Sequence[SheetRow], variables: Sequence[Variable], day: date, treatment: Callable[[TrialPlot], str]
) -> list[list[str]]:
    """The cells of a sheet, its heads first. treatment: in words."""
    heads = [PLOT, PLANT_HEAD, *_SHOWN, DATE, *map(head_of, variables)]
    return [heads, *(_cells(row, day, treatment(row.plot)) for row in rows)]


def _cells(row: SheetRow, day: date, treatment: str) -> list[str]:
    plot = row.plot
    numbers = (row.plant, plot.number, plot.block, plot.row, plot.column)
    plant, *rest = ("" if n is None else str(n) for n in numbers)
    return [plot.id, plant, *rest, treatment, day.isoformat(), *row.values]


def entries_of(
    season: Season, trial: Trial, table: TrialTable, read_day: Callable[[str], date], day: date
) -> tuple[list[Entry], int]:
    """What a sheet has, and how many cells are blank though something is recorded there, which stays.

    read_day: of a date as it is typed; day: where a line has none. Raises Refusal with a line for each cell that cannot be.
    """
    columns = _columns(season, table)
    at = {head.casefold(): n for n, head in enumerate(table.headers)}
    if PLOT not in at:
        raise Refusal(f"{table.file}: no column is called plot; a sheet is taken in by the ids of its plots")
    taken = _TakenIn(season, {}, [], [])
    for line in table.lines:
        where = f"{table.file}:{line.number}: "
        cells = {head: line.cells[n].strip() for head, n in at.items()}
        try:
            place, on = _place(season, trial, cells), _day(cells, read_day, day)
        except Refusal as refused:
            taken.wrong.append(f"{where}{refused}")
            continue
        for n, variable in columns.items():
            taken.cell(where, place, on, variable, line.cells[n].strip())
    if wrong := taken.wrong:
        more = [f"and {len(wrong) - _MOST_WRONG} more"] if len(wrong) > _MOST_WRONG else []
        raise Refusal("\n".join([*wrong[:_MOST_WRONG], *more]))
    there = {(one.date, one.at, one.variable) for one in season.observations}
    return [entry for entry, _ in taken.entries.values()], len(there.intersection(taken.blank))


class _TakenIn(NamedTuple):
    """A sheet on its way in. entries: with the line of each; blank: what has no value in it."""

    season: Season
    entries: dict[tuple[date, str, str], tuple[Entry, str]]
    blank: list[tuple[date, str, str]]
    wrong: list[str]

    def cell(self, where: str, place: str, day: date, variable: Variable, typed: str) -> None:
        if not typed:
            self.blank.append((day, place, variable.id))
            return
        try:
            entry = entry_of(self.season, day, place, variable, typed.removeprefix("'"))
            first, line = self.entries.setdefault(entry.ident, (entry, where))
            if first != entry:
                raise Refusal(
                    f"{place} {variable.id} stands twice for {day}: {first.text} in {line.removesuffix(': ')} and {entry.text} "
                    "here; keep one"
                )
        except Refusal as refused:
            self.wrong.append(f"{where}{refused}")


def take_sheet(
    plan: Plan, trial: Trial, table: TrialTable, day: date, order: str, who: str = ""
) -> tuple[Proposal, list[Compared]]:
    """The proposal that takes a filled sheet in as one change. day: where a line has none; order: as `typed_date` takes it.

    Raises Refusal.
    """
    season = plan.season
    entries, blank = entries_of(season, trial, table, partial(typed_day, plan, order=order), day)
    if not entries:
        raise Refusal(f"{table.file} has no value; blank is missing, a dot is not looked, 0 is none")
    what = f"{trial.id}: {_counted(len(entries), 'observation')} from {table.file}"
    proposal, compared = observe(plan, entries, who, what)
    kept = (
        f"{_counted(blank, 'cell')} blank in the sheet, where a value is recorded, which stays: observe PLOT VARIABLE missing "
        "takes it out"
    )
    return replace(proposal, notes=(*proposal.notes, *([kept] if blank else []))), compared


def typed_day(plan: Plan, text: str, *, order: str) -> date:
    """A day on which something was observed, as it is typed. Raises ValueError, Refusal for one that is to come."""
    day = typed_in_season(text, plan.season, today=plan.today, planned=None, past=True, order=order)
    if day > plan.today:
        raise Refusal(f"{day} is after today, {plan.today}; what is observed has been")
    return day


def _counted(count: int, one: str) -> str:
    return f"{count} {one}{'' if count == 1 else 's'}"


def _columns(season: Season, table: TrialTable) -> Mapping[int, Variable]:
    """The variable of each column that has one. Raises Refusal for one with no unit or another, and for one not known."""
    found = {}
    for n, head in enumerate(table.headers):
        if not head or head.casefold() in (PLOT, PLANT_HEAD, DATE, *_SHOWN):
            continue
        parts = re.fullmatch(r"([^()]+?)\s*(?:\(([^()]*)\))?", head)
        name, unit = (parts[1], (parts[2] or "").strip()) if parts else (head, "")
        variable = season.variables.get(name)
        if variable is None:
            raise Refusal(
                f"{table.file}: column {shown(head)} is no variable of this season{choices(name, season.variables)}"
            )
        if unit not in (variable.unit, variable.unit_text):
            what = f"is in {unit}" if unit else "has no unit"
            raise Refusal(f"{table.file}: column {shown(head)} {what}; it would be {head_of(variable)}")
        found[n] = variable
    if not found:
        raise Refusal(f"{table.file}: no column is a variable; such would be {_heads(season)}")
    return found


def _heads(season: Season) -> str:
    return ", ".join(map(head_of, season.variables.values())) or "height (cm)"


def _place(season: Season, trial: Trial, cells: Mapping[str, str]) -> str:
    name, plant = cells[PLOT], cells.get(PLANT_HEAD, "")
    plot = season.plots.get(name)
    if plot is None:
        own = [p.id for p in measured_plots(season, trial.id, date.min)]
        raise Refusal(f"{shown(name)} is not a plot of this season{choices(name, own)}")
    if plot.trial != trial.id:
        raise Refusal(f"plot {name} is of trial {plot.trial}, and this sheet is taken in for {trial.id}")
    if plant and not (plant.isascii() and plant.isdigit() and int(plant)):
        raise Refusal(f"plant {shown(plant)} of {name} is no number; write 1, 2, 3")
    return f"{name} {int(plant)}" if plant else name


def _day(cells: Mapping[str, str], read_day: Callable[[str], date], day: date) -> date:
    if not cells.get(DATE):
        return day
    try:
        return read_day(cells[DATE])
    except ValueError as wrong:
        raise Refusal(str(wrong)) from wrong
