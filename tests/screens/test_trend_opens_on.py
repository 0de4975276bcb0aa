"""On which lot the trend opens: the one under the cursor, while it stands; else the one that is next to be decided."""

from __future__ import annotations

from datetime import timedelta

import pytest

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.screens.trend.view import first_trend
from tests.planning.farm import season_of
from tests.planning.trended_farm import FLOWERING, A, B, D, bags_of, trended_data

TODAY = FLOWERING + timedelta(days=53)
CUT = FLOWERING + timedelta(days=48)
LOTS = [{"id": "A1-east", "cohort": "A1"}, {"id": "A1-west", "cohort": "A1"}]


def _plan(*cut: str, lots: bool = False) -> Plan:
    """A1 and B1 have results, P1 none. cut: the lots and cohorts of which nothing is left."""
    data = trended_data(bags_of("A1", B), bags_of("B1", D, 50, FLOWERING + timedelta(days=14)))
    data["pass"] = [{"id": f"p-{name}", "date": CUT, "lot": name, "last": True} for name in cut]
    return make_plan(season_of(data | ({"lot": LOTS} if lots else {})), TODAY)


def _opens_on(plan: Plan, name: str, *, itself: bool = False) -> str:
    shown = first_trend(plan, name, itself)
    assert shown is not None
    return shown.lot


@pytest.mark.slow
@pytest.mark.parametrize("cohort", ["A1", "B1", "P1"])
def test_a_cohort_that_stands_is_shown_though_another_is_more_pressing(cohort: str) -> None:
    assert _opens_on(_plan(), cohort) == cohort


def test_from_the_season_a_cohort_that_is_cut_gives_way_to_the_one_with_results_that_stands() -> None:
    assert _opens_on(_plan("A1"), "A1") == "B1"


def test_of_several_that_stand_the_one_nearest_its_day_is_shown() -> None:
    data = trended_data(
        bags_of("A1", B), bags_of("B1", D, 50, FLOWERING + timedelta(days=14)), bags_of("P1", A, 80)
    )
    data["pass"] = [{"id": "p", "date": CUT, "lot": "A1", "last": True}]
    data["cohort"][1]["harvest_by"] = TODAY + timedelta(days=9)
    data["cohort"][2]["harvest_by"] = TODAY - timedelta(days=9)
    assert _opens_on(make_plan(season_of(data), TODAY), "A1") == "P1"


def test_from_its_own_page_a_cohort_that_is_cut_is_shown() -> None:
    assert _opens_on(_plan("A1"), "A1", itself=True) == "A1"


def test_a_cohort_that_is_cut_is_shown_where_nothing_with_results_stands() -> None:
    assert _opens_on(_plan("A1", "B1"), "A1") == "A1"


@pytest.mark.parametrize("itself", [False, True])
def test_of_a_cohort_the_lot_that_stands_is_shown(itself: bool) -> None:
    assert _opens_on(_plan("A1-east", lots=True), "A1", itself=itself) == "A1-west"


def test_a_lot_that_is_named_is_shown_though_it_is_cut() -> None:
    assert _opens_on(_plan("A1-east", lots=True), "A1-east", itself=True) == "A1-east"


def test_a_lot_that_is_not_there_shows_nothing() -> None:
    assert first_trend(_plan(), "A9") is None
