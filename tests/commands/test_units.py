"""US units and the clock of 12 hours: what people are shown and type; files, JSON and CSV stay metric and of 24 hours."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from page_reading import Page
from small_season import run

from calendar_tui.storage.finding import example_files
from tests.example_days import EXAMPLE_DAYS
from tests.metric_lines import HOUR_24, METRIC, QUOTED
from tests.season_data import data_of

EXAMPLES = pytest.mark.parametrize("path", example_files(), ids=lambda path: path.stem)
CREW = ("week", "week --days 60", "week --print", "today", "lamps", "quantities", "sample", "spray", "decide")
PLANNER = (
    "load",
    "cohort",
    "pass",
    "batch",
    "dates",
    "trial",
    "field-book",
    "variety",
    "review",
    "cut",
    "check",
)


def shown_in_us(folder: Path, path: Path) -> Path:
    own = folder / f"us-{path.name}"
    own.write_text(path.read_text().replace("[season]\n", '[season]\nunits = "us"\nclock = 12\n', 1))
    return own


@pytest.mark.quick(1)
@EXAMPLES
def test_no_line_that_people_are_shown_has_a_metric_unit(tmp_path: Path, path: Path) -> None:
    own = shown_in_us(tmp_path, path)
    for words in (*CREW, *PLANNER):
        name, *rest = words.split()
        ran = run(name, own, *rest, today=EXAMPLE_DAYS[path.stem].isoformat())
        assert ran.status == 0, (words, ran.said)
        lines = [line for line in ran.out.splitlines() if not QUOTED.search(line)]
        assert [line for line in lines if METRIC.search(line)] == [], words
        if words in CREW:
            assert [line for line in lines if HOUR_24.search(line)] == [], words


@EXAMPLES
def test_the_printed_week_and_the_wall_have_none_either(tmp_path: Path, path: Path) -> None:
    own = shown_in_us(tmp_path, path)
    for flag in ("--sheet", "--wall"):
        page = tmp_path / f"{flag[2:]}.html"
        assert run("export", own, flag, page, today=EXAMPLE_DAYS[path.stem].isoformat()).status == 0
        texts = [text for text in Page(page).texts if "{" not in text and not QUOTED.search(text)]
        assert [text for text in texts if METRIC.search(text) or HOUR_24.search(text)] == []


def test_a_metric_line_would_be_found() -> None:
    for text in ("180 m2", "at 1.5 m", "12.5 kg fresh", "air 33 C", "3 L"):
        assert METRIC.search(text)
    assert not METRIC.search("under 91 F (33 C) basic, 420 C d, 3 mg/g, 12 months")


@pytest.mark.quick(1)
@EXAMPLES
def test_json_and_csv_are_the_same_in_any_units_and_language(tmp_path: Path, path: Path) -> None:
    own = shown_in_us(tmp_path, path)
    own.write_text(own.read_text().replace("[season]\n", '[season]\nlanguage = "es"\n', 1))
    for words in (
        "week --json",
        "decide --json",
        "dates --json",
        "sample --json",
        "spray --json",
        "cut --json",
        "field-book --json",
        "quantities --json",
        "quantities --csv",
        "load --json",
        "lamps --nights --csv",
        "today --json",
        "pass --json",
    ):
        name, *rest = words.split()
        theirs, ours = (
            run(name, file, *rest, today=EXAMPLE_DAYS[path.stem].isoformat()).out for file in (path, own)
        )
        assert ours == theirs, words


def test_tables_that_are_exported_are_as_files_have_them(tmp_path: Path) -> None:
    path = next(path for path in example_files() if path.stem == "two-rivers")
    own = shown_in_us(tmp_path, path)
    for flag in ("--table", "--dates-table", "--lamps-table"):
        ours, theirs = tmp_path / "ours.csv", tmp_path / "theirs.csv"
        for file, target in ((own, ours), (path, theirs)):
            assert run("export", file, flag, target, "--yes", today="2026-12-08").status == 0
        assert ours.read_bytes() == theirs.read_bytes(), flag


def test_a_bare_number_is_in_us_units_and_told_in_metric_before_it_is_saved(
    tmp_path: Path, season: Path
) -> None:
    own = shown_in_us(tmp_path, season)
    before = data_of(own.read_text())
    ran = run("set", own, "cohort", "A1", "spacing", "5x2", "--yes")
    assert ran.status == 0, ran.said
    assert "note: spacing: 5x2 ft is 1.524x0.6096 m" in ran.out
    after = data_of(own.read_text())
    assert after["cohort"][0]["spacing_m"] == [1.524, 0.6096]
    after["cohort"][0]["spacing_m"] = before["cohort"][0]["spacing_m"]
    assert after["cohort"] == before["cohort"]
    history = own.with_suffix(".history.jsonl").read_text()
    assert "1.524x0.6096 m" in history
    assert " ft" not in history
    assert "spacing" in run("set", own, "cohort", "A1").out
    assert "5x2 ft (1.524x0.6096 m)" in run("set", own, "cohort", "A1").out


def test_a_unit_may_be_typed_where_metric_is_shown(season: Path) -> None:
    ran = run("set", season, "place", "H1", "area", "0.25 acres", "--yes")
    assert "area: 0.25 acres is 1011.714106 m2" in ran.out
    place = next(p for p in data_of(season.read_text())["place"] if p["id"] == "H1")
    assert place["area_m2"] == 1011.714106
    assert "it must be from" in run("set", season, "place", "H1", "area", "900000 acres", "--yes").err


def test_a_weight_may_be_in_pounds(tmp_path: Path) -> None:
    path = next(path for path in example_files() if path.stem == "two-rivers")
    own = tmp_path / "own.toml"
    own.write_bytes(path.read_bytes())
    for typed in ("top 27.5 lb", "top 27.5lb"):
        words = ("D0-road", *typed.split(), "why", "ripe", "--dry-run", "--json")
        ran = run("pass", own, *words, today="2026-12-08")
        assert ran.status == 0, ran.said
        assert "12.47379" in ran.out


def test_ones_own_setting_goes_before_the_seasons(tmp_path: Path, season: Path) -> None:
    assert "1938 sq ft" in run("set", shown_in_us(tmp_path, season), "place", "H1").out
    assert run("settings", "units", "us", today=None).status == 0
    assert run("settings", "clock", "12", today=None).status == 0
    try:
        assert "1938 sq ft (180 m2)" in run("set", season, "place", "H1").out
        assert " on  7:" in run("lamps", season, "H1").out
        assert run("settings", "units", "metric", today=None).status == 0
        assert "180 m2" in run("set", shown_in_us(tmp_path, season), "place", "H1").out
        assert "sq ft" not in run("set", shown_in_us(tmp_path, season), "place", "H1").out
    finally:
        for name in ("units", "clock"):
            run("settings", name, "--unset", today=None)


def test_units_that_there_are_not_are_refused_with_those_that_are(season: Path) -> None:
    assert "it must be one of" in run("settings", "units", "imperial", today=None).err
    season.write_text(
        season.read_text().replace("[season]\n", '[season]\nunits = "imperial"\nclock = 13\n', 1)
    )
    said = run("check", season).out
    assert "metric, us" in said
    assert "24, 12" in said


def test_times_may_be_typed_by_the_clock_of_12_hours(season: Path) -> None:
    ran = run("set", season, "chore", "scout", "time", "7:30 am", "--yes")
    assert ran.status == 0, ran.said
    chores = {chore["id"]: chore for chore in data_of(season.read_text())["chore"]}
    assert chores["scout"]["time"] == "07:30"


def test_json_of_a_command_after_another_in_us_units_is_metric(tmp_path: Path, season: Path) -> None:
    own = shown_in_us(tmp_path, season)
    run("quantities", own)
    rows = json.loads(run("quantities", own, "--json").out)["rows"]
    assert {"m2"} <= {row.get("unit") for row in rows}
    assert "sq ft" not in run("quantities", season).out
