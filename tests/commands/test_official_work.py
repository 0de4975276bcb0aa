"""A step of an official sample ticks the task that it is the work of, once it is recorded of every lot of the task."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from sampled_season import sampled_season
from small_season import run

from tests.season_data import data_of

TODAY = "2027-04-12"
WORK = """
[[chore]]
id = "book-agent"
what = "Book the authorised sampling agent"
stage = "flowering"
offset_d = 3

[[chore]]
id = "official-sample"
what = "Official sample, cut by the authorised agent"
stage = "flowering"
offset_d = 21
needed_for = "harvest"
asks = "agent, number of the sample"

[[chore]]
id = "official-result"
what = "Result of the official sample"
stage = "flowering"
offset_d = 28
asks = "result, measurement uncertainty, number of the report"

[[task]]
id = "book"
date = 2027-04-01
what = "Book the authorised sampling agent"
chore = "book-agent"
cohort = "A1"

[[task]]
id = "offi"
date = 2027-04-10
what = "Official sample, cut by the authorised agent"
chore = "official-sample"
cohort = "A1"

[[task]]
id = "resu"
date = 2027-04-20
what = "Result of the official sample"
chore = "official-result"
cohort = "A1"
"""
LOTS = """
[[lot]]
id = "A1-east"
cohort = "A1"

[[lot]]
id = "A1-west"
cohort = "A1"
"""


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return sampled_season(tmp_path, WORK)


def step(season: Path, *words: str, today: str = TODAY) -> str:
    ran = run("official", season, *words, "--yes", today=today)
    assert ran.status == 0, ran.said
    return " ".join(ran.out.split())


def task(season: Path, name: str) -> dict[str, Any]:
    (found,) = [one for one in data_of(season.read_text())["task"] if one["id"] == name]
    return dict(found)


def state(season: Path, name: str) -> str:
    return str(task(season, name).get("state", "open"))


def test_each_step_ticks_its_own_work_and_writes_down_what_it_asks_for(season: Path) -> None:
    assert "ticks" not in step(season, "A1", "asked", "2027-04-14")
    assert "ticks book: Book the authorised sampling agent" in step(season, "A1", "booked", "2027-04-12")
    assert str(task(season, "book")["done_on"]) == TODAY
    assert "ticks offi: Official sample" in step(season, "A1", "taken", "--who", "agent North")
    assert (state(season, "offi"), task(season, "offi")["fact"]) == ("done", "agent North")
    assert state(season, "resu") == "open"
    said = step(season, "A1", "passed", "--total", "0.26", "--uncertainty", "0.03", today="2027-04-19")
    assert "ticks resu: Result of the official sample" in said
    assert (state(season, "resu"), str(task(season, "resu")["done_on"])) == ("done", "2027-04-19")
    assert task(season, "resu")["fact"] == "passed, total 0.26 % +- 0.03 %"


def test_a_sample_that_is_taken_needs_no_booking_any_more(season: Path) -> None:
    step(season, "A1", "taken", "2027-04-11", "--who", "agent North")
    assert {name: state(season, name) for name in ("book", "offi", "resu")} == {
        "book": "done",
        "offi": "done",
        "resu": "open",
    }
    assert str(task(season, "offi")["done_on"]) == "2027-04-11"


def test_work_of_several_lots_is_done_with_the_last_of_them(tmp_path: Path) -> None:
    season = sampled_season(tmp_path, WORK + LOTS)
    assert "ticks" not in step(season, "A1-east", "taken", "--who", "agent North")
    assert state(season, "offi") == "open"
    assert "ticks offi" in step(season, "A1-west", "taken", "--who", "agent North")
    assert state(season, "offi") == "done"


def test_one_undo_takes_the_step_and_its_ticks_back(season: Path) -> None:
    step(season, "A1", "taken", "--who", "agent North")
    assert run("undo", season, "--yes", today=TODAY).status == 0
    assert state(season, "offi") == "open"
    assert "official" not in data_of(season.read_text())


def test_work_that_is_done_already_is_left_as_it_is(season: Path) -> None:
    assert run("done", season, "offi", "--on", "2027-04-10", "--fact", "number 7", today=TODAY).status == 0
    assert "ticks offi" not in step(season, "A1", "taken", "--who", "agent North")
    assert (str(task(season, "offi")["done_on"]), task(season, "offi")["fact"]) == ("2027-04-10", "number 7")


def test_a_sample_that_is_recorded_as_taken_is_no_clash_though_its_task_is_open(season: Path) -> None:
    late = "2027-04-20"
    assert "harvest must not come before" in run("dates", season, "A1", today=late).out
    step(season, "A1", "taken", "2027-04-11", "--who", "agent North", today=late)
    assert run("reopen", season, "offi", today=late).status == 0
    assert "harvest must not come before" not in run("dates", season, "A1", today=late).out
