"""Older forms of a season's data: what an upgrade edits, and what it leaves alone."""

from __future__ import annotations

import tomllib
from copy import deepcopy

import pytest

from calendar_tui.season.edits import Edit, outcome
from calendar_tui.season.reading import read_season
from calendar_tui.season.sameness import same
from calendar_tui.season.upgrades import (
    FORMAT,
    UPGRADES,
    form_heading,
    form_note,
    unwritten_form,
    upgrade_edits,
    upgrade_problems,
    upgraded,
)

OLD = tomllib.loads("""
format = 1
season = { name = "Two Rivers", first_day = 2026-09-15, last_day = 2027-05-15 }
site = { latitude = -34.3, longitude = -56.7, timezone = "America/Montevideo" }
[[place]]
id = "H1"
kind = "hoop house"
lamps = { method = "night-break", from = "22:00", to = "02:00", from_whom = "Ana" }
[[place]]
id = "F1"
kind = "field"
from = "the neighbour"
[[outage]]
place = "H1"
from = 2026-12-01
to = 2026-12-02
""")


def test_every_older_format_has_an_upgrade() -> None:
    assert sorted(UPGRADES) == list(range(1, FORMAT))


def test_the_clock_of_lamps_is_renamed_and_nothing_else() -> None:
    before = deepcopy(OLD)
    new = upgraded(OLD)
    assert same(OLD, before)
    assert new["format"] == FORMAT
    assert new["place"][0]["lamps"] == {
        "method": "night-break",
        "on": "22:00",
        "off": "02:00",
        "from_whom": "Ana",
    }
    for key in ("season", "site", "outage"):
        assert same(new[key], OLD[key])
    assert same(new["place"][1], OLD["place"][1])


def test_the_edits_taken_back_give_the_old_data() -> None:
    made = outcome(OLD, upgrade_edits(OLD))
    assert same(outcome(made.data, made.back).data, OLD)
    assert upgrade_edits(made.data) == ()


def test_an_old_season_reads_as_the_upgraded_one() -> None:
    assert read_season(OLD).problems == ()
    assert read_season(OLD).season == read_season(upgraded(OLD)).season
    lamps = read_season(OLD).season.places["H1"].lamps
    assert (f"{lamps.on:%H:%M}", f"{lamps.off:%H:%M}") == ("22:00", "02:00")


@pytest.mark.parametrize(
    "places",
    [
        5,
        [5],
        [{"lamps": {"from": "22:00"}}],
        [{"id": ["x"], "lamps": {"from": "22:00"}}],
        [{"id": "A", "lamps": {"from": "22:00"}}, {"id": "A"}],
        [{"id": "A", "lamps": "none"}],
    ],
    ids=["no list", "no records", "no id", "an id that is a list", "an id twice", "lamps that are text"],
)
def test_records_that_no_edit_can_name_are_left_to_be_told(places: object) -> None:
    data = {**OLD, "place": places}
    assert upgrade_edits(data) == tuple(
        Edit("set", "", (), ("format",), form) for form in range(2, FORMAT + 1)
    )
    assert read_season(data).problems


def test_a_key_of_ones_own_is_not_written_over() -> None:
    data = deepcopy(OLD)
    data["place"][0]["lamps"]["on"] = "a hook"
    (problem,) = upgrade_problems(data)
    assert problem.path == ("place", 0, "lamps", "on")
    assert upgraded(data)["place"][0]["lamps"]["on"] == "a hook"
    assert problem in read_season(data).problems


def test_the_old_names_in_a_new_file_are_told_with_the_new_ones() -> None:
    data = {**OLD, "format": FORMAT}
    told = [p.message for p in read_season(data).problems]
    assert '"from" is not a key of a lamps; did you mean "on"?' in told
    assert '"to" is not a key of a lamps; did you mean "off"?' in told


def test_a_newer_file_is_read_as_far_as_it_goes() -> None:
    data = {**upgraded(OLD), "format": 4, "weather_of_1990": [1, 2]}
    assert read_season(data).season is not None
    assert read_season(data).problems == ()
    assert read_season(data).task_problems == ()
    wrong = {**data, "site": {"lat": 1}}
    first, *more = read_season(wrong).problems
    assert first.message == "this file is format 4; this program writes 3; get a newer program"
    assert more


def test_only_the_form_of_the_program_is_saved() -> None:
    assert unwritten_form(upgraded(OLD)) == ()
    assert [p.path for p in unwritten_form(OLD)] == [("format",)]
    assert "calendar-tui upgrade" in unwritten_form(OLD)[0].message
    assert unwritten_form({**OLD, "format": 4})[0].message == (
        "this file is format 4; this program writes 3; get a newer program"
    )
    assert unwritten_form({**OLD, "format": 10**5000})


def test_what_is_said_of_each_form() -> None:
    assert form_note(upgraded(OLD)) == form_heading(upgraded(OLD)) == ""
    assert form_heading(OLD) == "format 1, upgraded in memory"
    assert form_heading({"format": 4}) == "format 4, read-only"
    assert form_note(OLD).endswith("It is read as format 3")
    assert form_note({"format": 4}).endswith("nothing is saved")


@pytest.mark.parametrize("form", [0, -1, True, "2", 2.0, None])
def test_what_is_no_format_is_a_problem_and_no_upgrade(form: object) -> None:
    data = {**OLD, "format": form}
    assert upgrade_edits(data) == ()
    assert any("write format = 3" in p.message for p in read_season(data).problems)
