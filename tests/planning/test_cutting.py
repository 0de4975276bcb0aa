"""The day to cut: what binds at each end, conflicts that move nothing, and the harvest as the earliest of three."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.nature.cutting_days import Bound, cut_window
from calendar_tui.planning.cutting.gains import gain_of
from calendar_tui.planning.cutting.windows import WhatIf, sight_of
from calendar_tui.planning.deciding.decision import CUT
from calendar_tui.planning.plan import make_first_plan, make_plan
from calendar_tui.planning.results.trend import limit_dates
from tests.planning.cut_farm import TODAY, US, A, bags, cut, cut_data, official, planned
from tests.planning.farm import season_of
from tests.planning.sampled_farm import FLOWERING, sampled

DAY = timedelta(days=1)
SEP = {"id": "us", "harvest_within_d": 30}


def harvest(plan, cohort="A1"):
    return plan.timelines[cohort].stages["harvest"]


# --- the latest day


def test_the_limits_earliest_day_binds_and_names_the_bag_it_is_known_by():
    window = cut(planned(**bags())).window
    assert window.latest.day == date(2027, 4, 8)  # day 43, as in the trend's check A
    assert "0.3 % (95 % edge, known by the bag cut on 7 Apr 2027)" in window.latest.rule


@pytest.mark.parametrize(
    ("more", "day", "rule"),
    [
        (
            {"official": [official(date(2027, 3, 1))]},
            date(2027, 3, 31),
            "official sample taken 1 Mar 2027 + 30 d",
        ),
        (
            {"lot": [{"id": "A1-e", "cohort": "A1", "harvest_by": date(2027, 4, 2)}]},
            date(2027, 4, 2),
            "your last day",
        ),
        ({"capacity": {"harvest_to": date(2027, 4, 3)}}, date(2027, 4, 3), "your last day of harvests"),
        ({}, date(2027, 6, 30), "the season's last day"),
    ],
)
def test_the_earliest_end_binds_and_is_named(more, day, rule):
    plan = planned(**more)
    window = cut(plan, "A1-e" if "lot" in more else "A1").window
    assert window.latest.day == day
    assert rule in window.latest.rule


def test_frost_ends_cutting_in_the_field_and_not_in_the_hoop_house():
    data = cut_data()
    data["site"] = data["site"] | {"first_frost": date(2027, 4, 20)}
    plan = make_plan(season_of(data), TODAY)
    assert cut(plan, "B1").window.latest == Bound(date(2027, 4, 19), "first frost, 20 Apr 2027")
    assert cut(plan, "A1").window.latest.rule == "the season's last day"


@pytest.mark.parametrize(
    ("sampled_on", "within", "last"),
    [
        (date(2026, 9, 1), 30, date(2026, 10, 1)),
        (date(2028, 2, 10), 30, date(2028, 3, 11)),
        (date(2027, 2, 10), 30, date(2027, 3, 12)),
    ],
)
def test_the_window_of_an_official_sample_follows_the_rules_page(sampled_on, within, last):
    data = cut_data(official=[official(sampled_on)])
    data["season"] = data["season"] | {"last_day": date(2028, 6, 30)}
    plan = make_plan(season_of(data), last)
    assert cut(plan).window.latest.day == last
    assert cut(plan).window.earliest.day == sampled_on


def test_cutting_that_takes_five_days_begins_four_days_before_the_last():
    chore = {
        "id": "reap",
        "what": "Harvest",
        "stage": "harvest",
        "records": "harvest",
        "who": "crew",
        "hours": 50,
    }
    task = {
        "id": "h1",
        "date": date(2027, 4, 10),
        "what": "Harvest",
        "chore": "reap",
        "cohort": "A1",
        "n": 1,
        "who": "crew",
        "hours": 50.0,
    }
    crew = {"hours_per_week": {"crew": 70}}
    plan = planned(official=[official(date(2027, 3, 1))], chore=[chore], task=[task], crew=crew)
    one = cut(plan)
    assert one.work.days == 5
    assert one.window.latest.day == date(2027, 3, 27)
    assert one.complete_by.day == date(2027, 3, 31)
    tried = gain_of(sight_of(plan.season, plan.ripe, plan.today), one, WhatIf(hands=7))
    assert tried.tried.work.days == 1
    assert tried.days == 4


def test_a_dryer_that_is_too_small_makes_the_cutting_longer():
    data = cut_data(capacity={"dryer_kg": 100, "dryer_d": 6})
    data["variety"] = [dict(v) | {"fresh_kg_per_plant": 2.0} for v in data["variety"]]
    work = cut(make_plan(season_of(data), TODAY)).work
    assert work.days == 1 + 2 * 7  # 240 kg in three loads, each with a day to clean
    assert "240 kg fresh in 3 loads" in work.why


# --- the earliest day


def test_without_an_official_sample_there_is_no_earliest_day():
    window = cut(planned()).window
    assert window.earliest is None
    assert window.days is None
    assert "not asked for yet; only an authorised agent takes it" in window.waits_for[0]


def test_a_booked_sample_that_was_not_taken_is_waited_for():
    plan = planned(official=[official(date(2027, 4, 1), "booked")])
    assert "booked for Thu 1 Apr 2027, and is not recorded as taken" in cut(plan).window.waits_for[0]


def test_a_failed_sample_is_waited_for_and_its_window_is_none():
    plan = planned(official=[official(date(2027, 3, 20), outcome="failed")])
    window = cut(plan).window
    assert "failed; follow its procedure, and do not cut, move or mix the lot" in window.waits_for[0]
    assert window.earliest is None
    assert window.latest.rule == "the season's last day"


def test_a_spray_sets_the_first_day_and_one_without_its_interval_is_waited_for():
    spray = {
        "id": "s1",
        "date": date(2027, 3, 30),
        "place": "H1",
        "product": "soap",
        "end": "10:00",
        "reentry": "12 h",
    }
    taken = [official(date(2027, 3, 20))]
    plan = planned(official=taken, spray=[spray | {"preharvest": "7 d"}])
    assert cut(plan).window.earliest.day == date(2027, 4, 6)
    assert "soap" in cut(plan).window.earliest.rule
    assert (
        "pre-harvest interval is not set" in cut(planned(official=taken, spray=[spray])).window.waits_for[0]
    )


# --- conflicts


def test_a_conflict_shows_both_rules_and_moves_no_date():
    spray = {
        "id": "s1",
        "date": date(2027, 4, 5),
        "place": "H1",
        "product": "soap",
        "end": "10:00",
        "preharvest": "14 d",
        "reentry": "12 h",
    }
    without = planned(official=[official(date(2027, 4, 1))], **bags())
    with_spray = planned(official=[official(date(2027, 4, 1))], spray=[spray], **bags())
    late, early = cut(with_spray).window.conflict
    assert late.day == date(2027, 4, 19)
    assert early == cut(without).window.latest
    assert cut(without).window.conflict is None
    assert with_spray.timelines["A1"].stages == without.timelines["A1"].stages


BOUNDS = st.lists(
    st.dates(date(2027, 1, 1), date(2027, 12, 31)).map(lambda day: Bound(day, "rule")), min_size=1, max_size=5
)


@given(BOUNDS, BOUNDS, st.integers(0, 4), st.integers(0, 60))
def test_a_later_end_never_gives_an_earlier_latest_day(begins, ends, at, days):
    at %= len(ends)
    later = [Bound(one.day + days * DAY, one.rule) if n == at else one for n, one in enumerate(ends)]
    assert cut_window(begins, later).latest.day >= cut_window(begins, ends).latest.day
    assert cut_window(begins, later).earliest == cut_window(begins, ends).earliest


@settings(max_examples=10)
@given(st.integers(0, 40), st.integers(0, 40))
def test_a_later_own_last_day_never_gives_an_earlier_day_to_cut(first, more):
    def latest(days):
        by = date(2027, 3, 20) + days * DAY
        plan = planned(lot=[{"id": "A1-e", "cohort": "A1", "harvest_by": by}], **bags())
        return cut(plan, "A1-e").window.latest.day

    assert latest(first + more) >= latest(first)


# --- the harvest as the earliest


def test_without_results_and_official_samples_every_date_is_as_by_ripeness():
    plan = sampled()
    assert plan.timelines is plan.ripe


def test_the_harvest_is_the_limits_day_where_that_comes_before_ripeness():
    plan = planned(**bags())
    assert harvest(plan).likely == date(2027, 4, 8)
    assert plan.ripe["A1"].stages["harvest"].likely == date(2027, 4, 10)
    assert harvest(plan).reason.startswith("limit 8 Apr: a new result of the top may be over 0.3 %")
    assert "ripe 10 Apr: flowering + 45 d (38-54)" in harvest(plan).reason
    assert harvest(plan).reason.endswith("here, as of 28 Nov 2026: check with your authority")
    assert plan.timelines["A1"].likely("dried") == plan.ripe["A1"].likely("dried") - 2 * DAY
    assert plan.timelines["A1"].stages["sampling"].dates[-1] < harvest(plan).likely
    assert plan.timelines["B1"].stages == plan.ripe["B1"].stages


def test_the_harvest_is_the_windows_last_day_where_that_comes_first():
    plan = planned(official=[official(date(2027, 3, 5))], **bags())
    assert harvest(plan).likely == date(2027, 4, 4)
    assert harvest(plan).reason.startswith(
        "window 4 Apr: official sample taken 5 Mar 2027 + 30 d; ripe 10 Apr"
    )


def test_what_is_left_after_a_pass_past_the_window_is_cut_the_day_after_it_at_the_earliest():
    passes = [{"id": "p1", "date": date(2027, 4, 5), "lot": "A1", "part": "top"}]
    plan = planned(official=[official(date(2027, 3, 1))], **{"pass": passes})
    assert harvest(plan).likely == date(2027, 4, 6)
    assert "window 31 Mar" in harvest(plan).reason
    assert "not before 6 Apr" in harvest(plan).reason


def test_a_window_that_ends_before_flowering_moves_no_harvest_before_it():
    plan = planned(official=[official(date(2027, 1, 20))])
    assert harvest(plan).likely == plan.timelines["A1"].likely("flowering") == FLOWERING


def test_a_sample_that_is_booked_may_still_be_put_off_and_moves_no_harvest():
    plan = planned(official=[official(date(2027, 3, 5), "booked")])
    assert harvest(plan) == plan.ripe["A1"].stages["harvest"]
    assert cut(plan).window.latest.rule == "official sample booked 5 Mar 2027 + 30 d"


def test_ripeness_first_is_told_with_what_would_have_held():
    plan = planned(official=[official(date(2027, 4, 1))])
    assert harvest(plan).likely == date(2027, 4, 10)
    assert harvest(plan).reason.startswith("ripe before window 1 May")
    assert harvest(plan).latest <= date(2027, 5, 1)


def test_two_dates_of_results_move_nothing_and_the_guess_stands_beside_it():
    two = dict(list(A.items())[:2])
    plan = planned(**bags(two))
    limit = cut(plan).limit
    assert limit.missing == 1
    assert limit.earliest is None
    assert limit.half_by is not None
    assert harvest(plan) == plan.ripe["A1"].stages["harvest"]


def test_three_dates_are_provisional():
    three = dict(list(A.items())[:3])
    few, enough = cut(planned(**bags(three))), cut(planned(**bags()))
    assert few.limit.provisional
    assert not enough.limit.provisional
    assert few.window.latest.rule.endswith("known by the bag cut on 31 Mar 2027, provisional)")
    assert enough.window.latest.rule.endswith("known by the bag cut on 7 Apr 2027)")


def test_a_planned_harvest_stands_whatever_the_limit():
    data = cut_data(**bags())
    data["cohort"][0]["planned"]["harvest"] = date(2027, 4, 12)
    plan = make_plan(season_of(data), TODAY)
    assert harvest(plan).likely == date(2027, 4, 12)
    assert harvest(plan).status == "planned"


def test_a_bag_cut_today_is_known_by_the_days_and_the_turnaround_of_its_laboratory():
    slow = planned(**bags(), laboratory=[{"id": "lab", "takes": ["mon"], "turnaround_d": [7, 9, 12]}])
    assert cut(slow).limit.back == date(2027, 4, 21)  # a Saturday's bag is taken in on Monday 12 April


def test_the_limit_is_the_one_of_the_trend():
    plan = planned(**bags())
    limit, trend = cut(plan).limit, limit_dates(plan, "A1")
    assert limit.earliest == trend.earliest == date(2027, 4, 8)
    assert (limit.likely, limit.latest, limit.provisional) == (trend.likely, trend.latest, trend.provisional)
    few = planned(**bags({21: "0.08"}))
    assert cut(few).limit.half_by == limit_dates(few, "A1").guess_half_by


def test_the_limit_is_that_of_the_rules_and_without_rules_there_is_none():
    assert cut(planned(rules=US | {"limit_percent": 1.0}, **bags())).limit.limit == 1.0
    none = {"id": "blank", "name": "blank"}
    assert cut(planned(rules=none, **bags())).limit is None


def test_a_result_of_another_cohort_changes_nothing():
    plan = planned(**bags())
    both = bags()
    both["sample"].append({"id": "0000ZV", "date": date(2027, 3, 24), "cohort": "B1", "position": "top"})
    assert harvest(planned(**both)) == harvest(plan)


def test_replanning_keeps_what_the_rules_gave_and_what_ripeness_gives():
    plan = planned(**bags())
    again = make_plan(plan.season, plan.today, plan)
    assert again.timelines["A1"].stages == plan.timelines["A1"].stages
    assert again.ripe["A1"] is plan.ripe["A1"]
    first = make_first_plan(plan.season, plan.today)
    assert first.timelines["A1"].stages["harvest"] == harvest(plan)


def test_what_is_to_be_decided_has_the_limits_day_and_its_rules():
    (row,) = [one for one in planned(**bags()).decisions if one.kind == CUT]
    assert (row.about, row.by) == ("A1", date(2027, 4, 8))
    assert "a new result of the top may be over 0.3 %" in row.why
    assert row.rules.endswith("check with your authority")


# --- tops first


def test_with_the_tops_cut_first_the_middle_decides_and_the_days_gained_are_told():
    tops, middle = bags(), bags({21: "0.06", 28: "0.10", 35: "0.14", 42: "0.17"}, position="middle")
    ids = ["A1T089", "K7Q3RT", "26B1T2", "11111V"]
    for sample, result, name in zip(middle["sample"], middle["result"], ids, strict=True):
        sample["id"] = result["sample"] = name
        result["id"] = f"m{name}"
    both = {key: tops[key] + middle[key] for key in tops}
    plan = planned(**both)
    one = cut(plan)
    gain = gain_of(sight_of(plan.season, plan.ripe, plan.today), one, WhatIf(tops_first=True))
    assert one.limit.position == "top"
    assert gain.tried.limit.position == "middle"
    assert gain.days > 0
