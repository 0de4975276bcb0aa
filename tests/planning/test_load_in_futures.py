"""The load over the futures: summed future by future, against a plain count by the days of each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from math import inf
from typing import Any

import pytest

from calendar_tui.handing_on.words.stagger_text import scheme_lines
from calendar_tui.nature.futures import COUNT, ends, order
from calendar_tui.planning.capacity.by_week import InFutures, WeekUse
from calendar_tui.planning.capacity.futures import futures_of_season, in_futures, with_futures
from calendar_tui.planning.capacity.uses import Limit
from calendar_tui.planning.clash_words import FEW_GROWTH_D
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.needs.by_week import week_uses
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.remarks import DryerRemark, dryer_remarks, remarks_of, small_text
from calendar_tui.planning.staggering.scheme import scheme_of
from tests.planning.farm import TODAY, farm_data, season_of
from tests.planning.staggered import empty_data

DRYER_D, KG = 10, 60.0
AMBERS = {"A": (0, "amber"), "B": (20, "amber")}

# Sown every ten days: by the likely dates few are in the dryer together, in some futures many.
EIGHT = {name: (10 * n, "amber") for n, name in enumerate("ABCDEFGH")}


def laid_out(cohorts: Mapping[str, tuple[int, str]], dryer_kg: float = 100.0, **tables: Any) -> Plan:
    """Field cohorts of 60 plants of 1 kg, each sown so many days after 1 November, in a dryer of so much for ten days."""
    data = empty_data() | tables
    amber = data["variety"][0]
    data["variety"] = [amber, amber | {"id": "brook"}]
    data["capacity"] = {"dryer_kg": dryer_kg, "dryer_d": DRYER_D, "dryer_clean_d": 0}
    data["cohort"] = [
        {
            "id": name,
            "variety": variety,
            "start": "seed",
            "place": "F1",
            "plants": 60,
            "planned": {"seeding": date(2026, 11, 1) + timedelta(days=later)},
        }
        for name, (later, variety) in cohorts.items()
    ]
    return make_plan(season_of(data), TODAY)


def dryer(plan: Plan) -> list[WeekUse]:
    return list(week_uses(plan, {}, ("dryer",)))


def plain_count(plan: Plan, monday: date, orders: Mapping[str, tuple[int, ...]]) -> list[float]:
    """The most in the dryer on a day of the week in each future of the season, by the days of its harvests."""
    most = []
    for n in range(COUNT):
        begun = {
            name: timeline.stages["harvest"].days[orders[timeline.variety.id][n]]
            for name, timeline in plan.timelines.items()
        }
        days = range(monday.toordinal(), monday.toordinal() + 7)
        most.append(max(sum(KG for day in begun.values() if day <= today < day + DRYER_D) for today in days))
    return most


@pytest.mark.parametrize(
    "cohorts", [AMBERS, {"A": (0, "amber"), "B": (0, "brook")}], ids=["one variety", "two varieties"]
)
def test_a_week_is_over_full_in_as_many_futures_as_a_count_day_by_day(
    cohorts: Mapping[str, tuple[int, str]],
) -> None:
    plan = laid_out(cohorts)
    orders = {"amber": order(0), "brook": order(1)}
    uses = dryer(plan)
    assert len(uses) > 1
    for use in uses:
        counted = plain_count(plan, use.monday, orders)
        assert use.futures is not None
        assert use.futures.of == COUNT
        assert use.futures.over == sum(kg > 100.0 for kg in counted), use.monday
        low, high = ends(counted)
        assert use.futures.low == pytest.approx(min(low, use.amount))
        assert use.futures.high == pytest.approx(max(high, use.amount))


def test_two_cohorts_of_a_variety_are_early_and_late_together_and_those_of_two_are_not() -> None:
    """Sown on one day: of one variety they are in the dryer together in every future, of two seldom."""

    def together(variety: str) -> int:
        plan = laid_out({"A": (0, "amber"), "B": (0, variety)})
        futures = futures_of_season(plan.timelines.values())
        return sum(a.likely("harvest") == b.likely("harvest") for a, b in futures)

    assert together("amber") == COUNT
    assert together("brook") < COUNT / 4


def test_each_future_has_its_own_days_and_a_cohort_without_range_is_as_it_is() -> None:
    plan = laid_out(AMBERS)
    for n, (a, _) in enumerate(futures_of_season(plan.timelines.values())):
        for stage, at in plan.timelines["A"].stages.items():
            assert a.stages[stage].likely.toordinal() == at.days[n]
        assert a.stages["sampling"].dates[0] == a.likely("sampling")
    season = replace(plan.season, cohorts={"A": plan.season.cohorts["A"]})
    recorded = {"emergence": date(2026, 11, 6), "flowering": date(2027, 2, 1), "harvest": date(2027, 3, 20)}
    done = replace(season.cohorts["A"], recorded=recorded | {"dried": date(2027, 3, 30)})
    (timeline,) = make_plan(replace(season, cohorts={"A": done}), TODAY).timelines.values()
    for (there,) in futures_of_season([timeline]):
        assert there.likely("harvest") == date(2027, 3, 20)


def test_under_a_fifth_of_the_futures_an_over_full_week_is_not_told() -> None:
    uses = dryer(laid_out(EIGHT, dryer_kg=130.0))
    told = [use for use in uses if use.may_be_over]
    assert told
    assert all(use.futures is not None and use.futures.over >= COUNT / 5 for use in told)
    unlikely = [use for use in uses if not use.amount]
    assert all(use.may_be_over for use in unlikely)


@pytest.mark.parametrize(("futures", "told"), [(10, True), (9, False)])
def test_a_week_that_nothing_is_likely_in_is_told_from_a_fifth_of_the_futures_on(
    futures: int, told: bool
) -> None:
    plan, monday = laid_out(AMBERS), date(2027, 6, 7)
    amounts = [{(Limit("dryer"), monday): 120.0}] * futures + [{}] * (COUNT - futures)
    seen = list(with_futures(plan.season, [], amounts))
    assert [(use.monday, use.amount, use.may_be_over) for use in seen] == [(monday, 0.0, True)] * told


def test_what_fits_in_every_future_is_never_marked() -> None:
    uses = dryer(laid_out(AMBERS, dryer_kg=120.0))
    assert uses
    assert all(use.futures is not None and use.futures.over == 0 and not use.may_be_over for use in uses)


def week(monday: date, over: int, amount: float = 60.0) -> WeekUse:
    return WeekUse(
        "dryer", "", monday, amount, "kg", 100.0, False, monday, futures=InFutures(0.0, 120.0, over, COUNT)
    )


def test_weeks_on_end_that_may_be_over_full_are_one_remark() -> None:
    mondays = [date(2027, 3, 1) + timedelta(days=7 * n) for n in range(7)]
    uses = [week(day, over) for day, over in zip(mondays, (12, 20, 10, 9, 11, 40, 15), strict=True)]
    uses[5] = week(mondays[5], 40, amount=150.0)  # over-full by the likely dates: a clash
    remarks = list(remarks_of(uses, mondays[1]))
    assert remarks == [
        DryerRemark(mondays[1], mondays[2], 20, COUNT),
        DryerRemark(mondays[4], mondays[4], 11, COUNT),
        DryerRemark(mondays[6], mondays[6], 15, COUNT),
    ]
    assert "in the weeks from Mon 8 Mar to Mon 15 Mar, in up to 20 of 50 futures" in remarks[0].text
    assert "in the week of Mon 29 Mar, in 11 of 50 futures" in remarks[1].text


def test_a_plan_has_the_remarks_of_its_dryer() -> None:
    plan = laid_out(EIGHT, dryer_kg=130.0)
    (use,) = (use for use in dryer(plan) if use.may_be_over)
    assert use.futures is not None
    (text,) = (text for text in plan.remarks if "dryer" in text)
    assert f"in {use.futures.over} of 50 futures" in text


def test_no_remark_is_about_weeks_that_are_over_or_a_dryer_of_which_nothing_is_said() -> None:
    plan = laid_out(EIGHT, dryer_kg=130.0)
    timelines = plan.timelines.values()
    assert not list(dryer_remarks(plan.season, timelines, date(2027, 12, 1)))
    assert not list(dryer_remarks(replace(plan.season, capacity=None), timelines, TODAY))


def test_a_scheme_tells_what_may_clash_with_it_and_not_what_may_without_it() -> None:
    eight, none = laid_out(EIGHT, dryer_kg=130.0), laid_out({}, dryer_kg=130.0)
    cohorts = list(eight.season.cohorts.values())
    scheme = scheme_of(none, cohorts, "eight cohorts")
    assert scheme.remarks == eight.remarks != ()
    assert f"remark: {scheme.remarks[0]}" in " ".join(" ".join(scheme_lines(scheme)).split())
    more = replace(cohorts[0], id="Z", plants=None)
    assert scheme_of(eight, [more], "one more").remarks == ()


def planted_out(day: date) -> Timeline:
    """A cohort of amber, four weeks in a lit nursery and then on natural days."""
    data = empty_data()
    planned = {"seeding": day - timedelta(days=30), "transplant": day}
    data["cohort"] = [
        {"id": "A", "variety": "amber", "start": "seed", "nursery": "N1", "place": "F1", "planned": planned}
    ]
    return make_plan(season_of(data), TODAY).timelines["A"]


def test_plants_that_may_stay_small_are_a_remark_and_those_that_will_are_a_clash() -> None:
    timeline = planted_out(date(2026, 12, 20))
    growth = [
        induced - timeline.stages["transplant"].likely.toordinal()
        for induced in timeline.stages["induced"].days
    ]
    few = sum(days < FEW_GROWTH_D for days in growth)
    assert few >= COUNT / 5
    assert timeline.growth_d >= FEW_GROWTH_D
    assert small_text([timeline]) == (
        f"with under 21 d of growth before induction plants stay small: A in {few} of 50 futures"
    )
    for surely in (date(2026, 11, 1), date(2027, 2, 5)):
        assert small_text([planted_out(surely)]) == ""


# --- hours

CHORE = {"id": "cut", "what": "Harvest", "stage": "harvest", "offset_d": 0, "hours": 8.0, "who": "crew"}


def hours_of(plan: Plan, **task: Any) -> list[float]:
    """Hours of the crew in each future in the week of A's likely harvest, of one task due that day."""
    harvest = plan.timelines["A"].likely("harvest")
    assert harvest is not None
    made = {"id": "cut1", "date": harvest, "what": "Harvest", "chore": "cut", "cohort": "A", "hours": 8.0}
    more = laid_out(AMBERS, chore=[CHORE], task=[made | {"who": "crew"} | task])
    monday = harvest - timedelta(days=harvest.weekday())
    found = in_futures(more.season, more.timelines.values(), ("hours",), more.today)["hours"]
    return [amounts.get((Limit("hours", "crew"), monday), 0.0) for amounts in found]


def test_an_open_task_goes_with_its_stage_in_each_future() -> None:
    plan = laid_out(AMBERS)
    harvest = plan.timelines["A"].stages["harvest"]
    first = harvest.likely.toordinal() - harvest.likely.weekday()
    assert hours_of(plan) == [8.0 if first <= day < first + 7 else 0.0 for day in harvest.days]


def test_work_at_a_stage_that_does_not_come_within_the_season_takes_no_hours() -> None:
    season = farm_data()["season"] | {"last_day": date(2027, 1, 20)}
    harvest = laid_out(AMBERS, season=season).timelines["A"].stages["harvest"]
    assert inf in harvest.days
    task = {
        "id": "cut1",
        "date": harvest.likely,
        "what": "Harvest",
        "chore": "cut",
        "cohort": "A",
        "hours": 8.0,
    }
    plan = laid_out(AMBERS, season=season, chore=[CHORE], task=[task | {"who": "crew"}])
    found = in_futures(plan.season, plan.timelines.values(), ("hours",), plan.today)["hours"]
    assert [sum(amounts.values()) for amounts in found] == [8.0 if day < inf else 0.0 for day in harvest.days]


@pytest.mark.parametrize(
    "task",
    [{"state": "done"}, {"moved": True}, {"chore": ""}, {"cohort": ""}],
    ids=lambda task: next(iter(task)),
)
def test_work_that_is_done_moved_by_hand_or_of_no_stage_stays(task: dict[str, Any]) -> None:
    assert hours_of(laid_out(AMBERS), **task) == [8.0] * COUNT


def test_skipped_work_takes_no_hours() -> None:
    assert hours_of(laid_out(AMBERS), state="skipped") == [0.0] * COUNT
