"""The day to cut by command: both ends and their rules, as text and JSON, what if, and wrong words."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from sampled_season import sampled_season
from small_season import run

TODAY = "2027-04-12"
CUT = """
[[profile]]
id = "us"
name = "here"
limit_percent = 0.3
acid_factor = 0.877
uncertainty = "taken off"
harvest_within_d = 30
as_of = 2026-11-28
source = "a page"
"""
ROWS = """
sample = [
  { id = "26A1TA", date = 2027-03-17, cohort = "A1", laboratory = "lab", state = "sent" },
  { id = "K7Q2RY", date = 2027-03-24, cohort = "A1", laboratory = "lab", state = "sent" },
  { id = "A1T07Q", date = 2027-03-31, cohort = "A1", laboratory = "lab", state = "sent" },
]
result = [
  { id = "r1", date = 2027-03-20, sample = "26A1TA", found = { THC = "0.08", THCA = "0" } },
  { id = "r2", date = 2027-03-27, sample = "K7Q2RY", found = { THC = "0.14", THCA = "0" } },
  { id = "r3", date = 2027-04-03, sample = "A1T07Q", found = { THC = "0.20", THCA = "0" } },
]
official = [{ id = "o1", date = 2027-03-30, lot = "A1", state = "taken" }]
"""


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = sampled_season(tmp_path, CUT)
    path.write_text(path.read_text() + ROWS)
    assert run("check", path, today=TODAY).status == 0
    return path


def cut(season: Path, *words: str) -> str:
    ran = run("cut", season, *words, today=TODAY)
    assert ran.status == 0, ran.said
    return " ".join(ran.out.split())


def test_both_ends_stand_with_their_rules_and_the_profile_with_its_date(season: Path) -> None:
    text = cut(season, "A1")
    assert "earliest: Tue 30 Mar 2027: official sample taken 30 Mar 2027" in text
    assert "latest: Sun 4 Apr 2027: a new result of the top may be over 0.3 %" in text
    assert "known by the bag cut on 31 Mar 2027, provisional" in text
    assert "its latest day is 8 days past" in text
    assert "known today is the cut of 31 Mar 2027, 12 days ago" in text
    assert "here, as of 28 Nov 2026: check with your authority" in text
    assert "Official samples only by an authorised agent." in text


def test_as_json_one_lot_has_both_ends_and_all_lots_a_list(season: Path) -> None:
    one = json.loads(run("cut", season, "a1", "--json", today=TODAY).out)
    assert (one["earliest"], one["latest"]) == ("2027-03-30", "2027-04-04")
    assert one["earliest_rule"].startswith("official sample taken")
    assert one["latest_rule"].startswith("a new result of the top")
    assert one["conflict"] is None
    assert one["limit"]["provisional"] is True
    assert one["limit"]["newest_bag"] == "2027-03-31"
    assert one["ripeness"]["likely"]
    assert "check with your authority" in one["citation"]
    every = json.loads(run("cut", season, "--json", today=TODAY).out)
    assert {row["lot"] for row in every["lots"]} >= {"A1", "D1"}


def test_what_an_earlier_official_sample_would_change_is_told_in_days_and_chance(season: Path) -> None:
    text = cut(season, "A1", "--official", "2027-03-02")
    assert "if so: earliest Tue 2 Mar 2027: official sample, as tried; latest Thu 1 Apr 2027" in text
    assert "-3 d" in text
    assert re.search(r"on the last day \d+ % -> \d+ % \([+-]\d+ percentage points\)", " ".join(text.split()))
    row = json.loads(run("cut", season, "A1", "--official", "2027-03-02", "--json", today=TODAY).out)
    assert row["what_if"]["days"] == -3
    assert row["what_if"]["p_over_then"] < row["what_if"]["p_over"]
    assert row["latest"] == "2027-04-04"


def test_another_sample_tried_after_one_that_failed_tells_what_is_waited_for_and_which_day_holds_it_besides(
    season: Path,
) -> None:
    failed = '{ id = "o1", date = 2027-03-30, lot = "A1", state = "taken", outcome = "failed" }'
    season.write_text(
        season.read_text().replace('{ id = "o1", date = 2027-03-30, lot = "A1", state = "taken" }', failed)
    )
    text = cut(season, "A1", "--official", "2027-04-14")
    so = text[text.index("if so: earliest not known") :]
    assert "waits for what the authority allows: the official sample of Tue 30 Mar 2027 failed" in so
    assert "and not before Wed 14 Apr 2027: official sample, as tried" in so


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("A9",), "is not a lot of this season"),
        (("A1", "Z9"), '"Z9" is not a lot of this season'),
        (("A1", "--hands", "0"), '--hands "0" is no number of people'),
        (("A1", "--official", "soon"), "--official"),
    ],
)
def test_wrong_words_are_refused_with_what_would_be_right(
    season: Path, words: tuple[str, ...], said: str
) -> None:
    before = season.read_bytes()
    ran = run("cut", season, *words, today=TODAY)
    assert ran.status != 0
    assert said in ran.said
    assert season.read_bytes() == before


def test_why_a_harvest_is_on_its_day_names_the_limit(season: Path) -> None:
    ran = run("why", season, "A1", "harvest", today=TODAY)
    text = " ".join(ran.out.split())
    assert "limit 4 Apr: a new result of the top may be over 0.3 %" in text
    assert "; ripe " in text


def test_rules_with_a_limit_of_zero_have_no_day_on_which_it_is_reached(season: Path) -> None:
    assert run("set", season, "profile", "us", "limit", "0", "--yes", today=TODAY).status == 0
    assert "latest: Thu 29 Apr 2027: official sample taken 30 Mar 2027 + 30 d" in cut(season, "A1")
    assert run("trend", season, "A1", today=TODAY).status == 0


def test_several_lots_are_shown_by_their_names(season: Path) -> None:
    text = cut(season, "A1", "B1")
    assert "A1, pass 1" in text
    assert "B1, pass 1" in text
    assert [
        row["lot"] for row in json.loads(run("cut", season, "A1", "B1", "--json", today=TODAY).out)["lots"]
    ] == [
        "A1",
        "B1",
    ]
