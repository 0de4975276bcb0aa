"""Values of a field book typed: kept as they are, asked back, refused with what would be right, merged."""

from __future__ import annotations

import pytest
from observed_season import TODAY, observe, season, there
from small_season import run

from tests.season_data import data_of

__all__ = ["season"]


def test_a_value_is_saved_as_it_is_typed_with_its_day_and_who_looked(season):
    ran = observe(season, "k1-101", "height", "84.50", "--who", "Ana", "--yes")
    assert (ran.status, ran.err) == (0, "")
    assert "K1-101 height 20 Jan: 84.50 cm" in ran.out
    assert (
        '{ date = 2027-01-20, at = "K1-101", variable = "height", value = "84.50", who = "Ana" },'
        in season.read_text()
    )


def test_its_day_goes_by_the_flag_of_a_tick_too_and_the_help_says_so(season):
    for flag, day, value in (("--on", "2027-01-16", "70"), ("--date", "2027-01-17", "71")):
        ran = observe(season, "101", "height", value, flag, day, "--yes")
        assert (ran.status, ran.err) == (0, "")
    assert [row[0] for row in there(season)] == ["2027-01-16", "2027-01-17"]
    for command in ("observe", "field-book"):
        assert "also written --on" in " ".join(run(command, "--help").out.split())


def test_a_value_changed_is_shown_with_what_stood_there_and_one_change_takes_it_back(season):
    observe(season, "101", "height", "84.5", "--yes")
    ran = observe(season, "101", "height", "86 cm", "--yes")
    assert "84.5 cm -> 86 cm" in ran.out
    assert there(season) == [("2027-01-20", "K1-101", "height", "86")]
    run("undo", season, "--yes", today=TODAY)
    assert there(season) == [("2027-01-20", "K1-101", "height", "84.5")]


def test_a_dot_is_not_looked_and_missing_takes_a_value_out_and_neither_is_zero(season):
    observe(season, "101", "height", "0", "--yes")
    assert there(season)[0][3] == "0"
    observe(season, "101", "height", ".", "--yes")
    assert there(season) == [("2027-01-20", "K1-101", "height", "not looked")]
    assert "value" not in data_of(season.read_text())["observation"][0]
    assert "-> missing" in observe(season, "101", "height", "missing", "--yes").out
    assert there(season) == []


def test_a_value_out_of_range_is_asked_back(season):
    ran = observe(season, "101", "height", "840", typed="n\n")
    assert "K1-101 height: 840 cm is over 400 cm; is that right?" in ran.out
    assert "Save all the same? [y/N]" in ran.out + ran.err
    assert there(season) == []


def test_a_share_that_falls_is_asked_back_and_kept_beside_what_stands_there_once_confirmed(season):
    observe(season, "101", "flowers", "80", "--date", "2027-01-16", "--yes")
    ran = observe(season, "101", "flowers", "20", typed="n\n")
    assert "K1-101 flowers: 20 % falls from 80 % on 16 Jan; is that right?" in ran.out
    assert len(there(season)) == 1
    observe(season, "101", "flowers", "20", "--yes")
    assert [row[3] for row in there(season)] == ["80", "20"]


def test_a_point_without_a_nought_before_it_gets_one(season):
    observe(season, "101", "height", ".5", "--yes")
    observe(season, "102", "height", "<.05", "--yes")
    assert [row[3] for row in there(season)] == ["0.5", "<0.05"]


def test_more_than_were_planted_is_asked_back(season):
    ran = observe(season, "101", "stand", "40", typed="n\n")
    assert "K1-101 stand: 40 is over the 36 planted; is that right?" in ran.out
    assert there(season) == []


@pytest.mark.parametrize(
    ("words", "wrong"),
    [
        (("K1-101", "height", "8.4", "m"), 'height is in cm, and "8.4 m" is in m; write it in cm'),
        (("K1-101", "height", "tall"), 'K1-101 height: "tall" is no number'),
        (("K1-101", "hight", "8"), 'did you mean "height"?'),
        (("K1-g", "height", "8"), "plot K1-g is a guard, which is never measured"),
        (
            ("K1-202", "height", "8"),
            "plot K1-202 is lost from Fri 15 Jan 2027 on (deer), and nothing of it counts",
        ),
        (
            ("K9-101", "height", "8"),
            '"K9-101" is neither a plot nor a cohort of this season; did you mean "K2-101"?',
        ),
        (("K1-101", "stem", "8"), "stem is of each plant; name the plant behind K1-101, such as K1-101 1"),
        (("K1-101", "flowers", "120"), '"120" is no share; a share is from 0 to 100 %'),
        (("K1-101", "flowers", "11/10"), '"11 of 10" is no share'),
        (("K1-101", "height", "1,200"), "1,200 may be 1200 or 1.200; write it so"),
        (
            ("K1-101", "0", "stem", "8"),
            'at is "K1-101 0"; write a plot or cohort, and a plant behind a space',
        ),
        (("K1-101", "37", "stem", "8"), "K1-101 has 36 plants, and there is no plant 37"),
        (
            ("K1-101", "height", "8", "--date", "2026-08-31"),
            "Mon 31 Aug 2026 is before the season begins, Tue 1 Sep 2026",
        ),
        (("K1-101", "height"), "give a plot or cohort, a variable and its value"),
        (("K1-101", "height", "8", "--date", "2027-01-21"), "--date 2027-01-21 is after today, 2027-01-20"),
    ],
)
def test_what_cannot_be_is_refused_with_what_would_be_right(season, words, wrong):
    before = season.read_text()
    ran = observe(season, *words, "--yes")
    assert ran.status != 0
    assert wrong in ran.err
    assert season.read_text() == before


def test_a_comma_before_the_decimals_is_a_point(season):
    observe(season, "101", "height", "84,5", "--yes")
    assert there(season)[0][3] == "84.5"


def test_what_was_measured_before_a_plot_was_lost_is_taken(season):
    assert observe(season, "K1-202", "height", "60", "--date", "2027-01-14", "--yes").status == 0


def test_what_two_people_observed_apart_comes_together(season, tmp_path):
    ours, theirs = tmp_path / "ours.toml", tmp_path / "theirs.toml"
    for side in (ours, theirs):
        side.write_bytes(season.read_bytes())
    observe(ours, "101", "height", "84", "--yes")
    observe(ours, "102", "height", "80", "--yes")
    observe(theirs, "102", "stand", "33", "--yes")
    assert run("merge", season, ours, theirs, today=TODAY).status == 0
    assert {row[1:] for row in there(ours)} == {
        ("K1-101", "height", "84"),
        ("K1-102", "height", "80"),
        ("K1-102", "stand", "33"),
    }


def test_a_value_that_two_people_recorded_otherwise_is_to_be_settled(season, tmp_path):
    ours, theirs = tmp_path / "ours.toml", tmp_path / "theirs.toml"
    for side in (ours, theirs):
        side.write_bytes(season.read_bytes())
    observe(ours, "101", "height", "84", "--yes")
    observe(theirs, "101", "height", "48", "--yes")
    ran = run("merge", season, ours, theirs, today=TODAY)
    assert ran.status == 1
    assert "K1-101 height" in ran.out + ran.err


def test_a_value_by_hand_that_cannot_be_is_found_by_check_with_its_line(season):
    season.write_text(
        season.read_text()
        + 'observation = [\n  { date = 2027-01-10, at = "K1-g", variable = "height", value = "8" },\n]\n',
        encoding="utf-8",
    )
    ran = run("check", season, today=TODAY)
    assert ran.status == 1
    assert "plot K1-g is a guard, which is never measured" in ran.out


def test_what_was_observed_keeps_its_plot_and_its_variable_and_is_named(season):
    observe(season, "101", "height", "84", "--yes")
    for kind, name in (("plot", "K1-101"), ("variable", "height")):
        ran = run("remove", season, kind, name, "--yes", today=TODAY)
        assert ran.status != 0
        assert f"2027-01-20 K1-101 height names {name}" in ran.err or "chore measure names height" in ran.err


def test_the_share_that_passes_a_half_offers_the_record_at_once(season):
    observe(season, "101", "flowers", "3/10", "--date", "2027-01-10", "--yes")
    ran = observe(season, "101", "flowers", "7/10", "--date", "2027-01-16", "--yes")
    assert "to record it: record B1 flowering 2027-01-13" in " ".join(ran.out.split())
