"""Timelines: order, ranges, status and reasons."""

import itertools
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.plant import Response, day_count
from calendar_tui.planning.changes.slips import SHIFT, record_date
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.checks import order_problem, stages_of
from calendar_tui.season.refusal import Refusal
from tests.planning.farm import CHAINS, TODAY, farm, farm_data, season_of

FAR = date(2027, 6, 30)


def assert_in_order(timeline):
    for chain in CHAINS:
        there = [timeline.stages[s] for s in chain if s in timeline.stages]
        for one, two in itertools.pairwise(there):
            assert one.likely <= two.likely, (one, two)
            assert one.earliest <= two.earliest, (one, two)
            assert one.latest <= two.latest, (one, two)
    for found in timeline.stages.values():
        assert found.earliest <= found.likely <= found.latest


def test_every_stage_of_a_seed_cohort_under_lamps_is_there():
    timeline = make_plan(farm(), TODAY).timelines["A1"]
    assert list(timeline.stages) == [
        "seeding",
        "emergence",
        "transplant",
        "lights_on",
        "lights_off",
        "trigger",
        "induced",
        "flowering",
        "sampling",
        "harvest",
        "dried",
    ]
    assert_in_order(timeline)


def test_planned_recorded_and_projected_stand_beside_one_another():
    season = farm(recorded={"seeding": date(2026, 11, 3)})
    stages = make_plan(season, TODAY).timelines["A1"].stages
    assert (stages["seeding"].status, stages["seeding"].likely) == ("recorded", date(2026, 11, 3))
    assert stages["seeding"].intended == date(2026, 11, 1)
    assert "2 d late" in stages["seeding"].reason
    assert stages["transplant"].status == "planned"
    assert stages["harvest"].status == "projected"


def test_reasons_carry_figures():
    stages = make_plan(farm(), TODAY).timelines["A1"].stages
    assert "lamps off on 10 Jan" in stages["trigger"].reason
    assert "under 14 h 45" in stages["trigger"].reason
    assert stages["flowering"].reason == "induced + 14 d (10-20)"
    assert stages["harvest"].reason == "flowering + 45 d (38-54)"


def test_a_recorded_date_closes_the_range_and_moves_what_follows():
    before = make_plan(farm(), TODAY).timelines["A1"].stages
    recorded = {"seeding": date(2026, 11, 1), "flowering": date(2027, 2, 20)}
    after = make_plan(farm(recorded=recorded), date(2027, 3, 1)).timelines["A1"].stages
    assert after["flowering"].range == (date(2027, 2, 20),) * 3
    assert after["harvest"].likely == date(2027, 2, 20) + timedelta(days=45)
    assert after["harvest"].likely != before["harvest"].likely


@pytest.mark.parametrize(
    ("stage", "day", "next_stage", "span"),
    [
        ("flowering", date(2027, 2, 20), "harvest", (38, 45, 54)),
        ("induced", date(2027, 2, 3), "flowering", (10, 14, 20)),
    ],
)
def test_what_follows_a_record_is_that_day_plus_the_span(stage, day, next_stage, span):
    after = make_plan(farm(recorded={stage: day}), FAR).timelines["A1"].stages
    assert after[stage].range == (day, day, day)
    assert after[next_stage].range == tuple(day + timedelta(days=n) for n in span)


def test_a_recorded_trigger_closes_its_range_and_starts_the_count():
    data = farm_data()
    data["variety"][1]["inductive_days"] = [7, 8, 9]
    data["variety"][1]["juvenile_d"] = [60, 80, 100]
    before = make_plan(season_of(data), FAR).timelines["F1"].stages
    assert before["trigger"].earliest < before["trigger"].latest
    day = before["trigger"].likely + timedelta(days=12)
    data["cohort"][1]["recorded"] = {"trigger": day}
    after = make_plan(season_of(data), FAR).timelines["F1"].stages
    assert after["trigger"].range == (day, day, day)
    assert "of the run" in after["induced"].reason
    assert f"for day {(after['induced'].likely - day).days + 1} of the run" in after["induced"].reason
    for stage in ("induced", "flowering", "harvest"):
        width = [(s[stage].latest - s[stage].earliest).days for s in (before, after)]
        assert width[1] < width[0], "the range of what follows is narrower"
        assert after[stage].likely > before[stage].likely


def test_a_recorded_trigger_that_long_days_follow_says_what_puts_the_count_back():
    """The lamps burn up to 9 Jan: a run that is recorded to begin on the 1st cannot be the one that induces."""
    stages = make_plan(farm(recorded={"trigger": date(2027, 1, 1)}), FAR).timelines["A1"].stages
    assert stages["induced"].reason.endswith(
        "; the trigger recorded 1 Jan is followed by days of 14 h 45 or more up to 9 Jan, which put the count back"
    )
    kept = make_plan(farm(recorded={"trigger": date(2027, 1, 15)}), FAR).timelines["A1"].stages
    assert "put the count back" not in kept["induced"].reason


@pytest.mark.parametrize("day", [date(2027, 1, 5), date(2027, 1, 15), date(2027, 1, 30), date(2027, 3, 20)])
def test_what_comes_before_a_recorded_flowering_is_never_after_it_and_says_what_holds_it(day):
    """Nothing else is recorded: trigger (10 Jan) and induced (23 Jan) stay where the light puts them, if they can."""
    free = make_plan(farm(), FAR).timelines["A1"].stages
    held = make_plan(farm(recorded={"flowering": day}), FAR).timelines["A1"].stages
    for stage in ("trigger", "induced"):
        assert held[stage].range == tuple(min(d, day) for d in free[stage].range)
        says = f"; held to {day.day} {day:%b} by flowering, recorded"
        assert held[stage].reason == free[stage].reason + (says if day < free[stage].likely else "")


def test_cuttings_keep_half_the_spread_and_count_from_sticking():
    plan = make_plan(farm(), TODAY)
    seed, cutting = plan.timelines["F1"].stages, plan.timelines["C1"].stages
    width = {
        k: (s["harvest"].latest - s["flowering"].latest).days
        for k, s in (("seed", seed), ("cutting", cutting))
    }
    assert width["cutting"] < width["seed"]
    assert cutting["trigger"].likely <= seed["trigger"].likely


def test_weekly_samples_run_from_flowering_to_harvest():
    stages = make_plan(farm(), TODAY).timelines["A1"].stages
    samples = stages["sampling"].dates
    assert samples[0] == stages["flowering"].likely
    assert {b - a for a, b in itertools.pairwise(samples)} == {timedelta(days=7)}
    assert samples[-1] < stages["harvest"].likely <= samples[-1] + timedelta(days=7)


def test_day_neutral_plants_flower_by_age():
    """70-85 days from sowing to harvest in one breeder's figures (read, seed trade)."""
    stages = make_plan(farm(), TODAY).timelines["D1"].stages
    assert "trigger" not in stages
    assert 70 <= (stages["harvest"].likely - stages["seeding"].likely).days <= 85


def test_a_threshold_that_is_never_crossed_is_told():
    data = farm_data()
    data["variety"][1].update(critical_day="09:00", full_response_day="08:30")
    timeline = make_plan(season_of(data), TODAY).timelines["F1"]
    assert "flowering" not in timeline.stages
    assert "never under 9 h 00" in timeline.never


def test_lamps_without_lights_off_are_told():
    data = farm_data()
    data["cohort"][0]["planned"] = {"seeding": date(2026, 11, 1), "lights_on": date(2026, 11, 26)}
    plan = make_plan(season_of(data), TODAY)
    kinds = {c.kind for c in plan.clashes_of("A1")}
    assert {"no lights off", "never flowers"} <= kinds


@st.composite
def recorded_dates(draw):
    """Any set of recorded dates of a cohort that stands in order, as the season's checks demand."""
    season = farm(recorded={})
    name = draw(st.sampled_from(list(season.cohorts)))
    cohort = season.cohorts[name]
    stages = draw(st.lists(st.sampled_from(stages_of(cohort)), unique=True))
    if season.places[cohort.place].lamps is None:
        stages = [s for s in stages if not s.startswith("lights")]
    dates = {}
    for stage in stages:
        day = draw(st.dates(season.first_day, season.last_day))
        trial = {**dates, stage: day}
        if not any(order_problem(cohort, trial, s) for s in trial):
            dates = trial
    return replace(season, cohorts={**season.cohorts, name: replace(cohort, recorded=dates)}), name


@pytest.mark.slow
@given(recorded_dates())
def test_stages_stand_in_order_whatever_is_recorded(case):
    season, name = case
    timeline = make_plan(season, FAR).timelines[name]
    assert_in_order(timeline)
    for stage, day in season.cohorts[name].recorded.items():
        if stage in timeline.stages:
            assert timeline.stages[stage].range == (day, day, day)


@pytest.mark.slow
@given(st.integers(0, 40), st.integers(0, 40))
def test_a_later_transplant_never_moves_a_projected_stage_earlier_when_lights_off_is_shifted(days, more):
    plan = make_plan(farm(), FAR)
    meant = date(2026, 11, 26)
    early, late = (
        record_date(plan, plan.season.cohorts["A1"], "transplant", meant + timedelta(days=d), SHIFT).plan
        for d in (days, days + more)
    )
    for stage, found in early.timelines["A1"].stages.items():
        assert late.timelines["A1"].likely(stage) >= found.likely


@pytest.mark.parametrize(
    ("stage", "day", "says"),
    [
        ("transplant", date(2026, 10, 1), "before seeding"),
        ("transplant", date(2027, 1, 1), "after today"),
        ("transplant", date(2026, 8, 1), "outside the season"),
    ],
)
def test_a_date_that_cannot_be_is_refused(stage, day, says):
    plan = make_plan(farm(), TODAY)
    with pytest.raises(Refusal, match=says):
        record_date(plan, plan.season.cohorts["A1"], stage, day)


def test_plants_that_leave_a_lit_nursery_for_short_days_say_so():
    data = farm_data()
    data["cohort"][2]["variety"] = (
        "amber"  # cuttings, ready at once; the field's days are under 14 h 45 in November
    )
    stages = make_plan(season_of(data), TODAY).timelines["C1"].stages
    assert stages["trigger"].likely == date(2026, 11, 26)
    assert stages["trigger"].reason.endswith("until then under the lamps of N1")


def with_plain(**figures):
    """The farm with these figures in its variety plain, as a season file has them."""
    data = farm_data()
    data["variety"][1] |= figures
    return make_plan(season_of(data), FAR)


@pytest.mark.parametrize(("spread", "span"), [(0, (45, 45, 45)), (0.25, (43, 45, 47)), (1, (38, 45, 54))])
def test_cuttings_keep_as_much_of_a_span_as_their_variety_says(spread, span):
    recorded = {"flowering": date(2027, 2, 20)}
    data = farm_data()
    data["variety"][1]["cutting_spread"] = spread
    for n in (1, 2):
        data["cohort"][n]["recorded"] = recorded
    timelines = make_plan(season_of(data), FAR).timelines
    days = {
        name: [(d - date(2027, 2, 20)).days for d in timelines[name].stages["harvest"].range]
        for name in ("F1", "C1")
    }
    assert days == {"F1": [38, 45, 54], "C1": list(span)}


def test_where_the_slowest_plants_are_not_induced_the_last_day_stands_for_their_latest():
    timeline = with_plain(inductive_days=[7, 8, 300]).timelines["F1"]
    induced = timeline.stages["induced"]
    assert induced.likely < date(2027, 4, 1)
    assert induced.latest == timeline.stages["trigger"].latest == date(2027, 6, 30)


def test_where_the_likely_plants_are_not_induced_there_is_no_date_and_the_reason_is_told():
    timeline = with_plain(inductive_days=[7, 300, 300]).timelines["F1"]
    assert not {"trigger", "induced", "flowering", "harvest"} & set(timeline.stages)
    assert timeline.never


@pytest.mark.parametrize(("weeks", "days", "samples"), [(6, 0, 6), (6, 1, 7), (5, 6, 6), (0, 3, 1)])
def test_samples_are_weekly_up_to_the_day_before_harvest(weeks, days, samples):
    """Harvest a whole number of weeks after flowering: on its day no sample is cut any more."""
    flowered = date(2027, 2, 20)
    harvest = flowered + timedelta(weeks=weeks, days=days)
    sampling = (
        make_plan(farm(recorded={"flowering": flowered, "harvest": harvest}), FAR)
        .timelines["A1"]
        .stages["sampling"]
    )
    assert sampling.dates == tuple(flowered + timedelta(weeks=n) for n in range(samples))
    assert sampling.dates[-1] < harvest


def test_a_cohort_that_never_flowers_is_told_in_words_with_the_key_beside_them():
    data = farm_data()
    data["season"]["last_day"] = date(2027, 1, 20)
    told = [t.never for t in make_plan(season_of(data), TODAY).timelines.values() if t.never]
    assert told
    for text in told:
        for key, words in {
            "critical_day": "critical day",
            "lights_off": "lights off",
            "last_day": "last day",
        }.items():
            assert text.count(key) == text.count(f"({key})") <= text.count(words)


def test_why_samples_are_cut_when_they_are_is_told_whether_the_first_is_recorded_or_not():
    flowered = {"flowering": date(2027, 2, 20), "harvest": date(2027, 4, 10)}
    season = farm(recorded=flowered)
    assert make_plan(season, FAR).timelines["A1"].stages["sampling"].status_text == (
        "projected: every 7 d from flowering to harvest, 7 times"
    )
    season = farm(recorded=flowered | {"sampling": date(2027, 2, 22)})
    assert make_plan(season, FAR).timelines["A1"].stages["sampling"].status_text == (
        "recorded: every 7 d from flowering to harvest, 7 times"
    )


def test_the_count_that_induces_is_the_sum_of_its_run_up_to_that_day():
    plan = make_plan(farm(), FAR)
    timeline, light = plan.timelines["A1"], plan.light
    run = [light.index(timeline.likely(stage)) for stage in ("trigger", "induced")]
    response = Response(14.75, 13.75, 8)
    total = sum(day_count(h, response) for h in timeline.felt_h[run[0] : run[1] + 1])
    last = day_count(timeline.felt_h[run[1]], response)
    assert f"count {total:.1f} of 8 " in timeline.stages["induced"].reason
    assert f"this one {last:.2f})" in timeline.stages["induced"].reason
