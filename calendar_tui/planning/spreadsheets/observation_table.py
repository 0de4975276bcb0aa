"""What was observed as a table: a line a value; taken in again by its day, place and variable."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import KW_ONLY, dataclass, field, replace
from typing import Any

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.field_book.entries import entry_of, observe
from calendar_tui.planning.field_book.entry import DOT, NEW, Entry
from calendar_tui.planning.spreadsheets.cells import CLEAR, is_as_written, plain_cell
from calendar_tui.planning.spreadsheets.sheets import Sheet, strange_notes
from calendar_tui.planning.spreadsheets.taken import (
    CellChange,
    Gathering,
    Taken,
    counts_text,
    first_of,
)
from calendar_tui.season.edits import Edit
from calendar_tui.season.finders import find_record
from calendar_tui.season.observing import Observation, Variable
from calendar_tui.season.readers import shown, words
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trial_table import Line, TrialTable

OBSERVATION_COLUMNS = ("date", "at", "variable", "value", "unit", "who", "note")
_BESIDE = ("who", "note")
_Ident = tuple[dt.date, str, str]


def observation_table(held: HeldSeason) -> list[list[str]]:
    """The cells of a table of all that was observed, its heads first; a dot is a place where nobody looked."""
    season = held.plan.season
    return [
        list(OBSERVATION_COLUMNS),
        *(_cells(season.variables.get(o.variable), o) for o in season.observations),
    ]


def _cells(variable: Variable | None, one: Observation) -> list[str]:
    unit = "" if variable is None else variable.unit
    return [one.date.isoformat(), one.at, one.variable, one.value or DOT, unit, one.who, one.note]


@dataclass(slots=True)
class _TakenIn(Gathering):
    """beside: by observation, who looked and the note, where they differ."""

    _: KW_ONLY
    there: Mapping[_Ident, Observation]
    entries: list[Entry] = field(default_factory=list)
    beside: dict[_Ident, dict[str, str]] = field(default_factory=dict)


def take_observations(held: HeldSeason, sheet: Sheet, table: TrialTable) -> Taken:
    """Raises Refusal with a line for each cell that cannot be."""
    there = {(one.date, one.at, one.variable): one for one in held.plan.season.observations}
    taken = _TakenIn(table.file, held, there=there)
    taken.notes.update(dict.fromkeys(strange_notes(sheet, table)))
    heads = [head.casefold() for head in table.headers]
    for line in table.lines:
        cells = {
            head: cell for head, cell in zip(heads, line.cells, strict=True) if head in OBSERVATION_COLUMNS
        }
        _take_line(taken, line, cells)
    taken.refuse_wrong()
    return _taken(taken, sheet)


def _take_line(taken: _TakenIn, line: Line, cells: Mapping[str, str]) -> None:
    column = "date"
    try:
        day = _day(taken, cells["date"])
        column = "variable"
        season = taken.held.plan.season
        variable = season.variables[find_record("variable", season, plain_cell(cells["variable"]))]
        column = "unit"
        _refuse_other_unit(variable, plain_cell(cells.get("unit", "")))
        column = "value"
        at = plain_cell(cells["at"])
        if taken.is_first(line.number, column, (day, at, variable.id), f"{at} {variable.id} of {day}"):
            _take_value(taken, line, (day, at, variable.id), cells)
            column = "who"
            _take_beside(taken, line, (day, at, variable.id), cells)
    except ValueError as wrong:
        taken.refuse(line.number, column, str(wrong))


def _day(taken: _TakenIn, cell: str) -> dt.date:
    day = taken.day("date", cell)
    if day > taken.held.plan.today:
        raise Refusal(f"{day} is after today, {taken.held.plan.today}; what is observed has been")
    return day


def _refuse_other_unit(variable: Variable, unit: str) -> None:
    if unit and not is_as_written(unit, variable.unit) and unit != variable.unit_text:
        raise Refusal(f"{shown(unit)} is not the unit of {variable.id}; it is measured in {variable.unit}")


def _take_value(taken: _TakenIn, line: Line, ident: _Ident, cells: Mapping[str, str]) -> None:
    """Raises Refusal."""
    cell, was = cells.get("value", ""), taken.there.get(ident)
    stood = "" if was is None else was.value or DOT
    if not cell.strip() or (was is not None and is_as_written(cell, stood)):
        return
    day, at, name = ident
    if cell.strip() == CLEAR:
        entry = Entry(day, at, name)
    else:
        season = taken.held.plan.season
        entry = entry_of(season, day, at, season.variables[name], plain_cell(cell))
    now = entry.value or (DOT if entry.state else "")
    if now != stood:
        taken.entries.append(entry)
        taken.cells.append(CellChange(line.number, _name(ident), "value", stood, now))


def _take_beside(taken: _TakenIn, line: Line, ident: _Ident, cells: Mapping[str, str]) -> None:
    """Who looked and the note of a value that stands or is new. Raises Unreadable."""
    was = taken.there.get(ident)
    taken_out = {entry.ident for entry in taken.entries[-1:] if not entry.text}
    if (was is None and not any(entry.ident == ident for entry in taken.entries[-1:])) or ident in taken_out:
        return
    for key in _BESIDE:
        cell, stood = cells.get(key, ""), "" if was is None else str(getattr(was, key))
        if cell.strip() and not is_as_written(cell, stood):
            text = "" if cell.strip() == CLEAR else words(plain_cell(cell))
            if text != stood:
                taken.beside.setdefault(ident, {})[key] = text
                taken.cells.append(CellChange(line.number, _name(ident), key, stood, text))


def _name(ident: _Ident) -> str:
    day, at, variable = ident
    return f"{day} {at} {variable}"


def _taken(taken: _TakenIn, sheet: Sheet) -> Taken:
    records = {cell.record for cell in taken.cells}
    new = [entry.ident for entry in taken.entries if entry.ident not in taken.there]
    same = len(taken.lines) - len(records)
    names = {*map(_name, new)}
    counts = len(new), len(records) - len(new), sum(c.record not in names for c in taken.cells)
    what = f"{sheet.name} from {taken.file}: {counts_text(*counts)}"
    proposal, entries = observe(taken.held.plan, taken.entries, "", what)
    added = {one.entry.ident for one in entries if one.what == NEW}
    edits = [_with_beside(edit, taken.beside) for edit in proposal.change.edits]
    edits += [
        edit
        for ident, texts in taken.beside.items()
        if ident not in added
        for edit in _edits(taken, ident, texts)
    ]
    texts = [f"{c.record} {c.field}: {c.was} -> {c.now or 'none'}".replace(":  ->", ":") for c in taken.cells]
    proposal = replace(
        proposal,
        change=replace(proposal.change, edits=tuple(edits)),
        verdicts=(f"{taken.file}, {sheet.name}: {counts_text(*counts, 0, same)}", *first_of(texts)),
        notes=(*taken.notes, *proposal.notes),
    )
    return Taken(sheet.name, taken.file, proposal, tuple(taken.cells), (), tuple(map(_name, new)), same)


def _with_beside(edit: Edit, beside: Mapping[_Ident, Mapping[str, str]]) -> Edit:
    texts: Mapping[str, Any] = beside.get(edit.ident, {}) if edit.op == "add" else {}
    return replace(edit, value={**edit.value, **texts}) if texts else edit


def _edits(taken: _TakenIn, ident: _Ident, texts: Mapping[str, str]) -> list[Edit]:
    return [
        Edit("set", "observation", ident, (key,), text)
        if text
        else Edit("unset", "observation", ident, (key,))
        for key, text in texts.items()
    ]
