"""The bags of one week: which recorded ones stand for planned ones, which are further ones, and what is still to be cut."""

from datetime import date, timedelta

import pytest

from calendar_tui.handing_on.words.samples_text import week_lines
from calendar_tui.planning.sampling.bag_states import bag_states
from calendar_tui.planning.sampling.planned import planned_bags
from calendar_tui.planning.sampling.week import next_trip, sampling_week
from tests.planning.sampled_farm import PLAN, TODAY, sampled

# The week of 16 March, a Tuesday, on which three bags of A1 and of B1 are planned.
MONDAY, SUNDAY = date(2027, 3, 15), date(2027, 3, 21)


def cut(name, day, **more):
    return {"id": name, "date": day, "cohort": "A1", "position": "top", "state": "sent"} | more


def week_of(*samples, plans=(), **more):
    plan = sampled(*plans, sample=list(samples), **more)
    return sampling_week(plan.season, plan.timelines, TODAY)


def test_a_week_is_from_its_monday_to_its_sunday():
    week = week_of()
    assert (week.first, week.last) == (MONDAY, SUNDAY)
    assert {one.bag.day for one in week.bags} == {TODAY}
    assert len(week.to_cut) == 6


def test_two_bags_cut_near_a_planned_one_are_that_one_and_a_further_one():
    week = week_of(cut("26A1TA", TODAY), cut("K7Q2RY", TODAY))
    assert [one.sample.id for one in week.bags if one.sample is not None] == ["26A1TA"]
    assert [sample.id for sample in week.further] == ["K7Q2RY"]
    assert len(week.to_cut) == 5


def test_one_bag_stands_for_one_planned_bag_alone():
    plan = sampled(PLAN | {"every_d": 7}, PLAN | {"id": "more", "weekday": "thu"}, sample=[cut("26A1TA", date(2027, 3, 17))])  # fmt: skip
    states = bag_states(plan.season, planned_bags(plan.season, plan.timelines))
    assert [one.bag.day for one in states if one.sample is not None] == [TODAY]


@pytest.mark.parametrize(
    ("day", "further"),
    [(date(2027, 3, 14), []), (MONDAY, ["26A1TA"]), (SUNDAY, ["26A1TA"]), (date(2027, 3, 22), [])],
)
def test_a_bag_that_no_plan_asks_for_is_a_further_one_of_its_own_week(day, further):
    week = week_of(cut("26A1TA", day, position="crown"))
    assert [sample.id for sample in week.further] == further


def test_a_lost_bag_is_neither_the_planned_one_nor_a_further_one():
    week = week_of(cut("26A1TA", TODAY, state="lost"))
    assert week.further == ()
    assert len(week.to_cut) == 6


def test_bags_of_weeks_gone_by_that_nobody_cut_take_nothing_of_the_budget():
    # Three dates of the tops of A1 and B1 from this week on.
    kept = week_of(capacity={"samples": 6}).kept.kept
    assert len(kept) == 6
    assert min(bag.day for bag in kept) == TODAY


def test_a_week_without_bags_names_the_next_trip():
    plan = sampled(PLAN | {"every_d": 14})
    week = sampling_week(plan.season, plan.timelines, date(2027, 3, 9))
    assert week.bags == ()
    assert "  none in this week; next on Tue 16 Mar: 6 bags of A1 B1" in week_lines(
        plan.season, week, plan.today
    )
    after = sampling_week(plan.season, plan.timelines, plan.season.last_day)
    assert "  none in this week, and none after it" in week_lines(plan.season, after, plan.today)


def test_the_next_trip_that_wants_ids_is_that_of_the_day_itself_until_its_bags_have_theirs():
    plan = sampled()
    assert next_trip(plan.season, plan.timelines, TODAY) == TODAY
    assert next_trip(plan.season, plan.timelines, TODAY + timedelta(days=1)) == TODAY + timedelta(days=7)
    bags = {"A1": ("26A1TA", "26A1MP", "26A1BD"), "B1": ("26B1T2", "26B1MY", "26B1B5")}
    named = [
        cut(name, TODAY, cohort=cohort, position=position, state="planned")
        for cohort, names in bags.items()
        for name, position in zip(names, ("top", "middle", "bottom"), strict=True)
    ]
    plan = sampled(sample=named)
    assert next_trip(plan.season, plan.timelines, TODAY) == TODAY + timedelta(days=7)
