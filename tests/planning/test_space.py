"""Plants that fit, and places that are too small. Counts to an acre are computed from 43,560 square feet and a foot of
0.3048 m exactly; the rest is worked out by hand from the figures given here."""

from datetime import date

import pytest

from calendar_tui.planning.plan import make_plan
from tests.planning.farm import TODAY, season_of
from tests.planning.one_cohort import data_of, only, two_in_h1, worked_out

FOOT_M = 0.3048

PER_ACRE = [
    (3, 3, 4840),
    (4, 4, 2722),
    (5, 4, 2178),
    (5, 5, 1742),
    (6, 3, 2420),
    (6, 4, 1815),
    (6, 6, 1210),
    (2.5, 2, 8712),
]


@pytest.mark.parametrize(("rows_ft", "in_row_ft", "plants"), PER_ACRE)
def test_plants_to_an_acre_at_the_spacings_of_the_trade(rows_ft, in_row_ft, plants):
    """The whole plants, so 2,722.5 and 2,178 and 1,742.4 are rounded down."""
    data = data_of(cohort={"spacing_m": [rows_ft * FOOT_M, in_row_ft * FOOT_M]})
    assert only(data, "per acre", acres=True).count == plants
    assert only(data, "per ha").count == int(10_000 / (rows_ft * in_row_ft * FOOT_M**2))


def test_plants_that_fit_against_those_wanted():
    """180 / 0.9 = 200; 120 x 0.9 = 108."""
    data = data_of(cohort={"plants": 120, "spacing_m": [1.5, 0.6]}, place={"area_m2": 180})
    fit, area = only(data, "fit"), only(data, "area")
    assert (fit.count, fit.how) == (200, "180 m2 of H1 / (1.5 m x 0.6 m) = 200 plants")
    assert (area.count, area.how) == (pytest.approx(108), "120 x 1.5 m x 0.6 m = 108 m2")
    assert worked_out(data).crowdings == ()


def test_more_plants_than_fit_are_told_with_what_is_over():
    data = data_of(cohort={"plants": 250, "spacing_m": [1.5, 0.6]}, place={"area_m2": 180})
    assert only(data, "fit").how.endswith("= 200 plants, 50 fewer than wanted")
    (crowded,) = worked_out(data).crowdings
    assert crowded.text.startswith("H1 is too small from 26 Nov to ")
    assert ": A1 225 m2 of 180 m2, 45 m2 too many; plant closer, plant fewer" in crowded.text


def test_a_place_that_is_just_full_is_not_too_small():
    """200 x 0.9 = 180; one plant more is 0.9 m2 over."""
    data = data_of(cohort={"plants": 200, "spacing_m": [1.5, 0.6]}, place={"area_m2": 180})
    assert worked_out(data).crowdings == ()
    data["cohort"][0]["plants"] = 201
    assert "A1 181 m2 of 180 m2, 0.9 m2 too many" in worked_out(data).crowdings[0].text


def test_cohorts_that_overlap_in_one_place_are_told_with_the_dates():
    data = two_in_h1()
    found = worked_out(data)
    (crowded,) = found.crowdings
    harvest = make_plan(season_of(data), TODAY).timelines["A1"].likely("harvest")
    assert (crowded.light, crowded.cohorts) == ("H1", ("A1", "A2"))
    assert crowded.first == date(2026, 12, 20)
    assert (harvest - crowded.last).days == 1
    assert "A1 108 m2 + A2 108 m2 = 216 m2 of 180 m2, 36 m2 too many" in crowded.text


def test_cohorts_one_after_the_other_are_not_too_many():
    data = two_in_h1()
    harvest = make_plan(season_of(data), TODAY).timelines["A1"].likely("harvest")
    data["cohort"][1]["planned"] |= {"transplant": harvest, "lights_off": harvest}
    assert worked_out(data).crowdings == ()
    data["cohort"][1]["planned"]["transplant"] = date.fromordinal(harvest.toordinal() - 1)
    (crowded,) = worked_out(data).crowdings
    assert crowded.first == crowded.last == date.fromordinal(harvest.toordinal() - 1)


def test_a_part_of_a_screened_place_has_its_share_of_the_room():
    """90 m2 each: 108 m2 are too many in one part, though 180 m2 would hold them."""
    data = data_of(
        cohort={"plants": 120, "spacing_m": [1.5, 0.6], "part": "west"},
        place={"area_m2": 180, "screened": ["east", "west"]},
    )
    assert only(data, "fit").count == 100
    assert worked_out(data).crowdings[0].light == "H1 west"
