"""Tasks and dates as tables for a spreadsheet: read back by pandas and csv, and harmless there."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path

import pandas as pd
import pytest
from small_season import ids, run

from calendar_tui.handing_on.tables.date_and_task_rows import DATE_COLUMNS
from calendar_tui.handing_on.tables.lamp_nights import NIGHT_COLUMNS
from calendar_tui.planning.spreadsheets.task_table import TASK_COLUMNS
from calendar_tui.season.harmless import harmless

PAGE = Path(__file__).parents[2] / "docs" / "handing-on.md"


def table(season: Path, flag: str) -> tuple[pd.DataFrame, Path]:
    target = season.parent / f"{flag.strip('-')}.csv"
    ran = run("export", season, flag, target)
    assert ran.status == 0, ran.said
    return pd.read_csv(target, dtype=str, keep_default_na=False), target


def test_every_task_is_a_row(season: Path) -> None:
    run("done", season, ids(season)[0])
    found, target = table(season, "--table")
    assert tuple(found.columns) == TASK_COLUMNS
    assert sorted(found["id"]) == sorted(ids(season))
    assert list(found["date"]) == sorted(found["date"])
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\d", day) for day in found["date"])
    one = found[found["id"] == ids(season)[0]].iloc[0]
    assert (one["state"], one["done_on"], one["hours_mark"]) == ("done", "2026-11-09", "placeholder")
    scout = found[found["chore"] == "scout"].iloc[0]
    assert (scout["who"], scout["hours"], scout["done_on"], scout["moved"]) == ("scout", "0.5", "", "no")
    rows = target.read_bytes()
    assert rows.startswith(b"\xef\xbb\xbfid,date,weekday,")
    assert rows.count(b"\r\n") == len(found) + 1 == rows.count(b"\n")


def test_the_dates_are_those_that_the_program_tells(season: Path) -> None:
    found, _ = table(season, "--dates-table")
    assert tuple(found.columns) == DATE_COLUMNS
    told = json.loads(run("dates", season, "--json").out)["dates"]
    first = found[found["n"] == "1"]
    keys = ("cohort", "stage", "earliest", "likely", "latest", "status", "reason")
    assert [tuple(row[k] for k in keys) for _, row in first.iterrows()] == [
        tuple(row[k] for k in keys) for row in told
    ]
    samples = [row for row in told if row["stage"] == "sampling" and row["cohort"] == "A1"]
    shown = found[(found["cohort"] == "A1") & (found["stage"] == "sampling")]
    assert list(shown["likely"]) == samples[0]["dates"]


def test_a_season_with_no_tasks_has_a_table_of_no_rows(season: Path) -> None:
    text = season.read_text(encoding="utf-8")
    season.write_text(text[: text.index("[records]")], encoding="utf-8")
    found, _ = table(season, "--table")
    assert tuple(found.columns) == TASK_COLUMNS
    assert found.empty


@pytest.mark.parametrize(
    "text", ["=1+2", "+1", "-1", "@SUM(A1)", "\t=1", " =1", "＝1+2", "=cmd|' /C calc'!A0"]
)
def test_what_a_spreadsheet_would_work_out_is_made_text(text: str) -> None:
    """OWASP, CSV injection: a cell that begins with = + - @, a tab or a line end is taken for a formula."""
    assert harmless(text) == f"'{text}"


@pytest.mark.parametrize("text", ["", " ", "Scout", "a=b", "3-4", "'x"])
def test_other_text_stays_as_it_is(text: str) -> None:
    assert harmless(text) == text


def test_a_formula_in_a_note_is_harmless_in_the_file(season: Path) -> None:
    text = season.read_text(encoding="utf-8")
    task = ids(season)[0]
    bad = '=HYPERLINK(\\"x\\"), \\"two\\"'
    season.write_text(text.replace(f'id = "{task}"', f'id = "{task}", note = "{bad}"'), encoding="utf-8")
    _, target = table(season, "--table")
    with target.open(encoding="utf-8-sig", newline="") as stream:
        row = next(r for r in csv.DictReader(stream) if r["id"] == task)
    assert row["note"] == '\'=HYPERLINK("x"), "two"'


@pytest.mark.parametrize(
    ("heading", "columns"),
    [("tasks", TASK_COLUMNS), ("dates", DATE_COLUMNS), ("lamps by night", NIGHT_COLUMNS)],
)
def test_every_column_stands_in_the_page(heading: str, columns: tuple[str, ...]) -> None:
    part = PAGE.read_text(encoding="utf-8").split(f"### Columns of the table of {heading}")[1].split("\n#")[0]
    assert tuple(re.findall(r"^\| (\w+) \|", part, re.MULTILINE)[1:]) == columns


def test_two_tables_go_to_two_files(season: Path) -> None:
    target = season.parent / "a.csv"
    ran = run("export", season, "--table", target, "--dates-table", target, "--yes")
    assert (ran.status, target.exists()) == (2, False)
    assert "is also the file of --table" in ran.err


def test_the_stations_file_is_never_written_over(season: Path) -> None:
    station = season.parent / "station.csv"
    days = "date,low,high\n" + "".join(f"2026-10-{d:02d},12,24\n" for d in range(1, 32))
    station.write_text(days, encoding="utf-8")
    text = season.read_text(encoding="utf-8")
    season.write_text(
        text.replace("[[place]]", '[station]\nfile = "station.csv"\nunit = "C"\n\n[[place]]', 1)
    )
    ran = run("export", season, "--table", station, "--yes")
    assert ran.status == 2, ran.said
    assert "weather station file; name another" in ran.err
    assert station.read_text(encoding="utf-8") == days
