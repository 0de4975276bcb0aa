"""What is typed in a cell as an entry of the field book, what is asked back of it, and the change that saves it."""

from __future__ import annotations

from datetime import date

from calendar_tui.planning.field_book.entries import entry_of, observed_change, questions_of
from calendar_tui.planning.field_book.entry import SAME, Entry
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.field_book.unsaved import Cell
from calendar_tui.season.edits import Change
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal


def typed_entry(season: Season, day: date, cell: Cell, text: str) -> Entry:
    """A blank takes out what stands there. Raises Refusal."""
    at, name = cell
    if not text.strip():
        return Entry(day, at, name)
    return entry_of(season, day, at, season.variables[name], text)


def doubt_text(season: Season, entry: Entry, was: str) -> str:
    """What is asked before it is handed on, "" for nothing. was: what stands there."""
    if not entry.text:
        return f"{entry.at} {entry.variable}: {was} is taken out, and is missing then."
    return " ".join(questions_of(season, entry))


def change_of(entry: Entry, was: str, who: str, plan: Plan) -> Change:
    """was: what stood there for whom typed it. Raises Refusal, where somebody else has written another value meanwhile too."""
    change, (one,) = observed_change(plan.season, plan.today, [entry], who)
    if one.what != SAME and one.was != was:
        now = f"{one.was} has been written" if one.was else "what stood there has been taken out"
        raise Refusal(
            f"{entry.at} {entry.variable}: {now} meanwhile; to have {entry.text or 'nothing'} in its place, enter it again"
        )
    return change
