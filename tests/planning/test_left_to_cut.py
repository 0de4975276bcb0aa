"""A cohort of which a lot or a pass is left to cut: it stands and flowers, and nothing of it is told as harvested and drying."""

from datetime import date, timedelta
from functools import cache
from pathlib import Path

import pytest

from calendar_tui.planning.coming import coming
from calendar_tui.planning.laying_out.last_pass import stands_uncut
from calendar_tui.planning.occupancy import occupancy_of
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.today import work_of
from calendar_tui.planning.why.phases import phase_on, phases_on
from calendar_tui.season.reading import read_season
from tests.planning.cut_farm import TODAY, official, planned
from tests.season_data import data_of

EXAMPLE = Path(__file__).parents[2] / "seasons" / "two-rivers.toml"
DAY = date(2026, 12, 8)


@cache
def rivers(recorded: str = "") -> Plan:
    text = EXAMPLE.read_text(encoding="utf-8")
    flowering = "transplant = 2026-10-05, flowering = 2026-10-20"
    assert text.count(flowering) == 1
    season = read_season(data_of(text.replace(flowering, flowering + recorded))).season
    assert season is not None
    return make_plan(season, DAY)


def test_a_cohort_with_a_failed_lot_that_is_not_cut_stands_and_does_not_dry() -> None:
    plan = rivers()
    d0 = plan.timelines["D0"]
    assert d0.likely("harvest") < DAY
    assert stands_uncut(plan.season, "D0", DAY)
    assert phase_on(plan, d0, DAY) == "flower"
    assert phase_on(plan, d0, DAY + timedelta(days=1)) is None
    assert list(phases_on(plan, d0, [date(2026, 12, 2), date(2026, 12, 4), DAY])) == ["flower"] * 3
    assert "D0" in occupancy_of(plan, "F3", DAY).now
    assert coming(d0, DAY) is None


def test_once_its_harvest_is_recorded_it_dries() -> None:
    plan = rivers(", harvest = 2026-12-03")
    d0 = plan.timelines["D0"]
    assert not stands_uncut(plan.season, "D0", DAY)
    assert phase_on(plan, d0, DAY) == "drying"
    assert getattr(coming(d0, DAY), "stage", "") == "dried"


@pytest.mark.parametrize(("outcome", "stands"), [("failed", True), ("passed", False), ("", False)])
def test_a_lot_alone_whose_newest_sample_failed_stands_past_its_projected_harvest(
    outcome: str, stands: bool
) -> None:
    more = {"outcome": outcome} if outcome else {}
    plan = planned(official=[official(TODAY - timedelta(days=20), **more)])
    late = plan.timelines["A1"].likely("harvest") + timedelta(days=5)
    plan = planned(late, official=[official(TODAY - timedelta(days=20), **more)])
    assert stands_uncut(plan.season, "A1", late) == stands
    assert phase_on(plan, plan.timelines["A1"], late) == ("flower" if stands else "drying")


def test_work_of_one_trip_over_two_places_is_under_both() -> None:
    plan = rivers()
    assert [there.place for there in work_of(plan, plan.season.tasks, DAY)][-2:] == ["H1", "H3"]
    assert "F2, F3" in [there.place for there in work_of(plan, plan.season.tasks, DAY)]
    assert "no place" not in [there.place for there in work_of(plan, plan.season.tasks, DAY)]


def test_an_overdue_result_is_of_the_lot_that_its_bag_has() -> None:
    whats = [row.what for row in rivers().decisions]
    assert "D0-dam result of bag HKQ-AZR" in whats
