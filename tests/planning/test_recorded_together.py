"""Work that several cohorts have together and that records a stage: one tick records it of all of them."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.changes.slips import record_date, record_dates, tick_tasks
from calendar_tui.planning.changes.ticks import StageDay, Tick, open_cohorts, recorded_day, stage_to_record
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.reading import read_season
from calendar_tui.season.wording import full_day_text
from tests.trial_season import PLANTED, trial_data

TODAY = PLANTED + timedelta(days=1)
PLANT = {
    "id": "plant",
    "what": "Transplant",
    "stage": "transplant",
    "records": "transplant",
    "hours": 1.0,
    "per": "100 plants",
    "asks": "plants that stand",
}


def _plan(together: str) -> tuple[Plan, dict]:
    data = trial_data(54, tasks=False)
    data["cohort"] = [c for c in data["cohort"] if c["id"][1:4] in ("2H1", "2F1")]
    data["chore"] = [{**PLANT, "together": together}]
    plan = make_plan(read_season(data).season, TODAY)
    data = apply_edits(data, refresh(plan).change.edits)
    return make_plan(read_season(data).season, TODAY), data


@pytest.mark.parametrize(("together", "tasks"), [("place", 2), ("variety", 6), ("day", 1)])
def test_one_tick_records_the_stage_of_every_cohort(together: str, tasks: int) -> None:
    plan, data = _plan(together)
    assert len(plan.season.tasks) == tasks
    task = plan.season.tasks[0]
    assert len(task.about) == 12 // tasks
    assert stage_to_record(plan.season, task) == "transplant"
    proposal = tick_tasks(plan, [Tick(task, TODAY, "all stand")])
    after = read_season(apply_edits(data, proposal.change.edits)).season
    assert {c.id for c in after.cohorts.values() if c.recorded.get("transplant") == TODAY} == set(task.about)
    (done,) = [t for t in after.tasks if t.state == "done"]
    assert (done.id, done.done_on, done.fact) == (task.id, TODAY, "all stand")
    assert recorded_day(after, done) == TODAY
    assert after.tasks == proposal.plan.season.tasks


def test_hours_are_those_of_all_plants() -> None:
    plan, _ = _plan("place")
    assert [t.hours for t in plan.season.tasks] == [pytest.approx(6 * 24 / 100)] * 2


def test_the_work_stays_open_until_the_stage_is_recorded_of_all_of_them() -> None:
    plan, _ = _plan("place")
    task = plan.season.tasks[0]
    first, *rest = task.about
    after = record_date(plan, plan.season.cohorts[first], "transplant", TODAY).plan
    (left,) = [t for t in after.season.tasks if t.place == task.place and t.state == "open"]
    assert (left.id, left.about, left.hours) == (task.id, task.about, task.hours)
    assert open_cohorts(after.season, left) == tuple(rest)
    done = record_dates(after, [StageDay(name, "transplant", TODAY) for name in rest])
    assert done.change.what.count("ticked") == 1
    assert not [t for t in done.plan.season.tasks if t.place == task.place and t.state == "open"]


def test_those_that_are_recorded_already_keep_their_day() -> None:
    plan, _ = _plan("day")
    task = plan.season.tasks[0]
    name = task.about[-1]
    before = record_date(plan, plan.season.cohorts[name], "transplant", PLANTED).plan
    (left,) = [t for t in before.season.tasks if t.state == "open"]
    after = tick_tasks(before, [Tick(left, TODAY)]).plan.season
    assert after.cohorts[name].recorded["transplant"] == PLANTED
    assert sum(c.recorded.get("transplant") == TODAY for c in after.cohorts.values()) == 11


@pytest.mark.parametrize("chore", [{"together": "season"}, {"together": "place", "once": "first"}])
def test_what_is_done_once_for_many_dates_records_none_of_them(chore: dict) -> None:
    data = trial_data(6, tasks=False)
    data["chore"] = [{**PLANT, **chore}]
    (problem,) = read_season(data).problems
    assert "a stage is recorded for each cohort of a task" in problem.message


def test_a_date_that_cannot_be_for_one_refuses_all() -> None:
    plan, _ = _plan("day")
    from calendar_tui.season.refusal import Refusal

    with pytest.raises(Refusal, match="nothing saved"):
        tick_tasks(plan, [Tick(plan.season.tasks[0], date(2027, 6, 30))])


def test_a_record_in_place_of_another_is_questioned_and_the_same_again_is_not() -> None:
    plan, _ = _plan("day")
    first, second = plan.season.tasks[0].about[:2]
    before = record_date(plan, plan.season.cohorts[first], "transplant", PLANTED).plan
    again = record_dates(before, [StageDay(name, "transplant", TODAY) for name in (first, second)])
    replaced = [text for text in again.doubts if "replaces" in text]
    assert replaced == [
        f"{first} transplant is recorded on {full_day_text(PLANTED)} already; this date replaces that one"
    ]
    same = record_dates(before, [StageDay(name, "transplant", PLANTED) for name in (first, second)])
    assert not [text for text in same.doubts if "replaces" in text]
