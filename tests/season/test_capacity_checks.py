"""Capacities and drafts: what they say, and what would be right where they cannot hold."""

from datetime import date

import pytest

from calendar_tui.season.capacity import Drafted
from calendar_tui.season.reading import read_season
from tests.planning.farm import farm_data, season_of


def problem(**tables):
    """The one problem of the farm with these tables."""
    (found,) = read_season(farm_data() | tables).problems
    return found


WRONG = [
    ({"dryer_kg": 400, "dryer_m2": 40, "dryer_kg_per_m2": 8}, "dryer_m2", "leave all but one of them out"),
    (
        {"dryer_kg": 400, "dryer_trays": 40, "dryer_kg_per_tray": 1.5},
        "dryer_trays",
        "by dryer_kg and by dryer_trays",
    ),
    (
        {"dryer_trays": 40},
        "dryer_trays",
        "needs dryer_kg_per_tray beside it, such as dryer_kg_per_tray = 1.5",
    ),
    (
        {"dryer_kg_per_tray": 1.5},
        "dryer_kg_per_tray",
        "needs dryer_trays beside it, such as dryer_trays = 40",
    ),
    ({"dryer_m2": 40}, "dryer_m2", "needs dryer_kg_per_m2 beside it"),
    ({"dryer_kg_per_m2": 8}, "dryer_kg_per_m2", "needs dryer_m2 beside it"),
    ({"samples_per_week": -1}, "samples_per_week", "a whole number from 0"),
    ({"harvest_to": date(2028, 1, 1)}, "harvest_to", "outside the season"),
    ({"planting_from": date(2027, 2, 1), "planting_to": date(2027, 1, 1)}, "planting_to", "in order"),
    ({"samples_a_week": 1}, "samples_a_week", 'did you mean "samples_per_week"?'),
]


@pytest.mark.parametrize(("table", "key", "says"), WRONG)
def test_a_capacity_that_cannot_hold_says_what_would_be_right(table, key, says):
    found = problem(capacity=table)
    assert found.path == ("capacity", key)
    assert says in found.message


def test_the_dryer_holds_by_weight_by_area_or_by_trays():
    by_area = season_of(farm_data() | {"capacity": {"dryer_m2": 40, "dryer_kg_per_m2": 8}})
    assert by_area.capacity.dryer_holds_kg == 320
    by_trays = season_of(farm_data() | {"capacity": {"dryer_trays": 40, "dryer_kg_per_tray": 1.5}})
    assert by_trays.capacity.dryer_holds_kg == 60
    assert season_of(farm_data() | {"capacity": {"dryer_kg": 0}}).capacity.dryer_holds_kg == 0
    assert season_of(farm_data() | {"capacity": {}}).capacity.dryer_holds_kg is None


def test_frost_dates_stand_in_order_and_near_the_season():
    site = farm_data()["site"]
    spring, autumn = date(2026, 9, 20), date(2027, 4, 25)
    assert season_of(farm_data() | {"site": site | {"last_frost": spring, "first_frost": autumn}})
    turned = problem(site=site | {"last_frost": autumn, "first_frost": spring})
    assert "first_frost 2026-09-20 is not after last_frost" in turned.message
    assert "is it the right year?" in problem(site=site | {"last_frost": date(2020, 9, 20)}).message


def test_only_a_nursery_has_benches_for_trays():
    data = farm_data()
    data["place"][0]["trays"] = 40
    assert season_of(data).places["N1"].trays == 40
    data["place"][1]["trays"] = 40
    (found,) = read_season(data).problems
    assert found.path == ("place", 1, "trays")


DRAFT = {"id": "even", "variety": "amber", "start": "seed", "nursery": "N1"}
ROW = {"place": "H1", "plants": 80, "seeding": date(2026, 11, 16), "lights_off": date(2027, 1, 3)}


def test_a_draft_reads_as_written_and_nothing_rests_on_it():
    season = season_of(farm_data() | {"draft": [DRAFT | {"cohorts": [ROW]}]})
    dates = {"seeding": date(2026, 11, 16), "lights_off": date(2027, 1, 3)}
    assert season.drafts["even"].cohorts == (Drafted(place="H1", plants=80, dates=dates),)
    assert season.cohorts == season_of(farm_data()).cohorts


@pytest.mark.parametrize(
    ("cohorts", "says"),
    [
        ([], "write a list of"),
        ([{"place": "H1"}], "without place or dates"),
        ([{"seeding": date(2026, 11, 16)}], "without place or dates"),
        ([ROW | {"harvest": date(2027, 3, 1)}], 'cohort of which "harvest" is "harvest"; it must be one of'),
        ([ROW | {"plants": 0}], "a whole number from 1"),
        (["H1"], "write a list of"),
    ],
)
def test_a_draft_that_does_not_read_says_what_would_be_right(cohorts, says):
    found = problem(draft=[DRAFT | {"cohorts": cohorts}])
    assert found.path == ("draft", 0, "cohorts")
    assert says in found.message
