"""Tables of an example season as a spreadsheet has them: written, changed cell by cell, saved in its own ways, taken in."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path

import pytest

from calendar_tui.handing_on.tables.csv_text import table_text
from calendar_tui.handing_on.tables.date_and_task_rows import task_table_rows
from calendar_tui.handing_on.tables.field_sheet import sheet_csv
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.spreadsheets.sheets import SHEETS
from calendar_tui.planning.spreadsheets.taken import Taken
from calendar_tui.planning.spreadsheets.taking import take_table
from calendar_tui.planning.spreadsheets.task_table import TASK_COLUMNS
from calendar_tui.planning.spreadsheets.writing import table_of
from calendar_tui.season.reading import read_season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.spreadsheet_text import read_spreadsheet
from tests.example_days import EXAMPLE_DAYS
from tests.season_data import data_of

SEASONS = Path(__file__).parents[2] / "seasons"
Rows = list[list[str]]
ISO = re.compile(r"(\d{4})-(\d\d)-(\d\d)")
FIGURE = re.compile(r"(-?\d+)\.(\d+)")


@cache
def example(name: str) -> HeldSeason:
    data = data_of((SEASONS / f"{name}.toml").read_text(encoding="utf-8"))
    reading = read_season(data)
    assert reading.season is not None
    return HeldSeason(make_plan(reading.season, EXAMPLE_DAYS[name]), data, "", reading)


def exported(held: HeldSeason, name: str) -> str:
    """The text of a table as it is exported."""
    if name == "tasks":
        return table_text(TASK_COLUMNS, task_table_rows(held.plan.season))
    return sheet_csv(table_of(held, SHEETS[name])).decode("utf-8-sig")


def rows_of(text: str) -> Rows:
    return list(csv.reader(io.StringIO(text, newline="")))


def text_of(rows: Sequence[Sequence[str]], separator: str = ",", quoting: int = csv.QUOTE_MINIMAL) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\n", quoting=quoting).writerows(rows)
    return out.getvalue()


def taken(held: HeldSeason, text: str, named: str = "", order: str = "") -> Taken:
    return take_table(held._replace(order=order), read_spreadsheet(text, "x.csv"), named)


def cells(rows: Rows, change: Callable[[str], str]) -> Rows:
    """The rows with each cell below the heads changed."""
    return [rows[0], *([change(cell) for cell in row] for row in rows[1:])]


def set_cell(rows: Rows, record: str, head: str, value: str) -> Rows:
    """The rows with the cell of a record under a head; a new line where it has none."""
    at = next(n for n, name in enumerate(rows[0]) if name in (head, *_with_unit(rows[0], head)))
    if all(row[0] != record for row in rows[1:]):
        rows = [*rows, [record, *[""] * (len(rows[0]) - 1)]]
    return [[*row[:at], value, *row[at + 1 :]] if row[0] == record else row for row in rows]


def _with_unit(heads: Sequence[str], head: str) -> list[str]:
    return [name for name in heads if name.split(" (")[0] == head]


def back_of(name: str, *changes: tuple[str, str, str], season: str = "two-rivers", order: str = ""):
    held = example(season)
    rows = rows_of(exported(held, name))
    for record, head, value in changes:
        rows = set_cell(rows, record, head, value)
    return taken(held, text_of(rows), order=order)


def refusal(name: str, *changes: tuple[str, str, str], season: str = "two-rivers") -> str:
    with pytest.raises(Refusal) as refused:
        back_of(name, *changes, season=season)
    return str(refused.value)


def edits(back, kind: str) -> list[tuple[object, ...]]:
    return [(e.op, e.ident, e.field, e.value) for e in back.proposal.change.edits if e.kind == kind]
