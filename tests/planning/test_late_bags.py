"""Bags that are cut days after their trip: they are the late ones, no row waits for them any more, and the trip is ticked."""

from __future__ import annotations

from datetime import date, timedelta

from calendar_tui.planning.changes.bags import Cutting, bags_of_cohorts, new_bag, record_bags
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.trip_cut import bags_of_tasks, cut_bags_of_tasks
from calendar_tui.planning.deciding.decision import BAGS
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.sampling.bag_states import bag_states
from calendar_tui.planning.sampling.planned import planned_bags
from tests.planning.farm import season_of
from tests.planning.sampled_farm import PLAN, TODAY, sampled, sampled_data
from tests.planning.test_deciding import day, rows

IDS = {"26A1TA": "top", "K7Q2RY": "middle", "A1T07Q": "bottom"}
TRIP = {"id": "trip", "date": TODAY, "what": "Cut samples", "chore": "samples", "cohorts": ["A1"], "n": 1}


def cut(on: date, cohort: str = "A1"):
    return [{"id": name, "date": on, "cohort": cohort, "position": part} for name, part in IDS.items()]


def test_bags_cut_in_the_days_before_the_next_trip_leave_none_overdue():
    """Five days late, and two before the next trip, for which they stand."""
    assert [row.about for row in rows(BAGS, today=day(5), sample=cut(day(5)))] == ["B1"]
    lost = [bag | {"state": "lost"} for bag in cut(day(5))]
    assert [row.about for row in rows(BAGS, today=day(5), sample=lost)] == ["A1", "B1"]


def test_a_bag_cut_before_its_trip_or_only_planned_leaves_the_missed_one_overdue():
    before = cut(day(-5))
    assert [row.about for row in rows(BAGS, today=day(5), sample=before)] == ["A1", "B1"]
    planned = [bag | {"state": "planned"} for bag in cut(day(7))]
    assert [row.about for row in rows(BAGS, today=day(5), sample=planned)] == ["A1", "B1"]


def test_a_bag_that_is_late_and_near_no_other_trip_is_that_of_its_trip():
    every_fortnight = PLAN | {"every_d": 14}
    trips = sorted({bag.day for bag in _planned(every_fortnight)})
    late = trips[0] + timedelta(days=7)
    plan = sampled(every_fortnight, sample=cut(late))
    states = bag_states(plan.season, planned_bags(plan.season, plan.timelines))
    there = [(one.bag.day, one.bag.cohort) for one in states if one.sample is not None]
    assert there == [(trips[0], "A1")] * 3


def _planned(*plans):
    plan = sampled(*plans)
    return planned_bags(plan.season, plan.timelines)


def held_at(today: date, **more) -> HeldSeason:
    data = sampled_data(task=[dict(TRIP)], **more)
    return HeldSeason(make_plan(season_of(data), today), data)


def ticked(proposal) -> set[str]:
    edits = proposal.change.edits
    return {e.ident[0] for e in edits if e.kind == "task" and e.field == ("state",) and e.value == "done"}


def test_the_bags_of_a_trip_recorded_days_later_tick_its_task():
    held = held_at(day(5))
    of_trip = [new_bag(bag) for bag in _planned() if bag.day == TODAY and bag.cohort == "A1"]
    proposal, _ = record_bags(held, of_trip, Cutting(day(5)))
    assert ticked(proposal) == {"trip"}
    assert "ticks trip: Cut samples" in proposal.notes


def test_some_of_the_bags_of_a_trip_leave_its_task_open_until_the_rest_is_cut():
    held = held_at(TODAY)
    tops = bags_of_cohorts(held, ["A1"], TODAY, ["top"])
    proposal, _ = record_bags(held, tops, Cutting(TODAY))
    assert ticked(proposal) == set()
    rest = held_at(TODAY, sample=cut(TODAY)[:1])
    proposal, _ = record_bags(rest, bags_of_cohorts(rest, ["A1"], TODAY), Cutting(TODAY))
    assert ticked(proposal) == {"trip"}


def test_a_bag_that_the_budget_gives_up_holds_no_task_open():
    held = held_at(TODAY, capacity={"samples_per_week": 1})
    proposal, _ = record_bags(held, bags_of_cohorts(held, ["A1"], TODAY, ["top"]), Cutting(TODAY))
    assert ticked(proposal) == {"trip"}


def test_a_position_that_no_plan_of_the_cohort_has_is_asked_about():
    held = held_at(TODAY)
    proposal, _ = record_bags(held, bags_of_cohorts(held, ["A1"], TODAY, ["tpo"]), Cutting(TODAY))
    asked = "tpo is no position of A1 so far; its plans have top, middle, bottom"
    assert asked in proposal.questions
    assert asked in proposal.doubts
    known, _ = record_bags(held, bags_of_cohorts(held, ["A1"], TODAY, ["top"]), Cutting(TODAY))
    assert known.questions == ()


def test_a_lot_that_is_cut_through_has_no_bags_overdue_while_the_other_stands():
    lots = [{"id": "east", "cohort": "A1"}, {"id": "west", "cohort": "A1"}]
    passes = [{"id": "p1", "date": day(1), "lot": "east", "last": True}]
    (a1, _) = rows(BAGS, today=day(2), lot=lots, **{"pass": passes})
    assert a1.why == "west top, west middle, west bottom"


def test_a_trip_ticked_days_later_ticks_the_next_one_too_for_which_its_bags_stand():
    following = TRIP | {"id": "next", "date": day(7), "n": 8}
    data = sampled_data(task=[dict(TRIP), following])
    held = HeldSeason(make_plan(season_of(data), day(5)), data)
    task = next(t for t in held.plan.season.tasks if t.id == "trip")
    bags = bags_of_tasks(held, [task])
    proposal = cut_bags_of_tasks(held, [task], bags, bags, Cutting(day(5)))
    assert ticked(proposal) == {"trip", "next"}
    assert "ticks next: Cut samples" in proposal.notes
    some = cut_bags_of_tasks(held, [task], bags, bags[:1], Cutting(day(5)))
    assert ticked(some) == {"trip"}
