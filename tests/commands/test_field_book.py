"""The field book by command: what is due, missing, risen and counted; variables to start from."""

from __future__ import annotations

import json

from observed_season import TODAY, book, observe, season
from small_season import PLAIN, run

from tests.season_data import data_of

__all__ = ["season"]


def test_the_book_has_what_is_due_this_week_and_what_is_missing_from_before(season):
    observe(season, "101", "height", "84.5", "--yes")
    observe(season, "102", "height", "84.5", "--date", "2027-01-12", "--yes")
    out = book(season).out
    due, late = out.split("Missing from before")
    assert "18 Jan  height (cm): 1 of 3; missing K1-102, K1-201" in due
    assert "18 Jan  stand: 0 of 3; missing K1-101, K1-102, K1-201" in due
    assert "11 Jan  height (cm): 1 of 4; missing K1-101, K1-201, K1-202" in late.replace("\n    ", " ")


def test_shares_of_two_days_give_the_day_of_a_half_to_be_recorded(season):
    observe(season, "101", "flowers", "3/10", "--date", "2027-01-10", "--yes")
    observe(season, "101", "flowers", "7/10", "--date", "2027-01-16", "--yes")
    out = book(season).out
    assert (
        "B1 flowering: 13 Jan, 9 Jan to 17 Jan (95 %), from 10 Jan 3 of 10 and 16 Jan 7 of 10"
        in out.replace("\n    ", " ")
    )
    assert "calendar-tui record B1 flowering 2027-01-13" in out


def test_plots_of_a_cohort_are_taken_together_and_a_lost_one_is_not(season):
    observe(season, "101", "flowers", "1/10", "--date", "2027-01-14", "--yes")
    observe(season, "102", "flowers", "3/10", "--date", "2027-01-14", "--yes")
    (rise,) = json.loads(book(season, "--json").out)["rises"]
    assert rise["shares"] == [{"date": "2027-01-14", "share": 0.2, "of": 20}]
    assert (rise["half"], rise["not_yet"]) == (None, "2027-01-14")
    assert rise["offer"] == {"cohort": "B1", "stage": "flowering", "date": "2027-01-14", "not_yet": True}
    assert "calendar-tui record B1 flowering 2027-01-14 --not-yet" in book(season).out


def test_a_count_stands_beside_what_was_planned(season):
    observe(season, "101", "stand", "31", "--yes")
    assert "K1-101 stand: 31 of 36 on 20 Jan" in book(season).out
    (row,) = json.loads(book(season, "--json").out)["counts"]
    assert row == {"at": "K1-101", "variable": "stand", "planned": 36, "recorded": 31.0, "date": "2027-01-20"}


def test_a_season_without_variables_says_how_one_is_added(tmp_path):
    path = tmp_path / "near-fields.toml"
    path.write_text(PLAIN, encoding="utf-8")
    out = book(path).out.replace("\n  ", " ")
    assert "calendar-tui field-book --start height,stand" in out
    assert "calendar-tui add variable height unit cm" in out


def test_variables_that_come_with_the_program_are_taken_in_with_unit_and_definition(season):
    assert (
        "flowering-share (%): plants flowering; plants with open pistils"
        in book(season, "--start", "list").out
    )
    assert book(season, "--start", "width,flowering-share", "--yes").status == 0
    taken = {one["id"]: one for one in data_of(season.read_text())["variable"]}
    assert taken["width"]["unit"] == "cm"
    assert taken["flowering-share"]["stage"] == "flowering"
    assert taken["flowering-share"]["definition"]
    assert "height is a variable of this season already" in book(season, "--start", "height", "--yes").err
    assert 'did you mean "width"?' in book(season, "--start", "widht", "--yes").err


def test_all_of_them_read_and_stand_once(season):
    assert book(season, "--start", "all", "--yes").status == 0
    assert run("check", season, today=TODAY).status == 0
    assert "has every variable" in book(season, "--start", "all", "--yes").err


def test_a_trial_that_was_observed_is_not_drawn_anew(season):
    observe(season, "101", "height", "84", "--yes")
    run("set", season, "plot", "K1-202", "lost", "none", "why", "none", "--yes", today=TODAY)
    ran = run("trial", season, "K1", "--draw", "--anew", "--yes", today=TODAY)
    assert (
        "plot K1-101 was observed on Wed 20 Jan 2027, so trial K1 is under way and is not drawn anew"
        in ran.err
    )
