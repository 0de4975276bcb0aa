"""A cohort is one lot unless the season has others of it; the rules that hold on a day judge it."""

from __future__ import annotations

from datetime import date

import pytest

from calendar_tui.season.lots import lot_named, lots_of, rules_for
from tests.planning.farm import farm_data, season_of

RULES = {"name": "here", "limit_percent": 0.3, "as_of": date(2026, 11, 28)}


def season(**more):
    return season_of(farm_data() | more)


def test_a_cohort_is_one_lot_by_itself():
    assert [lot.id for lot in lots_of(season())] == ["A1", "F1", "C1", "D1"]
    assert lot_named(season(), "A1").plants == 120


def test_a_cohort_may_be_several_lots():
    farm = season(lot=[{"id": "A1-east", "cohort": "A1"}, {"id": "A1-west", "cohort": "A1"}])
    assert [lot.id for lot in lots_of(farm)] == ["A1-east", "A1-west", "F1", "C1", "D1"]
    assert lot_named(farm, "A1") is None


@pytest.mark.parametrize(
    ("day", "rules"), [(date(2026, 11, 11), "old"), (date(2026, 11, 12), "new"), (date(2019, 1, 1), None)]
)
def test_the_newest_rules_that_hold_judge_a_lot(day, rules):
    profiles = [
        RULES | {"id": "old", "starts": date(2021, 1, 1)},
        RULES | {"id": "new", "starts": date(2026, 11, 12)},
        {"id": "blank", "name": "blank"},
    ]
    farm = season(profile=profiles)
    found = rules_for(farm, lots_of(farm)[0], day)
    assert (found and found.id) == rules


def test_a_lot_may_have_rules_of_its_own():
    profiles = [RULES | {"id": "us"}, RULES | {"id": "eu", "starts": date(2023, 1, 1)}]
    farm = season(profile=profiles, lot=[{"id": "A1-1", "cohort": "A1", "rules": "us"}])
    assert [rules_for(farm, lot, date(2027, 1, 1)).id for lot in lots_of(farm)[:2]] == ["us", "eu"]
