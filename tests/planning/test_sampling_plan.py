"""The bags that sampling plans ask for: days, laboratory's days, lots, blocks, positions, up to the last pass; trips as tasks."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from calendar_tui.planning.capacity.uses import sample_uses
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.record_change import add_record, set_fields
from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.needs.by_week import week_uses
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.sampling.planned import bags_of_cohort, planned_bags, trips
from calendar_tui.planning.staggering.room import hours_of
from calendar_tui.season.edits import Edit, apply_edits
from tests.planning.farm import season_of
from tests.planning.sampled_farm import CUT, FLOWERING, PLAN, TODAY, sampled, sampled_data


def bags(plan, cohort="A1"):
    return bags_of_cohort(plan.season, plan.timelines[cohort])


def days(plan, cohort="A1"):
    return list(dict.fromkeys(bag.day for bag in bags(plan, cohort)))


def tasks(plan):
    return [move.new for move in refresh(plan).tasks if move.new is not None]


def test_bags_are_cut_weekly_on_the_weekday_of_the_plan_from_flowering_on():
    cut = days(sampled())
    assert cut[:3] == [date(2027, 3, 2), date(2027, 3, 9), date(2027, 3, 16)]
    assert {bag.position for bag in bags(sampled())} == {"top", "middle", "bottom"}
    assert all(bag.why == "" for bag in bags(sampled()))


def test_they_go_on_to_the_latest_day_of_the_harvest_and_no_further():
    plan = sampled()
    latest = plan.timelines["A1"].stages["harvest"].range.latest
    assert 0 <= (latest - days(plan)[-1]).days < 7


def test_the_last_pass_ends_them_be_it_before_or_after_the_harvest_that_was_projected():
    for last in (date(2027, 3, 23), date(2027, 6, 1)):
        plan = sampled(**{"pass": [{"id": "p1", "date": last, "lot": "A1", "last": True}]})
        assert 0 <= (last - days(plan)[-1]).days < 7
        assert days(plan, "B1") == days(sampled(), "B1")


def test_a_plan_from_a_date_begins_with_each_cohort_that_flowers_later():
    data = sampled_data({**PLAN, "from": date(2027, 2, 1)})
    later = make_plan(season_of(data), TODAY)
    assert days(later) == days(sampled())
    assert days(sampled({**PLAN, "from": date(2027, 3, 10)}))[0] == date(2027, 3, 16)


def test_a_first_pass_ends_nothing():
    plan = sampled(**{"pass": [{"id": "p1", "date": date(2027, 3, 23), "lot": "A1"}]})
    assert days(plan) == days(sampled())


def test_a_day_on_which_the_laboratory_takes_no_bags_is_moved_and_told():
    plan = sampled({**PLAN, "weekday": "fri"})
    first = bags(plan)[0]
    assert (first.meant, first.day) == (date(2027, 2, 26), date(2027, 3, 1))
    assert first.why == "moved from Fri 26 Feb: laboratory lab takes bags in on mon, tue, wed"


def test_a_day_without_a_crew_is_moved_too():
    plan = sampled(crew={"work_days": ["wed"]})
    first = bags(plan)[0]
    assert (first.day, first.why) == (date(2027, 3, 3), "moved from Tue 2 Mar: no working day")


@pytest.mark.parametrize(
    ("keys", "first"),
    [
        ({}, FLOWERING),
        ({"offset_d": 14}, FLOWERING + timedelta(days=14)),
        ({"from": date(2027, 3, 17), "weekday": "mon"}, date(2027, 3, 22)),
        ({"offset_d": -9}, date(2027, 2, 15)),
    ],
)
def test_the_first_bags_are_cut_from_the_stage_or_the_date_of_the_plan_on(keys, first):
    plan = {"id": "own", "laboratory": "lab", **keys}
    assert days(sampled(plan))[0] == first


def test_of_plans_with_other_intervals_no_day_comes_twice():
    cut = days(sampled({**PLAN, "every_d": 3}))
    assert cut == sorted(set(cut))


def two_lots():
    return {"lot": [{"id": "A1-n", "cohort": "A1", "blocks": ["1", "2"]}, {"id": "A1-s", "cohort": "A1"}]}


@pytest.mark.parametrize(
    ("keys", "units"),
    [
        ({}, {("A1-n", ""), ("A1-s", "")}),
        ({"by": "pooled"}, {("", "")}),
        ({"by": "block"}, {("A1-n", "1"), ("A1-n", "2"), ("A1-s", "")}),
        ({"by": "block", "blocks": ["2", "3"]}, {("A1-n", "2"), ("A1-s", "2"), ("A1-s", "3")}),
    ],
)
def test_a_bag_stands_for_a_lot_a_block_or_all_of_them(keys, units):
    plan = sampled({**PLAN, **keys, "positions": ["top"]}, **two_lots())
    assert {(bag.lot, bag.block) for bag in bags(plan)} == units
    assert {(bag.lot, bag.block) for bag in bags(plan, "B1")} <= {("", ""), ("", "2"), ("", "3")}


def test_each_lot_is_sampled_to_its_own_last_pass():
    plan = sampled(
        **two_lots(), **{"pass": [{"id": "p", "date": date(2027, 3, 9), "lot": "A1-n", "last": True}]}
    )
    assert max(bag.day for bag in bags(plan) if bag.lot == "A1-n") == date(2027, 3, 9)
    assert max(bag.day for bag in bags(plan) if bag.lot == "A1-s") > date(2027, 3, 30)


def test_a_bag_that_two_plans_ask_for_on_one_day_is_one():
    once, twice = sampled(), sampled(PLAN, {**PLAN, "id": "other", "positions": ["top", "side"]})
    assert len(bags(twice)) == len(bags(once)) * 4 // 3


def test_the_cohorts_of_one_day_are_one_trip_and_one_task():
    plan = sampled()
    of_march_2 = trips(planned_bags(plan.season, plan.timelines))[0]
    assert (of_march_2.cohorts, len(of_march_2.bags)) == (("A1", "B1"), 6)
    first = min(tasks(plan), key=lambda task: task.date)
    assert (first.date, first.about, first.place) == (date(2027, 3, 2), ("A1", "B1"), "")
    assert (first.hours, first.amount) == (0.5, "6 bags")
    assert len({task.date for task in tasks(plan)}) == len(tasks(plan))


def test_a_trip_to_one_place_is_work_of_that_place():
    plan = sampled({**PLAN, "cohorts": ["A1"]})
    assert {(t.place, t.about) for t in tasks(plan) if "A1" in t.about} == {("H1", ("A1",))}


def test_a_cohort_in_no_plan_keeps_its_weekly_tasks():
    plan = sampled({**PLAN, "cohorts": ["A1"]})
    own = [task for task in tasks(plan) if task.cohort == "B1"]
    assert own[0].date == FLOWERING
    assert own[0].amount == "3 bags"


def test_the_tasks_and_the_load_are_as_many_as_the_bags():
    plan = sampled(capacity={"samples_per_week": 5})
    assert sum(int(task.amount.split()[0]) for task in tasks(plan)) == len(bags(plan)) + len(bags(plan, "B1"))
    uses = [use for t in plan.timelines.values() for use in sample_uses(plan.season, t)]
    assert sum(use.amount for use in uses) == len(bags(plan)) + len(bags(plan, "B1"))
    week = next(w for w in week_uses(plan, {}, ("samples",)) if w.monday == date(2027, 3, 15))
    assert (week.amount, week.has, week.over) == (6, 5, 1)
    assert any("samples" in clash.text for clash in plan.clashes)


def saved(data, today=TODAY):
    """The data with the tasks of its plan saved."""
    plan = make_plan(season_of(data), today)
    return apply_edits(data, refresh(plan).change.edits)


def held(data):
    plan = make_plan(season_of(data), TODAY)
    assert not refresh(plan).tasks
    return HeldSeason(plan, data)


def test_a_plan_that_is_added_puts_the_tasks_of_its_cohorts_together():
    data = sampled_data()
    del data["sampling"]
    proposal = add_record(held(saved(data)), "sampling", "weekly", {"weekday": "tue", "laboratory": "lab"})
    coming = [t for t in proposal.plan.season.tasks if t.date > TODAY]
    assert {task.about for task in coming} == {("A1", "B1")}
    assert not refresh(proposal.plan).tasks


def test_a_plan_for_another_weekday_moves_the_trips():
    proposal = set_fields(held(saved(sampled_data())), "sampling", ("weekly",), {"weekday": "wed"})
    assert {task.date.weekday() for task in proposal.plan.season.tasks if task.date > TODAY} == {2}


def test_a_laboratory_that_takes_bags_on_other_days_moves_the_trips():
    proposal = set_fields(held(saved(sampled_data())), "laboratory", ("lab",), {"takes": "thu"})
    assert {task.date.weekday() for task in proposal.plan.season.tasks if task.date > TODAY} == {3}


def test_a_trip_that_is_done_stands_and_comes_for_no_cohort_again():
    data = saved(sampled_data())
    name = next(task["id"] for task in data["task"] if task["date"] == date(2027, 3, 9))
    data = apply_edits(data, [Edit("set", "task", (name,), ("state",), "done")])
    third = {**data["cohort"][1], "id": "E1"}
    again = make_plan(season_of(data | {"cohort": [*data["cohort"], third]}), TODAY)
    of_day = [t for t in (*again.season.tasks, *tasks(again)) if t.date == date(2027, 3, 9)]
    assert sorted(name for task in of_day for name in task.about) == ["A1", "B1", "E1"]


def test_without_a_chore_that_cuts_bags_a_plan_makes_no_task():
    plan = sampled(chore=[{k: v for k, v in CUT.items() if k != "shows"}])
    assert {task.cohort for task in tasks(plan)} == {"A1", "B1"}
    assert bags(plan)


def test_a_cohort_that_never_flowers_has_no_bags():
    data = sampled_data()
    data["variety"].append(
        {"id": "never", "response": "short-day", "critical_day": "05:00", "full_response_day": "04:00"}
    )
    data["cohort"][1]["variety"] = "never"
    data["cohort"][1]["recorded"].pop("flowering")
    plan = make_plan(season_of(data), TODAY)
    assert "flowering" not in plan.timelines["B1"].stages
    assert bags(plan, "B1") == ()
    assert bags(plan)


def test_a_trip_to_several_places_is_a_clash_where_one_of_them_is_closed_after_a_spray():
    spray = {"id": "s1", "date": TODAY, "place": "F1", "product": "Soap", "end": "08:00", "reentry": "24 h"}
    data = saved(sampled_data(spray=[spray]))
    plan = make_plan(season_of(data), TODAY)
    trip = next(task for task in plan.season.tasks if task.date == TODAY)
    assert (trip.place, trip.about) == ("", ("A1", "B1"))
    (clash,) = [clash for clash in plan.clashes if clash.kind == "closed place"]
    assert "F1 is closed" in clash.text
    assert "Cut samples" in clash.text


def test_a_cohort_that_is_only_proposed_is_sampled_by_a_plan_for_all():
    plan = sampled(crew={"hours_per_week": {"sampler": 8}})
    new = replace(plan.timelines["A1"].cohort, id="new")
    timeline = replace(plan.timelines["A1"], cohort=new)
    assert sum(use.amount for use in sample_uses(plan.season, timeline)) == len(bags(plan))
    assert sum(use.amount for use in hours_of(plan.season, timeline)) > 0
