"""The form in which a table is taken in that a spreadsheet changed: which file; below it stands what it brings."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.spreadsheets.sheets import SHEETS, sheet_named
from calendar_tui.planning.spreadsheets.taking import take_table
from calendar_tui.screens.forms.blank import Blank, FormField, Typed
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.kit.host import host
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.spreadsheet_text import read_spreadsheet
from calendar_tui.season.typed_dates import ORDERS
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.table_file import spreadsheet_text

FILE, KIND, DATES = "file", "kind", "dates"
_MEANINGS = {
    FILE: "a CSV file that export wrote, with its folder where that is not the season's: cohorts.csv",
    KIND: "what it holds, where its columns fit several",
    DATES: "which comes first in a date of numbers, such as 12/8/2026",
}


def taking_table(folder: Path) -> Blank:
    """A form for a table. folder: where its file is, if no other is typed."""
    return Blank(
        "Take in a table",
        "changed in a spreadsheet; what was recorded stays",
        _fields,
        _read,
        partial(_propose, folder),
    )


def _fields(held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    return (
        FormField(FILE, "", "", _MEANINGS[FILE]),
        FormField(KIND, "", "", _MEANINGS[KIND], tuple(SHEETS)),
        FormField(DATES, held.order, "", _MEANINGS[DATES], ORDERS),
    )


def _read(held: HeldSeason, words: str, text: str) -> str:
    """Raises Refusal for a kind or an order that is none."""
    if words == KIND and text.strip():
        sheet_named(text)
    if words == DATES and text.strip() not in ("", *ORDERS):
        raise Refusal(f'"{text}" is no order{choices(text, ORDERS, "Orders")}')
    return ""


def _propose(folder: Path, held: HeldSeason, typed: Typed) -> Proposal:
    name = typed.get(FILE, "").strip()
    if not name:
        raise FieldErrors([FieldError(FILE, "", f"it is needed: {_MEANINGS[FILE]}")])
    path = folder / Path(name).expanduser()
    try:
        text = spreadsheet_text(path)
    except SeasonFileError as wrong:
        raise FieldErrors([FieldError(FILE, name, "; ".join(p.message for p in wrong.problems))]) from wrong
    order = typed.get(DATES, held.order).strip()
    table = read_spreadsheet(text, path.name)
    return take_table(held._replace(order=order), table, typed.get(KIND, "").strip()).proposal


class TableView(FormView):
    """The form over the season that is open: a file is looked for beside it."""

    def __init__(self) -> None:
        super().__init__(taking_table(Path()))

    def on_mount(self) -> None:
        self._blank = taking_table(host(self).opened.path.absolute().parent)
        super().on_mount()
