"""Which bags are kept where the laboratory or the money is short: what decides a cut first, three dates for each trend."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.sampling.bag_states import bag_states
from calendar_tui.planning.sampling.budget import unpriced, within_budget
from calendar_tui.planning.sampling.planned import planned_bags
from tests.planning.sampled_farm import LAB, PLAN, sampled

MARCH_2, MARCH_9, MARCH_16 = (date(2027, 3, day) for day in (2, 9, 16))
SOON = {("A1", ""): date(2027, 5, 1), ("B1", ""): date(2027, 4, 1)}
CAPS = ("samples_per_week", "samples", "sample_money_per_week", "sample_money")


def kept_of(plan, cut_by=SOON):
    states = bag_states(plan.season, planned_bags(plan.season, plan.timelines))
    return within_budget(plan.season, [one.bag for one in states if one.is_open], cut_by)


def with_caps(*samples, **caps):
    return sampled(capacity=caps, sample=list(samples))


def cut(name, day, cohort="A1", position="top", state="sent"):
    return {"id": name, "date": day, "cohort": cohort, "position": position, "state": state}


def of_day(kept, day):
    return [(bag.cohort, bag.position) for bag in kept.kept if bag.day == day]


def test_without_a_budget_all_bags_are_kept():
    kept = kept_of(sampled())
    assert (kept.given_up, kept.short) == ((), {})


def test_of_four_bags_a_week_both_tops_come_first_and_then_the_middle_and_bottom_of_the_lot_nearer_to_its_harvest():
    kept = kept_of(with_caps(samples_per_week=4))
    assert sorted(of_day(kept, MARCH_16)) == [
        ("A1", "top"),
        ("B1", "bottom"),
        ("B1", "middle"),
        ("B1", "top"),
    ]
    assert {(g.bag.cohort, g.by) for g in kept.given_up if g.bag.day == MARCH_16} == {
        ("A1", "samples_per_week")
    }


def test_of_one_bag_a_week_each_lot_gets_its_three_dates_before_any_gets_a_fourth():
    kept = kept_of(with_caps(samples_per_week=1))
    by_cohort = {name: [b.day for b in kept.kept if b.cohort == name] for name in ("A1", "B1")}
    # Both need the first weeks, and the lot nearer to its harvest is first.
    assert by_cohort["B1"][:3] == [MARCH_2, MARCH_9, MARCH_16]
    assert by_cohort["A1"][:3] == [MARCH_16 + timedelta(days=7 * n) for n in (1, 2, 3)]
    assert kept.short == {}
    assert all(b.position == "top" for b in kept.kept)


def test_money_of_a_week_is_held_by_the_price_of_the_laboratory():
    kept = kept_of(with_caps(sample_money_per_week=149.99))
    assert len(of_day(kept, MARCH_16)) == 2  # 50 a bag
    assert {given.by for given in kept.given_up} == {"sample_money_per_week"}


def test_what_was_sent_this_week_is_taken_off_and_what_is_lost_or_only_planned_is_not():
    bags = [
        cut("26A1TA", MARCH_16),
        cut("K7Q2RY", MARCH_16, position="middle", state="lost"),
        cut("000000", MARCH_16, "B1", state="planned"),
    ]
    kept = kept_of(with_caps(*bags, samples_per_week=3))
    assert sorted(of_day(kept, MARCH_16)) == [("B1", "middle"), ("B1", "top")]


def test_a_season_of_six_samples_is_three_dates_of_the_top_of_each_lot():
    kept = kept_of(with_caps(samples=6))
    assert {(b.cohort, b.position) for b in kept.kept} == {("A1", "top"), ("B1", "top")}
    assert {b.day for b in kept.kept} == {MARCH_2, MARCH_9, MARCH_16}
    assert kept.short == {}


def test_a_lot_that_is_left_with_two_dates_is_named():
    assert kept_of(with_caps(samples=5)).short == {("A1", ""): 2}
    sent = [cut(name, day) for name, day in (("26A1TA", MARCH_2), ("K7Q2RY", MARCH_9))]
    assert kept_of(with_caps(*sent, samples=5)).short == {("A1", ""): 2}


def test_positions_of_ones_own_come_in_the_order_of_the_plan_and_a_top_before_them():
    plan = sampled({**PLAN, "positions": ["shade", "sun"]}, capacity={"samples_per_week": 2})
    assert {b.position for b in kept_of(plan).kept} == {"shade"}
    plan = sampled({**PLAN, "positions": ["shade", "top"]}, capacity={"samples_per_week": 2})
    assert {b.position for b in kept_of(plan).kept} == {"top"}


def test_a_laboratory_without_a_price_is_named_where_money_is_set():
    plan = sampled(laboratory=[{"id": "lab"}], capacity={"sample_money": 100})
    bags = planned_bags(plan.season, plan.timelines)
    assert unpriced(plan.season, bags) == ("lab",)
    assert kept_of(plan).given_up == ()
    assert unpriced(sampled(capacity={"sample_money": 100}).season, bags) == ()


@pytest.mark.parametrize("away_d", [0, 3])
def test_a_bag_that_was_cut_up_to_three_days_from_its_day_is_that_bag(away_d):
    plan = with_caps(cut("26A1TA", MARCH_16 + timedelta(days=away_d)))
    states = bag_states(plan.season, planned_bags(plan.season, plan.timelines))
    assert [(s.bag.day, s.bag.position) for s in states if s.sample] == [(MARCH_16, "top")]


@pytest.mark.slow
@given(st.sampled_from(CAPS), st.integers(0, 40), st.integers(0, 40), st.integers(0, 8), st.integers(0, 40))
def test_a_larger_budget_never_gives_fewer_bags(key, small, more, week, whole):
    caps = {"samples_per_week": week, "samples": whole}
    unit = 50 if "money" in key else 1
    low, high = ({**caps, key: size * unit} for size in (small, small + more))
    few, many = (kept_of(farm_under(caps)) for caps in (low, high))
    assert len(few.kept) <= len(many.kept)


@pytest.mark.slow
@given(st.sampled_from(("samples", "sample_money")), st.integers(0, 40), st.integers(0, 40))
def test_a_larger_budget_of_the_season_keeps_all_that_a_smaller_one_kept_whatever_bags_cost(key, small, more):
    unit = 35 if "money" in key else 1
    few, many = (kept_of(farm_under({key: size * unit}, two=True)) for size in (small, small + more))
    assert set(few.kept) <= set(many.kept)


_SIZES = st.one_of(st.none(), st.integers(0, 40))


@pytest.mark.slow
@given(
    st.sampled_from(CAPS),
    st.fixed_dictionaries(dict.fromkeys(CAPS, _SIZES)),
    st.integers(0, 40),
    st.integers(0, 40),
)
def test_a_larger_budget_never_gives_fewer_bags_whatever_they_cost(key, sizes, small, more):
    caps = {name: size * (35 if "money" in name else 1) for name, size in sizes.items() if size is not None}
    unit = 35 if "money" in key else 1
    few, many = (kept_of(farm_of_prices({**caps, key: size * unit})) for size in (small, small + more))
    assert len(few.kept) <= len(many.kept)


def test_a_budget_of_a_week_that_lets_a_dear_bag_in_does_not_take_two_cheap_ones_of_other_weeks():
    few, many = (kept_of(farm_of_prices({"samples_per_week": n, "sample_money": 1085})) for n in (3, 18))
    assert len(few.kept) <= len(many.kept)


def farm_of_prices(caps):
    """The farm with a laboratory for each position: tops are dear, middles are cheap, bottoms are dearer still."""
    prices = {"top": 60, "middle": 10, "bottom": 300}
    plans = [{**PLAN, "id": p, "positions": [p], "laboratory": f"lab-{p}"} for p in prices]
    labs = [{**LAB, "id": f"lab-{p}", "price": price} for p, price in prices.items()]
    return sampled(*plans, capacity=caps, laboratory=labs)


def test_money_of_a_week_for_a_dear_and_a_cheap_laboratory_goes_by_the_order_until_the_first_that_is_too_much():
    kept = kept_of(farm_under({"sample_money_per_week": 180}, two=True))
    assert of_day(kept, MARCH_16) == [
        ("A1", "top"),
        ("B1", "top"),
    ]  # 50 and 120; a middle of 120 closes the week
    assert sum(120 if bag.cohort == "B1" else 50 for bag in kept.kept if bag.day == MARCH_16) <= 180


def farm_under(caps, two=False):
    """The farm under these caps; two: with a dear and a cheap laboratory."""
    if not two:
        return sampled(capacity=caps)
    plans = ({**PLAN, "cohorts": ["A1"]}, {**PLAN, "id": "dear", "cohorts": ["B1"], "laboratory": "dear"})
    return sampled(*plans, capacity=caps, laboratory=[LAB, {**LAB, "id": "dear", "price": 120}])


def test_a_lot_that_is_near_its_limit_by_its_results_comes_before_one_nearer_to_its_harvest():
    from calendar_tui.planning.sampling.week import cut_days

    plan = with_caps(samples_per_week=4)
    assert kept_of(plan, cut_days(plan.season, plan.timelines)).kept
    days = cut_days(plan.season, plan.timelines, {"A1": MARCH_16 + timedelta(days=2)})
    assert days["A1", ""] == MARCH_16 + timedelta(days=2) < days["B1", ""]
    assert [one for one in of_day(kept_of(plan, days), MARCH_16) if one[1] != "top"] == [
        ("A1", "middle"),
        ("A1", "bottom"),
    ]


def test_the_limits_that_results_show_are_those_of_the_trend():
    from calendar_tui.planning.changes.trip_work import known_limits
    from calendar_tui.planning.results.trend import limit_dates

    days = [date(2027, 2, 24) + timedelta(days=n) for n in (14, 21, 28)]
    ids = ("26A1TA", "K7Q2RY", "000000")
    results = [
        {"id": f"r{n}", "date": day, "sample": name, "found": {"THC": "0", "THCA": thca}}
        for n, (name, day, thca) in enumerate(zip(ids, days, ("0.05", "0.10", "0.18"), strict=True))
    ]
    rules = {
        "id": "own",
        "name": "Own",
        "limit_percent": "0.3",
        "acid_factor": "0.877",
        "as_of": date(2026, 1, 1),
    }
    samples = [cut(name, day) for name, day in zip(ids, days, strict=True)]
    more = {"sample": samples, "result": results, "profile": [rules]}
    plan = sampled(today=date(2027, 4, 1), capacity={"samples_per_week": 4}, **more)
    assert known_limits(plan) == {"A1": limit_dates(plan, "A1").earliest}
    assert known_limits(sampled(today=date(2027, 4, 1), **more)) == {}
