"""Large tables: twice as many lines are twice the work, and a season is laid out once however many cells change."""

from __future__ import annotations

import re
from datetime import date

import pytest

from calendar_tui.planning.changes import replan
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.spreadsheets.record_lines import begun, take_line
from calendar_tui.planning.spreadsheets.sheets import SHEETS
from calendar_tui.season.reading import read_season
from calendar_tui.season.spreadsheet_text import read_spreadsheet
from tests.counting import lines_run
from tests.planning.kept_farm import TEXT
from tests.planning.spread import exported, rows_of, set_cell, taken, text_of
from tests.season_data import data_of

A4 = re.search(r"\[\[cohort\]\]\nid = \"A4\"\n(?:.+\n)+", TEXT)


def season_of(copies: int) -> HeldSeason:
    assert A4 is not None
    more = "\n".join(A4[0].replace('"A4"', f'"X{n}"') for n in range(copies))
    data = data_of(TEXT.replace(A4[0], f"{A4[0]}\n{more}\n"))
    reading = read_season(data)
    assert reading.season is not None
    return HeldSeason(make_plan(reading.season, date(2026, 12, 8)), data, "", reading)


def work(held: HeldSeason, changed: bool) -> int:
    """Lines of Python that reading a table of all cohorts runs."""
    rows = rows_of(exported(held, "cohorts"))
    if changed:
        at = rows[0].index("plants")
        rows = [rows[0], *([*row[:at], str(int(row[at]) + 1), *row[at + 1 :]] for row in rows[1:])]
    table = read_spreadsheet(text_of(rows), "x.csv")

    def read() -> None:
        lines = begun(held, SHEETS["cohorts"], table)
        for line in table.lines:
            take_line(lines, line)
        assert len(lines.changes) == changed * (len(rows) - 1)
        assert not lines.wrong

    return lines_run(read)


@pytest.mark.parametrize("changed", [False, True])
def test_twice_as_many_lines_are_twice_the_work(changed: bool) -> None:
    few, many = season_of(30), season_of(71)  # with those that are there, twice as many
    assert work(many, changed) < 2.2 * work(few, changed)


def test_a_season_is_laid_out_once_however_many_cells_change(monkeypatch: pytest.MonkeyPatch) -> None:
    held = season_of(3)
    rows = rows_of(exported(held, "cohorts"))
    for name in ("X0", "X1", "X2"):
        rows = set_cell(set_cell(rows, name, "plants", "99"), name, "note", "wet")
    made = []

    def counted(*arguments):
        made.append(1)
        return make_plan(*arguments)

    monkeypatch.setattr(replan, "make_plan", counted)
    assert len(taken(held, text_of(rows)).cells) == 6
    assert len(made) == 1
