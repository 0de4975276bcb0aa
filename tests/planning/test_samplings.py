"""Bags and the laboratory's load go on to the last pass, as the work of cutting samples does."""

from datetime import timedelta

import pytest

from calendar_tui.planning.capacity.uses import sample_uses
from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.tasks.samplings import sampling_dates
from tests.planning.farm import TODAY, farm_data, season_of

CUT = {
    "id": "samples",
    "what": "Cut samples",
    "stage": "sampling",
    "repeat": "FREQ=WEEKLY",
    "until": "harvest",
    "shows": ["bags"],
}


def plan_with(*chores):
    return make_plan(season_of(farm_data() | {"chore": list(chores)}), TODAY)


@pytest.mark.parametrize("until", [0, 6, 20])
def test_samplings_are_as_many_as_the_tasks_that_cut_them(until):
    plan = plan_with(CUT | {"until_offset_d": until})
    timeline = plan.timelines["A1"]
    tasks = [m.new.date for m in refresh(plan).tasks if m.new.cohort == "A1"]
    assert list(sampling_dates(plan.season, timeline)) == tasks
    last = timeline.likely("harvest") + timedelta(days=until)
    assert 1 <= (last - tasks[-1]).days <= 7
    assert len(list(sample_uses(plan.season, timeline))) == len(tasks)


def test_without_such_a_chore_they_are_weekly_from_flowering_to_harvest():
    other = {k: v for k, v in CUT.items() if k != "shows"} | {"until_offset_d": 20}
    for chores in ((), (other,), (CUT | {"until_offset_d": 20, "active": False},)):
        plan = plan_with(*chores)
        timeline = plan.timelines["A1"]
        assert sampling_dates(plan.season, timeline) == timeline.stages["sampling"].dates
