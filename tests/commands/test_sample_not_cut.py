"""Planned bags that were not cut, left out by command: they have no id to be lost by."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from sampled_season import sampled_season
from small_season import run

from tests.season_data import data_of

# Two days after the trip of Tue 16 March.
TODAY = "2027-03-18"


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return sampled_season(tmp_path)


def sample(season: Path, *words: str, status: int = 0) -> str:
    ran = run("sample", season, *words, today=TODAY)
    assert ran.status == status, ran.said
    return " ".join(ran.said.split())


def lost(season: Path) -> list[tuple[str, str, str]]:
    found: list[dict[str, Any]] = data_of(season.read_text()).get("sample", [])
    assert {one["state"] for one in found} <= {"lost"}
    return [(one["cohort"], one["position"], str(one["date"])) for one in found]


def test_the_bags_of_a_cohort_that_were_not_cut_are_left_out_and_no_more_listed_to_cut(season: Path) -> None:
    assert "Tue 16 Mar: 6 bags of A1 D1, 6 to cut" in sample(season)
    told = sample(season, "A1", "not", "cut", "--yes")
    assert "3 bags not cut, left out: A1 top, A1 middle, A1 bottom" in told
    assert lost(season) == [("A1", part, "2027-03-16") for part in ("top", "middle", "bottom")]
    text = sample(season)
    assert "Tue 16 Mar: 6 bags of A1 D1, 3 to cut" in text
    assert "A1 top left out; middle left out; bottom left out" in text
    assert "A1" not in "".join(row["what"] for row in decided(season))


def decided(season: Path) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = json.loads(run("decide", season, "--json", today=TODAY).out)["decisions"]
    return [row for row in rows if row["kind"] == "bags"]


def test_one_position_is_left_out_on_the_day_of_its_trip(season: Path) -> None:
    sample(season, "A1", "D1", "not", "cut", "--positions", "Bottom", "--date", "9 mar", "--yes")
    assert lost(season) == [("A1", "bottom", "2027-03-09"), ("D1", "bottom", "2027-03-09")]


def test_a_whole_trip_is_left_out_but_for_bags_that_have_an_id(season: Path) -> None:
    assert (
        run("sample", season, "A1", "--date", "2027-03-16", "--positions", "top", "--yes", today=TODAY).status
        == 0
    )
    told = sample(season, "trip", "not", "cut", "--dry-run")
    assert "5 bags not cut, left out" in told
    assert "A1 top" not in told


def test_json_tells_which_bags_are_left_out(season: Path) -> None:
    sample(season, "A1", "not", "cut", "--positions", "top", "--yes")
    rows = json.loads(run("sample", season, "--json", today=TODAY).out)["week"]["bags"]
    assert [row["position"] for row in rows if row["left_out"]] == ["top"]
    assert [row["cohort"] for row in rows if row["left_out"]] == ["A1"]


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("A1", "not", "cut", "--date", "23 mar"), "is to come; its bags can still be cut"),
        (
            ("A1", "not", "cut", "--date", "2 feb"),
            "no bag of A1 without an id was planned around Tue 2 Feb 2027; near it is Tue 2 Mar",
        ),
        (("A1", "not", "cut", "--positions", "crown"), "no crown bag of A1 without an id was planned around"),
        (("A1", "not", "cut", "--plants", "5"), "--plants does not apply"),
        (("A1", "not"), '"not" is neither a cohort nor the id of a bag'),
        (
            ("A1", "not", "cut", "today"),
            "today is more than not cut takes; give the day of the trip with --date",
        ),
    ],
)
def test_what_cannot_be_left_out_is_refused_with_what_would_be_right(
    season: Path, words: tuple[str, ...], why: str
) -> None:
    before = season.read_bytes()
    told = sample(season, *words, "--yes", status=2)
    assert why in told
    assert season.read_bytes() == before
