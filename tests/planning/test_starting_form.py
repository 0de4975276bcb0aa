"""The form for a new season: every answer read as it stands, and what is wrong beside it."""

from __future__ import annotations

from datetime import date

import pytest

from calendar_tui.planning.starting.answers import Reader
from calendar_tui.planning.starting.form import (
    filled,
    meaning,
    names_of,
    proposed_file,
    read_form,
    rows_of,
)

READER = Reader(lambda zone: date(2026, 12, 8), "")
TYPED = {
    "name": "Hill Farm",
    "position": "44.5, -123.2",
    "time zone": "America/Los_Angeles",
    "first day": "1 mar",
    "last day": "15 dec",
    "place 1": "H1 hoop house 180 m2 lamps 16 h",
    "place 2": "",
    "variety 1": "amber",
    "cohort 1": "",
}


def test_a_whole_form_gives_the_values_of_a_season() -> None:
    form = filled(TYPED, READER)
    assert form.wrong == ""
    assert (form.values["latitude"], form.values["first_day"]) == (44.5, date(2027, 3, 1))
    assert [r["id"] for r in form.values["records"]["place"]] == ["H1"]
    assert form.values["records"]["cohort"] == []
    assert {row: note.text for row, note in form.notes.items()} == {
        "name": "",
        "position": "44.5 N 123.2 W, 21 Jun 15 h 33",
        "time zone": "of the position",
        "first day": "Mon 1 Mar 2027",
        "last day": "Wed 15 Dec 2027, 289 days later",
        "place 1": "hoop house, 180 m2, lamps 16 h",
        "variety 1": "type oil-unknown, short-day",
    }


@pytest.mark.parametrize(
    ("row", "typed", "why"),
    [
        ("name", "", "name is empty; write the name of the season"),
        ("position", "44.5 N", "position has no longitude yet; write both"),
        (
            "time zone",
            "Asia/Shanghai",
            "longitude -123.2 is 8 h from the clock of Asia/Shanghai; did you mean 123.2?",
        ),
        ("time zone", "America/Los_Angles", 'did you mean "America/Los_Angeles"?'),
        ("last day", "2027-03-20", "last day is 19 days after first day; a new season needs 120 to 800"),
        ("place 1", "H1 hop house", '"hop house" is not a kind of place; did you mean "hoop house"?'),
        ("place 2", "h1 field", "there is a place H1 already"),
        ("cohort 1", "A1 ambr H1 seed 20 mar", 'did you mean "amber"?'),
    ],
)
def test_what_is_wrong_stands_beside_its_row_and_the_others_stay(row: str, typed: str, why: str) -> None:
    form = filled({**TYPED, row: typed}, READER)
    assert form.wrong == row
    assert why in form.notes[row].text
    assert [r for r, note in form.notes.items() if note.wrong] == [row]


def test_a_place_is_not_lost_while_a_date_above_it_is_wrong() -> None:
    form = filled({**TYPED, "first day": "soon"}, READER)
    assert form.notes["place 1"].text == "read once the dates above are right"
    assert filled(TYPED, READER).notes["place 1"].wrong is False


def test_another_zone_than_that_of_the_position_is_taken_and_told() -> None:
    form = filled({**TYPED, "time zone": "America/Boise"}, READER)
    assert form.notes["time zone"] == ("the position is in America/Los_Angeles", False)


def test_the_zone_is_proposed_once_the_position_is_whole() -> None:
    assert "time zone" not in read_form({"position": "44.5"}, READER)[1]
    assert read_form({"position": "44.5 N 123.2 W"}, READER)[1]["time zone"] == "America/Los_Angeles"
    assert "time zone" not in read_form({"position": "10 N 30 W"}, READER)[1]


def test_a_form_has_one_more_row_of_each_kind_than_is_filled() -> None:
    assert list(rows_of(TYPED)) == [
        *("name", "position", "time zone", "first day", "last day"),
        *("place 1", "place 2", "variety 1", "variety 2", "cohort 1", "file"),
    ]


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("Hill Farm 2027", "hill-farm-2027.toml"),
        ("", "season.toml"),
        ("../x", "x.toml"),
        ("Ñandú", "ñandú.toml"),
    ],
)
def test_a_file_is_proposed_from_the_name(name: str, file: str) -> None:
    assert proposed_file(name) == file


def test_the_hint_of_a_cohort_names_what_the_season_has() -> None:
    form = filled({**TYPED, "variety 1": "fern day-neutral"}, READER)
    assert "A1 fern H1 100 plants, seed 15 mar" in meaning("cohort 1", form, READER)
    assert "A1 amber H1" in meaning("cohort 1", filled({}, READER), READER)


def test_the_hint_of_a_cohort_names_lights_off_where_its_place_has_lamps() -> None:
    form = filled(TYPED, READER)
    assert "lights off where there are lamps" in meaning("cohort 1", form, READER)
    assert meaning("cohort 1", form, READER).endswith("A1 amber H1 100 plants, seed 15 mar, lights off +42.")
    line = meaning("cohort 1", form, READER).rpartition(": ")[2].rstrip(".")
    assert not filled({**TYPED, "cohort 1": line}, READER).notes["cohort 1"].wrong


@pytest.mark.parametrize(
    ("line", "place", "variety", "told"),
    [
        ("A1 amber H1 seed 20 mar", "H1 hoop house lamps 16 h", "amber", True),
        ("A1 amber H1 seed 20 mar, lights off +40", "H1 hoop house lamps 16 h", "amber", False),
        ("A1 amber H1 seed 20 mar", "H1 field", "amber", False),
        ("A1 fern H1 seed 20 mar", "H1 hoop house lamps 16 h", "fern day-neutral", False),
    ],
)
def test_a_cohort_under_lamps_without_lights_off_is_told_that_it_grows_on_natural_days(
    line: str, place: str, variety: str, told: bool
) -> None:
    form = filled({**TYPED, "place 1": place, "variety 1": variety, "cohort 1": line}, READER)
    note = form.notes["cohort 1"]
    assert not note.wrong
    assert note.text.startswith("no lights off: natural days, without the lamps of H1; ") is told


def test_kinds_of_place_and_types_complete_what_is_typed_behind_a_name() -> None:
    form = filled(TYPED, READER)
    assert names_of("place 2", "H2", form) == ()
    assert "H2 hoop house" in names_of("place 2", "H2 h", form)
    assert "fern oil-zhang" in names_of("variety 2", "fern oil-z", form)
    assert names_of("time zone", "", form)[0] == "America/Los_Angeles"
    assert "Europe/Rome" in names_of("time zone", "", form)
    assert names_of("name", "Hill F", form) == ()


def test_a_position_at_sea_is_told_so_that_its_signs_are_looked_at() -> None:
    form = filled({**TYPED, "position": "44.5 S 123.2 E", "time zone": ""}, READER)
    assert form.notes["position"] == ("44.5 S 123.2 E, at sea: are N, S, E, W right?", False)


def test_the_length_of_the_calendar_stands_beside_its_last_day() -> None:
    form = filled({**TYPED, "first day": "15 dec", "last day": "1 mar"}, READER)
    assert form.notes["last day"].text == "Wed 1 Mar 2028, 442 days later"


def test_why_no_zone_is_proposed_is_told_in_its_row() -> None:
    form = filled({**TYPED, "position": "44.5 S 123.2 E", "time zone": ""}, READER)
    assert meaning("time zone", form, READER).startswith("None is proposed, as the position lies at sea")
    assert meaning("time zone", filled(TYPED, READER), READER).startswith("The farm's clock.")


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("1 dec", date(2026, 12, 1)),
        ("9 oct", date(2026, 10, 9)),
        ("8 oct", date(2027, 10, 8)),
        ("9 dec", date(2026, 12, 9)),
    ],
)
def test_a_first_day_of_the_last_weeks_is_not_taken_for_next_years(typed: str, first: date) -> None:
    """A file made on 8 December, when the work has begun: no year is left out."""
    assert filled({**TYPED, "first day": typed}, READER).values["first_day"] == first
