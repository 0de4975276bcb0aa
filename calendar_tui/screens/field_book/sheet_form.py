"""The form of a filled sheet: who looked and on which day where a line has none; below it what is new, changed and the same."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial
from pathlib import Path

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.field_book.sheet import take_sheet, typed_day
from calendar_tui.screens.forms.blank import Blank, FormField, Typed
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trial_table import TrialTable, read_trial_table
from calendar_tui.season.typed_dates import read_day_text
from calendar_tui.storage.table_file import table_text

WHO, DAY = "who", "day"


def read_sheet(path: Path) -> TrialTable:
    """Raises Refusal, SeasonFileError with what would be right."""
    return read_trial_table(table_text(path, "a sheet of a field book"), path.name)


def taking_in(trial: str, table: TrialTable, who: str, day: date) -> Blank:
    """A form for a filled sheet of this trial. who, day: what is proposed."""
    return Blank(
        f"Take in {table.file}",
        f"a sheet of {trial}, by the ids of its plots",
        partial(_fields, who, day),
        _read,
        partial(_propose, trial, table, who, day),
        whole=True,
    )


def _fields(who: str, day: date, held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    return (
        FormField(WHO, who, "", "who looked"),
        FormField(DAY, day.isoformat(), "", "of the lines that have no date of their own"),
    )


def _read(held: HeldSeason, words: str, text: str) -> str:
    return read_day_text(text, _day(held, text)) if words == DAY else ""


def _day(held: HeldSeason, text: str) -> date:
    return typed_day(held.plan, text, order=held.order)


def _propose(trial: str, table: TrialTable, who: str, day: date, held: HeldSeason, typed: Typed) -> Proposal:
    if trial not in held.plan.season.trials:
        raise Refusal(f"trial {trial} is not in this season any more")
    on = _day(held, typed[DAY]) if DAY in typed else day
    found = held.plan.season.trials[trial]
    return take_sheet(held.plan, found, table, on, held.order, typed.get(WHO, who).strip())[0]
