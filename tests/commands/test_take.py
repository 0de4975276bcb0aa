"""Tables written for a spreadsheet and taken in again by commands: bytes stay, a change is one change, other readers read them."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pandas as pd
import pytest
from small_season import run

from calendar_tui.commands.exporting import RECORD_TABLES
from calendar_tui.planning.spreadsheets.sheets import SHEETS

PAGE = Path(__file__).parents[2] / "docs" / "spreadsheets.md"
FLAGS = {**{name: f"--{name}" for name in RECORD_TABLES}, "tasks": "--table"}


def exported(season: Path, name: str) -> Path:
    target = season.parent / f"{name}.csv"
    ran = run("export", season, FLAGS[name], target, "--yes")
    assert ran.status == 0, ran.said
    return target


def changed(target: Path, record: str, head: str, value: str) -> Path:
    frame = pd.read_csv(target, dtype=str, keep_default_na=False)
    frame.loc[frame["id"] == record, head] = value
    frame.to_csv(target, index=False)
    return target


def test_every_table_that_is_taken_in_is_one_that_is_written():
    assert set(FLAGS) == set(SHEETS)
    assert all(f"| {name} |" in PAGE.read_text(encoding="utf-8") for name in SHEETS)


@pytest.mark.parametrize("name", FLAGS)
def test_a_table_that_comes_back_as_it_went_leaves_every_byte(season: Path, name: str) -> None:
    target = exported(season, name)
    before = season.read_bytes()
    ran = run("take", season, target, "--yes")
    assert ran.status == 0, ran.said
    assert "No change: already saved." in ran.out
    assert season.read_bytes() == before


@pytest.mark.parametrize("name", FLAGS)
def test_other_readers_read_the_tables(season: Path, name: str) -> None:
    """csv.Sniffer of the standard library finds the separator, and pandas every cell."""
    target = exported(season, name)
    text = target.read_text(encoding="utf-8-sig")
    rows = list(csv.reader(text.splitlines()))
    frame = pd.read_csv(target, dtype=str, keep_default_na=False)
    assert list(frame.columns) == rows[0]
    assert [list(row) for row in frame.itertuples(index=False)] == rows[1:]
    if len(rows) > 1:
        assert csv.Sniffer().sniff(text, ",;\t").delimiter == ","
    assert target.read_bytes().startswith(b"\xef\xbb\xbf")


def test_what_is_changed_is_shown_saved_as_one_change_and_undone(season: Path) -> None:
    target = changed(exported(season, "cohorts"), "A1", "plants", "140")
    changed(target, "B1", "planned sticking", "2026-11-25")
    before = season.read_bytes()
    ran = run("take", season, target, "--dry-run")
    assert "cohorts.csv, cohorts: 2 changed in 2 cells, 1 as it is" in ran.out
    assert "A1 plants 120 -> 140" in ran.out
    assert "Nothing saved." in ran.out
    assert season.read_bytes() == before
    ran = run("take", season, target, "--yes")
    assert ran.status == 0, ran.said
    told = json.loads(run("history", season, "--json").out)
    assert "cohorts from cohorts.csv" in json.dumps(told)
    assert run("undo", season, "--yes").status == 0
    assert season.read_bytes() == before


def test_json_has_each_cell_with_its_line(season: Path) -> None:
    target = changed(exported(season, "cohorts"), "A1", "plants", "140")
    changed(target, "A1", "recorded seeding", "2026-10-06")
    said = json.loads(run("take", season, target, "--json", "--dry-run").out)
    assert (said["kind"], said["new"], said["same"]) == ("cohorts", [], 2)
    assert said["cells"] == [{"line": 2, "record": "A1", "field": "plants", "was": "120", "now": "140"}]
    assert [(p["line"], p["field"]) for p in said["passed_over"]] == [(2, "recorded seeding")]
    assert run("take", season, target, "--json").status != 0


def test_the_season_may_be_left_out_where_there_is_one(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    changed(exported(season, "cohorts"), "A1", "plants", "140")
    monkeypatch.chdir(season.parent)
    assert "A1 plants 120 -> 140" in run("take", "cohorts.csv", "--dry-run").out


def test_a_date_of_numbers_needs_its_order(season: Path) -> None:
    target = changed(exported(season, "cohorts"), "A1", "planned lights off", "3/2/2027")
    ran = run("take", season, target, "--dry-run")
    assert ran.status != 0
    assert "cohorts.csv:2, planned lights off" in ran.err
    assert "--dates day-first" in ran.err
    ran = run("take", season, target, "--dry-run", "--dates", "day-first")
    assert ran.status == 0, ran.said
    assert "3 Feb" in ran.out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "name the table"),
        (["none.csv"], "none.csv"),
        (["x.csv", "y.csv"], "x.csv"),
        (["empty.csv"], "empty.csv: no table"),
        (["book.xlsx"], "save the sheet as CSV"),
        (["x.csv", "--kind", "cohrots"], 'did you mean "cohorts"?'),
    ],
)
def test_what_is_not_understood_is_told(season: Path, words: list[str], said: str) -> None:
    (season.parent / "x.csv").write_text("id,plants\nA1,3\n", encoding="utf-8")
    (season.parent / "empty.csv").write_bytes(b"")
    (season.parent / "book.xlsx").write_bytes(b"PK\x03\x04\x14\x00")
    ran = run(
        "take", season, *[season.parent / w if w.endswith(("csv", "xlsx")) else w for w in words], "--dry-run"
    )
    assert ran.status != 0
    assert said in ran.err


@pytest.mark.parametrize("encoding", ["utf-16", "cp1252", "utf-8"])
def test_letters_come_back_in_the_codes_of_spreadsheets(season: Path, encoding: str) -> None:
    target = season.parent / "c.csv"
    target.write_bytes("id\tplants\tstart\tnote\nA1\t\t\tCañas y más\n".encode(encoding))
    ran = run("take", season, target, "--yes", "--kind", "cohorts")
    assert ran.status == 0, ran.said
    assert 'note = "Cañas y más"' in season.read_text(encoding="utf-8")


def test_a_formula_in_a_note_goes_and_comes_back_as_text(season: Path) -> None:
    """OWASP, CSV injection: see test_export_tables.py."""
    text = season.read_text(encoding="utf-8")
    season.write_text(text.replace('id = "A1"\n', 'id = "A1"\nnote = "=1+1"\n'), encoding="utf-8")
    target = exported(season, "cohorts")
    assert ",'=1+1" in target.read_text(encoding="utf-8")
    assert "No change" in run("take", season, target, "--yes").out
    changed(target, "A1", "note", "'=2+2")
    assert run("take", season, target, "--yes").status == 0
    assert 'note = "=2+2"' in season.read_text(encoding="utf-8")
