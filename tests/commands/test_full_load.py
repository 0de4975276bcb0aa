"""The command load: every kind by week against capacity, and what is behind over-full weeks."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from small_season import run

from calendar_tui.planning.capacity.hours import loads
from calendar_tui.season.reading import read_season
from tests.season_data import data_of

TIGHT = """
[capacity]
dryer_kg = 10
dryer_d = 9
samples_per_week = 3
[crew]
hours_per_week = { crew = 10, scout = 0.5 }
[[task]]
id = "big1"
date = 2026-11-18
what = "Lay drip lines"
cohorts = ["A1", "B1"]
place = "F1"
who = "crew"
hours = 12.5
"""


def _tight(season: Path) -> Path:
    text = season.read_text().replace(
        'response = "short-day"', 'response = "short-day"\nfresh_kg_per_plant = 1.0'
    )
    season.write_text(text + TIGHT)
    return season


def _rows(season: Path, *words: str) -> dict[str, Any]:
    ran = run("load", season, "--json", *words)
    assert ran.status == 0, ran.said
    found: dict[str, Any] = json.loads(ran.out)
    return found


def test_hours_are_those_of_the_saved_tasks(season: Path) -> None:
    own = {
        (row["week"], row["of"]): (row["amount"], row["has"], row["over"])
        for row in _rows(_tight(season))["weeks"]
        if row["kind"] == "hours"
    }
    found = read_season(data_of(season.read_text())).season
    assert found is not None
    assert own == {
        (load.monday.isoformat(), load.role): (load.hours, load.has_h, load.over_h) for load in loads(found)
    }
    assert len(own) > 20


def test_an_over_full_week_names_what_is_behind_it(season: Path) -> None:
    rows = _rows(_tight(season))["weeks"]
    (crew,) = (row for row in rows if row["iso_week"] == "2026-W47" and row["of"] == "crew")
    assert crew["over"] > 0
    assert crew["tasks"][0]["id"] == "big1"
    assert {cohort["id"] for cohort in crew["cohorts"]} >= {"A1", "B1"}
    dryer = [row for row in rows if row["kind"] == "dryer" and row["over"]]
    for row in dryer:
        assert sum(cohort["amount"] for cohort in row["cohorts"]) == pytest.approx(row["amount"])
    assert dryer
    assert crew["day"] is None
    assert all(row["week"] <= row["day"] for row in dryer)
    text = run("load", season).out
    (head,) = (line for line in text.splitlines() if line.startswith("2026-W47  Mon 16 Nov  hours crew"))
    assert head.endswith("12.5 of 10 h !, 2.5 h over")
    assert "12.5 h  big1  Wed 18 Nov" in text
    assert f" kg  {dryer[0]['cohorts'][0]['id']}  " in text


def test_only_the_weeks_asked_for_from_this_one_on(season: Path) -> None:
    rows = _rows(season, "--weeks", "2", "--today", "2026-11-11")["weeks"]
    assert {row["iso_week"] for row in rows} == {"2026-W46", "2026-W47"}
    for wrong in ("0", "x", "-1", "531"):
        ran = run("load", season, f"--weeks={wrong}")
        assert (ran.status, "whole number from 1 to 530" in ran.err) == (2, True)


def test_without_capacities_nothing_is_over_full_and_that_is_told(season: Path) -> None:
    found = _rows(season)
    assert not [row for row in found["weeks"] if row["over"] and row["kind"] not in ("room", "hours")]
    assert "no yield is assumed" in found["missing"]["dryer"][0]
    assert any("samples per week" in said for said in found["missing"]["samples"])
    text = run("load", season).out
    assert "Missing figures" in text
    assert "no yield is assumed" in " ".join(text.split())


@pytest.mark.parametrize("width", [30, 80])
def test_lines_are_no_wider_than_asked(season: Path, width: int) -> None:
    lines = run("load", _tight(season), "--width", str(width)).out.splitlines()
    assert max(map(len, lines)) <= width


def test_over_full_weeks_tell_in_how_many_futures(season: Path) -> None:
    found = _rows(_tight(season))["weeks"]
    ranged = [row for row in found if row["kind"] in ("hours", "dryer", "trays", "room", "samples")]
    for row in ranged:
        seen = row["futures"]
        assert seen["low"] <= row["amount"] <= seen["high"]
        assert 0 <= seen["over"] <= seen["of"] == 50
    assert all(row["futures"] is None for row in found if row["kind"] in ("lamps", "circuits"))
    over = [row for row in ranged if row["kind"] == "dryer" and row["over"]]
    unlikely = [row for row in ranged if not row["over"] and row["futures"]["over"] >= 10]
    assert over
    assert unlikely
    lines = run("load", season).out.splitlines()
    may_be = lines.index("Weeks that may be over-full")
    told = [line for line in lines[may_be:] if "over-full in" in line]
    assert len(told) == len(unlikely)
    text = " ".join(" ".join(lines).split())
    for row in (*over, *unlikely):
        assert f"over-full in {row['futures']['over']} of 50 futures" in text


def test_the_load_is_the_same_at_every_run(season: Path) -> None:
    assert run("load", _tight(season), "--json") == run("load", season, "--json")
