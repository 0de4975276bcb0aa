"""The review of a season: scores of what was said of dates, hours, lamps, slips, and what is missing.

Outside: bounds of a share by statsmodels (`proportion_confint`, method wilson: Wilson 1927); medians by NumPy; the interval score's
values (range 10 to 20, records 15 and 23) by the definition of Gneiting and Raftery 2007, JASA 102:359, worked out by hand.
"""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.changes.slips import record_dates, tick_tasks
from calendar_tui.planning.changes.ticks import StageDay, Tick, tick_change
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.review.delays import Slip, causes, slips
from calendar_tui.planning.review.lit import lamps_burnt, outages_reviewed
from calendar_tui.planning.review.outcomes import AT_RECORD, DEFAULTS, LEADS, PLANNED, Outcome
from calendar_tui.planning.review.replays import by_default, replayed
from calendar_tui.planning.review.review import review_of
from calendar_tui.planning.review.scores import Score, interval_score, score, scores, wilson
from calendar_tui.planning.review.worked import hours_by_chore
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.reading import read_season
from tests.planning.farm import FARM

FIRST = date(2027, 1, 1)
TODAY = date(2027, 4, 1)


def day(n: int) -> date:
    return FIRST + timedelta(days=n)


def one(recorded: int, early: int = 10, likely: int = 14, late: int = 20, **more: str) -> Outcome:
    names = {
        "cohort": "A1",
        "variety": "amber",
        "place": "H1",
        "stage": "flowering",
        "basis": AT_RECORD,
        **more,
    }
    return Outcome(**names, recorded=day(recorded), said=day(likely), earliest=day(early), latest=day(late))


def of(scored: tuple[Score, ...], basis: str, group: str = "", name: str = "") -> Score:
    (found,) = [s for s in scored if (s.basis, s.group, s.name) == (basis, group, name)]
    return found


# --- scores


@pytest.mark.parametrize(("inside", "n"), [(0, 1), (1, 1), (7, 10), (0, 12), (12, 12), (31, 40), (1, 300)])
def test_bounds_of_a_share_are_those_of_statsmodels(inside: int, n: int) -> None:
    proportion = pytest.importorskip("statsmodels.stats.proportion")
    low, high = proportion.proportion_confint(inside, n, alpha=0.05, method="wilson")
    assert wilson(inside, n) == (pytest.approx(low, abs=1e-12), pytest.approx(high, abs=1e-12))


def test_seven_of_ten_may_be_40_to_89_percent() -> None:
    assert [round(100 * bound) for bound in wilson(7, 10)] == [40, 89]


@pytest.mark.parametrize(("recorded", "worth"), [(15, 10), (10, 10), (20, 10), (23, 40), (9, 20), (0, 110)])
def test_a_range_is_scored_by_its_width_and_the_days_outside(recorded: int, worth: float) -> None:
    assert interval_score(one(recorded)) == worth


def test_a_plan_date_has_no_range() -> None:
    planned = replace(one(15), earliest=None, latest=None, basis=PLANNED)
    assert (planned.inside, planned.error_d) == (None, 1)
    alone = score(PLANNED, "", "", [planned])
    assert (alone.n, alone.ranged, alone.inside, alone.low, alone.high, alone.interval_d) == (
        1,
        0,
        *4 * [None],
    )
    with pytest.raises(ValueError, match="no range"):
        interval_score(planned)


RECORDS = st.lists(st.integers(0, 60), min_size=1, max_size=12)


@given(RECORDS)
def test_bias_and_error_are_those_of_numpy(records: list[int]) -> None:
    errors = np.array(records) - 14
    found = score(AT_RECORD, "", "", [one(n) for n in records])
    assert found.bias_d == np.median(errors)
    assert found.mean_absolute_d == pytest.approx(np.abs(errors).mean())
    assert found.inside == ((np.array(records) >= 10) & (np.array(records) <= 20)).sum()


@given(
    st.permutations(
        [one(n, stage=s, variety=v) for n in (5, 15, 31) for s in ("harvest", "induced") for v in "ab"]
    )
)
def test_the_order_of_records_changes_nothing(mixed: list[Outcome]) -> None:
    assert scores(mixed) == scores(sorted(mixed, key=repr))


@given(RECORDS, st.integers(10, 20))
def test_a_record_inside_its_range_never_lowers_the_share(records: list[int], further: int) -> None:
    before = score(AT_RECORD, "", "", [one(n) for n in records])
    after = score(AT_RECORD, "", "", [one(n) for n in (*records, further)])
    assert before.inside is not None
    assert after.inside is not None
    assert after.inside / after.ranged >= before.inside / before.ranged
    assert after.low is not None
    assert before.low is not None
    assert after.low >= before.low


def test_each_group_has_its_own_score() -> None:
    scored = scores([one(15), one(25, variety="fen", place="H2"), one(14, stage="harvest")])
    assert of(scored, AT_RECORD).n == 3
    assert (of(scored, AT_RECORD, "variety", "fen").n, of(scored, AT_RECORD, "variety", "fen").bias_d) == (
        1,
        11,
    )
    assert of(scored, AT_RECORD, "place", "H1").inside == 2
    assert [s.name for s in scored if s.group == "stage"] == ["flowering", "harvest"]


# --- a season recorded by the program


def farm(**tables: list) -> tuple[Plan, dict]:
    data = deepcopy(FARM)
    for cohort in data["cohort"]:
        cohort.pop("recorded", None)
    data.update(tables)
    return _read(data), data


def _read(data: dict) -> Plan:
    reading = read_season(data)
    assert reading.season is not None, reading.problems
    return make_plan(reading.season, TODAY)


def recorded(plan: Plan, data: dict, *dates: tuple[str, str, date], cause: str = "") -> tuple[Plan, dict]:
    for cohort, stage, when in dates:
        made = record_dates(plan, [StageDay(cohort, stage, when, cause=cause)])
        data = apply_edits(data, made.change.edits)
        plan = _read(data)
        assert plan.season.cohorts == made.plan.season.cohorts
    return plan, data


A1 = (
    ("A1", "seeding", date(2026, 11, 1)),
    ("A1", "emergence", date(2026, 11, 7)),
    ("A1", "transplant", date(2026, 11, 30)),
    ("A1", "lights_on", date(2026, 11, 30)),
    ("A1", "lights_off", date(2027, 1, 10)),
    ("A1", "induced", date(2027, 1, 30)),
    ("A1", "flowering", date(2027, 2, 14)),
)


def test_what_is_projected_is_kept_as_a_cohort_is_started_planted_and_lit_no_more() -> None:
    plan, data = farm()
    for n, (cohort, stage, when) in enumerate(A1):
        before = plan.timelines["A1"].stages
        plan, data = recorded(plan, data, (cohort, stage, when))
        now = plan.season.cohorts["A1"]
        key = {
            "seeding": "forecast_at_start",
            "transplant": "forecast_at_transplant",
            "lights_off": "forecast_at_lights_off",
        }
        if stage in key:
            kept = getattr(now, key[stage])
            assert kept["flowering"] == before["flowering"].range, n
            assert stage not in kept
            assert "seeding" not in kept
        if before[stage].status == "projected":
            assert now.forecast[stage] == before[stage].range
    assert "emergence" in now.forecast_at_start
    assert "emergence" not in now.forecast_at_transplant


def test_a_record_that_is_corrected_keeps_what_was_projected_first() -> None:
    plan, data = recorded(*farm(), *A1[:3])
    first = plan.season.cohorts["A1"].forecast_at_transplant
    plan, _ = recorded(plan, data, ("A1", "transplant", date(2026, 12, 8)))
    assert plan.season.cohorts["A1"].forecast_at_transplant == first != {}


def test_every_record_is_scored_by_what_was_said_at_each_time() -> None:
    plan, _ = recorded(*farm(), *A1)
    review = review_of(plan)
    found = {(o.basis, o.stage): o for o in review.outcomes if o.cohort == "A1"}
    assert found[PLANNED, "transplant"].error_d == 4
    assert {basis for basis, stage in found if stage == "flowering"} == {*LEADS.values(), DEFAULTS}
    likely = plan.season.cohorts["A1"].forecast["flowering"][1]
    assert found[AT_RECORD, "flowering"].error_d == (date(2027, 2, 14) - likely).days
    assert of(review.scores, AT_RECORD, "stage", "flowering").n == 1
    assert not [text for text in review.missing if "not kept" in text]


def test_default_figures_are_those_of_no_record_of_the_variety() -> None:
    """A variety whose figures are the program's own is said the same of by both."""
    plan, data = farm()
    data["cohort"][0]["variety"] = "plain"
    plan, _ = recorded(_read(data), data, *A1)
    said = {o.stage: o for o in replayed(plan, {k: by_default(v) for k, v in plan.season.varieties.items()})}
    kept = plan.season.cohorts["A1"].forecast
    assert kept["flowering"] == (said["flowering"].earliest, said["flowering"].said, said["flowering"].latest)


def test_of_nothing_recorded_it_says_what_is_missing_and_no_share() -> None:
    review = review_of(farm()[0])
    assert (review.outcomes, review.scores, review.slips, review.causes) == ((), (), (), ())
    assert any("no date is recorded" in text for text in review.missing)
    assert any("no task is ticked" in text for text in review.missing)


def test_a_projection_that_was_not_kept_is_missing_and_not_made_up() -> None:
    _, data = recorded(*farm(), *A1)
    for key in LEADS:
        data["cohort"][0].pop(key, None)
    review = review_of(_read(data))
    assert not {o.basis for o in review.outcomes} & set(LEADS.values())
    assert any("at the transplant for 2 of 2 records" in text for text in review.missing), review.missing


# --- hours

CHORE = {
    "id": "plant",
    "what": "Transplant",
    "stage": "transplant",
    "records": "transplant",
    "hours": 2.0,
    "per": "cohort",
}
LIGHT = {
    "id": "look",
    "what": "Look",
    "stage": "seeding",
    "repeat": "FREQ=DAILY;INTERVAL=7",
    "until": "harvest",
    "hours": 0.5,
}


def worked() -> tuple[Plan, dict]:
    plan, data = farm(chore=[CHORE, LIGHT])
    return _read(data := apply_edits(data, refresh(plan).change.edits)), data


def test_hours_spent_stand_beside_those_planned() -> None:
    plan, data = worked()
    looks = [t for t in plan.season.tasks if t.chore == "look" and t.date <= TODAY][:5]
    spent = [0.5, 1.0, None, 0.25, 2.0]
    change = tick_change([Tick(t, t.date, spent=h) for t, h in zip(looks, spent, strict=True)])
    (hours,) = hours_by_chore(_read(apply_edits(data, change.edits)).season)
    assert (hours.done, hours.planned_h, hours.timed, hours.timed_planned_h, hours.spent_h) == (
        5,
        2.5,
        4,
        2.0,
        3.75,
    )
    assert hours.ratio == np.median([1.0, 2.0, 0.5, 4.0])
    assert hours.ratios == 4


def test_hours_of_work_that_records_a_stage_are_kept_too() -> None:
    plan, data = worked()
    (task,) = [t for t in plan.season.tasks if t.chore == "plant" and t.cohort == "A1"]
    plan, data = recorded(plan, data, A1[0])
    made = tick_tasks(plan, [Tick(task, date(2026, 11, 28), spent=3.5, cause="rain")])
    after = _read(apply_edits(data, made.change.edits)).season
    assert after.tasks == made.plan.season.tasks
    assert after.cohorts["A1"].causes == {"transplant": "rain"}
    assert hours_by_chore(after)[0].ratio == 1.75


def test_tasks_in_any_order_have_the_same_hours() -> None:
    plan, data = worked()
    ticks = [Tick(t, t.date, spent=0.1 * n) for n, t in enumerate(plan.season.tasks) if t.date <= TODAY]
    season = _read(apply_edits(data, tick_change(ticks).edits)).season
    assert hours_by_chore(season) == hours_by_chore(replace(season, tasks=season.tasks[::-1]))


# --- lamps


def test_kwh_are_power_times_hours_of_the_nights_that_burnt() -> None:
    """By hand: a night break from 22:00 to 02:00 is 4 h; 41 evenings from 30 Nov to 9 Jan, of which 3 failed; 0.9 kW."""
    plan, data = farm(outage=[{"place": "H1", "from": date(2026, 12, 20), "to": date(2026, 12, 22)}])
    data["place"][1]["lamps"] = {
        "method": "night-break",
        "on": "22:00",
        "off": "02:00",
        "kw": 0.9,
        "cost_per_kwh": 0.2,
    }
    plan, _ = recorded(_read(data), data, *A1)
    (burnt,) = [lamp for lamp in lamps_burnt(plan) if lamp.light == "H1"]
    assert burnt.nights == 38
    assert burnt.h == pytest.approx(38 * 4)
    assert burnt.kwh == pytest.approx(38 * 4 * 0.9)
    assert burnt.cost == pytest.approx(38 * 4 * 0.9 * 0.2)


def test_lamps_burn_up_to_today_and_no_further() -> None:
    plan, _ = recorded(*farm(), *A1[:3])
    early, late = (
        {lamp.light: lamp.h for lamp in lamps_burnt(replace(plan, today=date(2026, 12, n)))} for n in (10, 20)
    )
    assert 0 < early["H1"] < late["H1"]
    assert not {lamp.light for lamp in lamps_burnt(replace(plan, today=date(2026, 10, 1)))}


def test_an_outage_is_told_by_what_it_did_though_flowering_is_recorded() -> None:
    nights = {"place": "H1", "from": date(2026, 12, 20), "to": date(2027, 1, 5)}
    plan, _ = recorded(*farm(outage=[nights]), *A1)
    (outage,) = outages_reviewed(plan)
    assert outage.nights == 17
    assert [text for text in outage.verdicts if text.startswith("A1")]
    assert not [text for text in outage.verdicts if "is recorded on" in text]
    assert ("A1", "flowering", date(2027, 2, 14)) in outage.recorded


# --- slips


def test_slips_are_counted_by_their_causes() -> None:
    plan, data = recorded(*farm(), A1[0])
    plan, data = recorded(plan, data, ("A1", "transplant", date(2026, 11, 30)), cause="Rain")
    plan, data = recorded(plan, data, ("F1", "seeding", date(2026, 11, 2)), cause="rain ")
    plan, data = recorded(plan, data, ("F1", "transplant", date(2026, 11, 25)))
    found = tuple(slips(plan.season))
    assert [(s.cohort, s.stage, s.days, s.cause) for s in found] == [
        ("A1", "transplant", 4, "Rain"),
        ("F1", "seeding", 1, "rain"),
        ("F1", "transplant", -1, ""),
    ]
    rain, none = causes(found)
    assert (rain.n, rain.later, rain.late_d, rain.early_d, rain.median_d) == (2, 2, 5, 0, 2.5)
    assert (none.cause, none.n, none.late_d, none.early_d) == ("", 1, 0, 1)
    assert any("1 of 3 dates" in text for text in review_of(plan).missing)


@given(
    st.permutations(
        [Slip("A1", "harvest", day(3), day(3 + n), c) for n in (-2, 1, 5) for c in ("", "Wind", "wind")]
    )
)
def test_causes_in_any_order_are_the_same(mixed: list[Slip]) -> None:
    assert causes(mixed) == causes(sorted(mixed, key=repr))
