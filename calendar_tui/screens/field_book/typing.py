"""What is typed in a cell as an entry of the field book, what is asked back of it, and the change that saves it."""

from __future__ import annotations

from datetime import date

from calendar_tui.planning.field_book.entries import entry_of, observed_change, questions_of
from calendar_tui.planning.field_book.entry import Entry
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.field_book.on_its_way import Cell
from calendar_tui.season.edits import Change
from calendar_tui.season.records import Season


def typed_entry(season: Season, day: date, cell: Cell, text: str) -> Entry:
    """A blank takes out what stands there. Raises Refusal."""
    at, name = cell
    if not text.strip():
        return Entry(day, at, name)
    return entry_of(season, day, at, season.variables[name], text)


def asked_text(season: Season, entry: Entry, was: str) -> str:
    """What is asked before it is handed on, "" for nothing. was: what stands there."""
    if not entry.text:
        return f"{entry.at} {entry.variable}: {was} is taken out, and is missing then."
    return " ".join(questions_of(season, entry))


def change_of(entry: Entry, who: str, plan: Plan) -> Change:
    """Raises Refusal."""
    return observed_change(plan.season, plan.today, [entry], who)[0]
