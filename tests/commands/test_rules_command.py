"""Rules by command: which hold for which lot today, and one of the program taken in as the season's own."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_season import PLAIN, run

TODAY = "2026-12-08"


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "season.toml"
    path.write_text(PLAIN)
    return path


def rules(season: Path, *words: str, today: str = TODAY) -> str:
    ran = run("rules", season, *words, today=today)
    assert ran.status == 0, ran.said
    return " ".join(ran.out.split())


def test_a_season_without_rules_lists_what_comes_with_the_program_and_how_to_take_it_in(season: Path) -> None:
    text = rules(season)
    assert "none yet; take one in by its name, such as: calendar-tui rules us" in text
    assert "A1 (amber): no rules; the season has no profile" in text
    assert "us: United States, 7 CFR 990, as of 28 Nov 2026: check with your authority" in text
    assert "no legal, electrical, medical or agronomic advice" in text


def test_rules_taken_in_are_one_change_and_the_seasons_own(season: Path) -> None:
    before = season.read_bytes()
    assert "check with your authority" in rules(season, "US", "--dry-run")
    assert season.read_bytes() == before
    rules(season, "us", "--yes")
    assert "A1 (amber): United States, 7 CFR 990, as of 28 Nov 2026: check with your authority" in rules(
        season
    )
    assert "the newest that holds, since 12 Nov 2026" in rules(season)
    assert run("set", season, "profile", "us", "limit", "0.2", "--yes", today=TODAY).status == 0
    assert "limit of total THC: 0.2 %" in rules(season, "us")
    assert run("undo", season, "2", "--yes", today=TODAY).status == 0
    assert season.read_bytes() == before


def test_before_their_first_day_no_rules_hold_and_the_day_is_named(season: Path) -> None:
    rules(season, "us", "--yes")
    assert "A1 (amber): no rules; us begins on 12 Nov 2026" in rules(season, today="2026-11-09")


def test_a_blank_profile_is_never_shown_as_zero(season: Path) -> None:
    rules(season, "blank", "--yes")
    text = rules(season)
    assert "limit of total THC: not set" in text
    assert "A1 (amber): no rules; no profile of the season has a limit" in text


def test_as_json_every_lot_has_its_standing(season: Path) -> None:
    rules(season, "eu", "--yes")
    told = json.loads(run("rules", season, "--json", today=TODAY).out)
    assert {lot["rules"] for lot in told["lots"]} == {"eu"}
    assert all("check with your authority" in lot["citation"] for lot in told["lots"])
    assert told["profiles"][0]["limit"] == "0.3"
    assert told["profiles"][0]["acid_factor"] is None
    assert [one["in_season"] for one in told["shipped"]] == [False, True, False]


def test_a_profile_that_is_nowhere_is_refused_with_those_that_are(season: Path) -> None:
    ran = run("rules", season, "uk", "--yes", today=TODAY)
    assert ran.status != 0
    assert "neither a profile of this season nor one that comes with the program" in ran.said
    assert "us" in ran.said


def test_two_lots_of_a_cohort_never_share_a_block(season: Path) -> None:
    assert (
        run("add", season, "lot", "A1-e", "cohort", "A1", "blocks", "1,2", "--yes", today=TODAY).status == 0
    )
    ran = run("add", season, "lot", "A1-w", "cohort", "A1", "blocks", "2,3", "--yes", today=TODAY)
    assert ran.status != 0
    assert "block 2 of A1 is in lot A1-e already" in " ".join(ran.said.split())
    assert run("add", season, "lot", "A1-w", "cohort", "A1", "blocks", "3", "--yes", today=TODAY).status == 0
    ran = run("add", season, "lot", "both", "cohort", "A1,D1", "--yes", today=TODAY)
    assert ran.status != 0


def test_one_profile_is_shown_or_taken_in_at_a_time(season: Path) -> None:
    ran = run("rules", season, "us", "eu", "--yes", today=TODAY)
    assert ran.status == 2
    assert "not understood: eu" in ran.said
    assert season.read_text() == PLAIN
