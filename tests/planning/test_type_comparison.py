"""What each type would give: as the season is laid out with it; and the difference in a line while nothing is recorded."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from calendar_tui.handing_on.tables.type_rows import type_rows
from calendar_tui.handing_on.words.types_text import contrast_text, types_text
from calendar_tui.planning.changes.type_comparison import STAGES, compare_types, contrast, waiting
from calendar_tui.planning.changes.variety_type import change_type
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.variety_types import variety_types
from tests.planning.farm import TODAY, farm_data, season_of


def planned(recorded=None, **keys) -> Plan:
    """The farm's plan; its second variety with these keys, and recorded dates of its first cohort of that."""
    data = farm_data()
    data["variety"][1].update(keys)
    data["cohort"][1]["recorded"] = recorded or {}
    return make_plan(season_of(data), TODAY)


@pytest.mark.parametrize("name", ["amber", "plain", "byage"])
@pytest.mark.parametrize("kind", [k for k in variety_types() if k != "day-neutral"])
def test_a_cohort_is_compared_as_the_season_is_laid_out_with_the_type(name, kind):
    plan = planned()
    variety = plan.season.varieties[name]
    after = change_type(plan, variety, f"{kind} alone").plan
    for of in compare_types(plan, variety):
        (dates,) = (d for d in of.by_type if d.kind is not None and d.kind.id == kind)
        laid_out = after.timelines[of.cohort.id].stages
        assert {s: dates.stage(s) for s in STAGES} == {s: laid_out.get(s) for s in STAGES}
        assert of.now.timeline == plan.timelines[of.cohort.id]


def test_a_variety_without_cohorts_is_compared_by_sowings_over_the_season():
    data = farm_data()
    data["variety"].append({"id": "fresh", "response": "short-day", "type": "oil-unknown"})
    plan = make_plan(season_of(data), TODAY)
    rows = tuple(compare_types(plan, plan.season.varieties["fresh"]))
    assert [of.cohort.planned["seeding"] for of in rows] == [
        date(2026, 9, 1), date(2026, 10, 21), date(2026, 12, 10), date(2027, 1, 30),
    ]  # fmt: skip
    assert {of.cohort.place for of in rows} == {"F1"}
    for of in rows:
        own = next(d for d in of.by_type if d.kind is not None and d.kind.id == "oil-unknown")
        assert own.timeline.stages == of.now.timeline.stages
    text = "\n".join(types_text(plan, plan.season.varieties["fresh"], rows))
    assert "Sown in F1 on natural days, Tue 1 Sep 2026" in text
    assert max(map(len, text.splitlines())) <= 80


def test_the_choice_of_a_type_matters_at_this_site():
    plan = planned()
    first, *_ = compare_types(plan, plan.season.varieties["plain"])
    likely = {
        d.kind.id: d.stage("induced").likely
        for d in first.by_type
        if d.kind and d.kind.response == "short-day"
    }
    assert first.apart_d == (max(likely.values()) - min(likely.values())).days > 14


def test_cohorts_whose_response_is_recorded_are_left_out():
    plan = planned({"seeding": date(2026, 11, 1), "induced": date(2026, 12, 5)})
    plain = plan.season.varieties["plain"]
    assert [c.id for c in waiting(plan, plain)] == ["C1"]
    assert [of.cohort.id for of in compare_types(plan, plain)] == ["C1"]


def test_rows_for_json_hold_every_stage_of_every_type_and_what_never_comes():
    plan = planned()
    rows = type_rows(compare_types(plan, plan.season.varieties["plain"]))
    assert len(rows) == 2 * (1 + len(variety_types()))
    assert [r["type"] for r in rows[: len(variety_types()) + 1]] == [None, *variety_types()]
    by_age = next(r for r in rows if r["type"] == "day-neutral")
    assert by_age["induced"] is None
    assert by_age["flowering"]["earliest"] <= by_age["flowering"]["likely"] <= by_age["flowering"]["latest"]


# --- in one line, while nothing is recorded


def test_while_its_response_is_not_recorded_the_type_that_would_differ_most_is_named():
    plan = planned(type="oil-unknown")
    plain = plan.season.varieties["plain"]
    either = contrast(plan, plain)
    assert either.other.kind.id in ("oil-fitted", "oil-zhang")
    now = either.now.stage("induced")
    by_type = {d.kind.id: d for of in compare_types(plan, plain, 1) for d in of.by_type if d.kind}
    apart = {
        k: abs((by_type[k].stage("induced").likely - now.likely).days) for k in ("oil-fitted", "oil-zhang")
    }
    assert apart[either.other.kind.id] == max(apart.values())
    text = contrast_text(plan, plain)
    assert text.startswith("Its response is not recorded yet: F1 induced ")
    assert f"; as {either.other.kind.id} it would be induced " in text


@pytest.mark.parametrize("stage", ["trigger", "induced", "flowering"])
def test_once_any_cohort_of_the_variety_is_recorded_nothing_is_told(stage):
    plan = planned({"seeding": date(2026, 11, 1), stage: date(2026, 12, 5)}, type="oil-unknown")
    assert contrast_text(plan, plan.season.varieties["plain"]) == ""


def test_nothing_is_told_of_a_critical_day_of_the_farms_own_or_of_what_flowers_by_age():
    own = planned(type="oil-unknown", critical_day="14:20", marks={"critical_day": "own"})
    assert contrast(own, own.season.varieties["plain"]) is None
    assert contrast(own, own.season.varieties["byage"]) is None
    assert contrast(own, replace(own.season.varieties["amber"], id="nowhere")) is None


def test_a_fibre_variety_is_held_against_the_other_fibre_type():
    plan = planned(type="fibre-northern")
    assert contrast(plan, plan.season.varieties["plain"]).other.kind.id == "fibre-subtropical"


def test_what_never_comes_counts_as_the_last_day_of_the_season():
    data = farm_data()
    data["variety"][1]["type"] = "fibre-northern"
    data["season"]["last_day"] = date(2027, 2, 1)
    plan = make_plan(season_of(data), TODAY)
    assert "as fibre-subtropical it would not be induced this season" in contrast_text(
        plan, plan.season.varieties["plain"]
    )
