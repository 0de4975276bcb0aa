"""Noting that a stage is not there yet, and when it was first seen."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_season import run

from tests.season_data import data_of

LATE = "2027-03-01"


def cohort(season: Path) -> dict[str, object]:
    return next(c for c in data_of(season.read_text())["cohort"] if c["id"] == "A1")


def test_not_yet_is_kept_narrows_the_range_and_is_undone_to_the_byte(season: Path) -> None:
    before = season.read_bytes()
    ran = run("record", season, "A1", "induced", "2027-02-26", "--not-yet", "--yes", today=LATE)
    assert ran.status == 0, ran.said
    assert "Saved: A1 induced not yet on Fri 26 Feb 2027" in ran.out
    assert cohort(season)["not_yet"]["induced"].isoformat() == "2027-02-26"
    dates = run("dates", season, "A1", today=LATE).out
    assert "not yet on 26 Feb" in " ".join(dates.split())
    assert run("undo", season, today=LATE).status == 0
    assert season.read_bytes() == before


def test_a_record_keeps_the_last_look_and_the_forecast_beside_it(season: Path) -> None:
    words = ("A1", "induced", "2027-02-26", "--last-looked", "2027-02-19", "--yes")
    ran = run("record", season, *words, today=LATE)
    assert ran.status == 0, ran.said
    now = cohort(season)
    assert now["recorded"]["induced"].isoformat() == "2027-02-26"
    assert now["not_yet"]["induced"].isoformat() == "2027-02-19"
    early, likely, late = now["forecast"]["induced"]
    assert early < likely < late
    rows = json.loads(run("dates", season, "A1", "--json", today=LATE).out)["dates"]
    row = next(row for row in rows if row["stage"] == "induced")
    assert row["not_yet"] == "2027-02-19"
    assert row["forecast"] == [day.isoformat() for day in (early, likely, late)]
    assert "induced = [" in season.read_text()
    assert run("check", season, today=LATE).status == 0


def test_two_cohorts_are_noted_in_one_change(season: Path) -> None:
    ran = run("record", season, "--place", "H1", "induced", "2027-02-26", "--not-yet", "--yes", today=LATE)
    assert ran.status == 0, ran.said
    assert run("undo", season, today=LATE).status == 0


@pytest.mark.parametrize(
    ("words", "text"),
    [
        (("A1", "transplant", "2027-02-26", "--not-yet"), "transplant is not looked for; not_yet may hold"),
        (("A1", "induced", "2027-03-05", "--not-yet"), "after today"),
        (("A1", "induced", "2027-02-26", "--not-yet", "--fact", "3"), "--fact does not apply"),
        (("A1", "induced", "2027-02-26", "--not-yet", "--lights-off", "hold"), "--lights-off does not apply"),
        (
            ("A1", "induced", "2027-02-19", "--last-looked", "2027-02-26"),
            "the look must be before 19 Feb 2027",
        ),
        (("H1", "outage", "2027-02-19", "--not-yet"), "--not-yet does not apply to an outage"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_written(
    season: Path, words: tuple[str, ...], text: str
) -> None:
    before = season.read_bytes()
    ran = run("record", season, *words, "--yes", today=LATE)
    assert ran.status != 0
    assert text in ran.said
    assert season.read_bytes() == before


@pytest.mark.parametrize(
    ("line", "text"),
    [
        ("not_yet = { harvest = 2027-01-02 }", "harvest is not looked for"),
        ("not_yet = { induced = 2028-01-02 }", "outside the season"),
        ("forecast = { induced = [2027-01-02, 2027-01-01, 2027-02-02] }", "in rising order"),
        ("forecast = { induced = 2027-01-02 }", "in rising order"),
    ],
)
def test_a_look_or_forecast_by_hand_that_cannot_be_is_named_with_its_line(
    season: Path, line: str, text: str
) -> None:
    lines = season.read_text().splitlines()
    at = next(
        n
        for n, here in enumerate(lines)
        if here.startswith('variety = "') and lines[n - 1].startswith("id = ")
    )
    lines.insert(at + 1, line)
    season.write_text("\n".join(lines) + "\n")
    ran = run("check", season, today=LATE)
    assert ran.status == 1
    assert f"{season.name}:{at + 2}: " in ran.said
    assert text in ran.said
