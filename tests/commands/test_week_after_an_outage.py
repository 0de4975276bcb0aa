"""After a failure of lamps the week asks for a look at the tips, until a record or a look settles it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_season import run

# A day of these nights counts in part or whole; lights off is two months later.
NIGHTS = ("H1", "outage", "2027-03-10", "2027-03-17")
TODAY = "2027-03-18"
LINE = "A1: look at the tips from "


@pytest.fixture
def dark(season: Path) -> Path:
    text = season.read_text().replace("lights_off = 2027-02-10", "lights_off = 2027-05-20")
    season.write_text(text.replace("inductive_days = [7, 8, 10]", "inductive_days = 8"))
    assert run("record", season, *NIGHTS, "--yes", today=TODAY).status == 0
    return season


def asked(season: Path, *more: str, today: str = TODAY) -> list[str]:
    ran = run("week", season, *more, today=today)
    assert ran.status == 0, ran.said
    return [line for line in ran.out.splitlines() if "look at the tips" in line]


def test_the_week_asks_for_a_look_under_its_heading_on_screen_and_paper(dark: Path) -> None:
    for form in ((), ("--print",)):
        lines = run("week", dark, *form, today=TODAY).out.splitlines()
        assert lines[1].startswith(LINE)
        assert lines[2] == "  (H1 dark 10 Mar to 17 Mar). Record induced, or that it is not there yet"


def test_json_has_it_with_its_futures(dark: Path) -> None:
    (look,) = json.loads(run("week", dark, "--json", today=TODAY).out)["looks"]
    assert (look["cohort"], look["place"], look["from"], look["to"]) == (
        "A1",
        "H1",
        "2027-03-10",
        "2027-03-17",
    )
    assert look["from"] <= look["look_from"] <= look["to"]
    assert 5 <= look["futures"] < look["of"] == 50


def test_only_those_asked_for_are_shown(dark: Path) -> None:
    assert len(asked(dark, "--cohort", "A1")) == len(asked(dark, "--place", "H1")) == 1
    assert asked(dark, "--cohort", "B1") == asked(dark, "--place", "F1") == []


def test_a_look_without_it_and_a_record_of_it_each_settle_the_question(dark: Path) -> None:
    before = dark.read_bytes()
    later = "2027-03-30"
    assert len(asked(dark, today=later)) == 1
    assert run("record", dark, "A1", "induced", "--not-yet", "2027-03-29", "--yes", today=later).status == 0
    assert asked(dark, today=later) == []
    dark.write_bytes(before)
    assert run("record", dark, "A1", "induced", "2027-03-20", "--yes", today=later).status == 0
    assert asked(dark, today=later) == []


def test_a_failure_long_past_or_still_to_come_in_the_week_shown_is_not_asked_about(dark: Path) -> None:
    assert asked(dark, today="2027-05-18") == asked(dark, today="2027-03-09") == []


def test_one_night_asks_for_no_look(season: Path) -> None:
    assert run("record", season, *NIGHTS[:3], "--yes", today=TODAY).status == 0
    assert asked(season) == []


def test_a_file_with_a_problem_has_its_week_all_the_same(dark: Path) -> None:
    dark.write_text(dark.read_text().replace("plants = 120", 'plants = "many"'))
    ran = run("week", dark, today=TODAY)
    assert ran.status == 0
    assert asked(dark) == []


def test_once_lights_off_has_brought_flowering_anyway_no_look_is_asked_for(dark: Path) -> None:
    dark.write_text(dark.read_text().replace("lights_off = 2027-05-20", "lights_off = 2027-03-25"))
    assert len(asked(dark, today="2027-03-20")) == 1
    assert asked(dark, today="2027-05-10") == []
