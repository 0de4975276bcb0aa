"""What each type would give: as the season is laid out with it; and the difference in a line while nothing is recorded."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from calendar_tui.handing_on.tables.type_rows import type_rows
from calendar_tui.handing_on.words.types_text import MOST, contrast_text, types_text
from calendar_tui.planning.changes.type_comparison import STAGES, compare_types, contrast, waiting
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.variety_types import variety_types
from tests.planning.farm import TODAY, farm_data, season_of
from tests.planning.test_variety_type import fitted_farm
from tests.planning.typed_changes import typed_change


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
    after = typed_change(farm_data(), "variety", name, {"type": f"{kind} alone"}).plan
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


def test_where_no_type_gives_other_dates_nothing_is_told():
    """On its last day every type of the kind leaves it as it stands: not induced within the season."""
    data = farm_data()
    data["variety"][1]["type"] = "fibre-subtropical"
    data["season"]["last_day"] = date(2026, 12, 1)
    data["cohort"] = [c for c in data["cohort"] if c["id"] == "C1"]
    data["variety"][1]["juvenile_d"] = 60
    data["cohort"][0] |= {
        "start": "seed",
        "planned": {"seeding": date(2026, 11, 1), "transplant": date(2026, 11, 26)},
    }
    plan = make_plan(season_of(data), TODAY)
    assert plan.timelines["C1"].likely("induced") is None
    assert contrast(plan, plan.season.varieties["plain"]) is None


def warm_farm():
    """The farm on heat, colder than its figures in days were seen at; invented monthly means."""
    data = farm_data()
    data["site"] |= {"monthly_low_c": [9.0] * 12, "monthly_high_c": [19.0] * 12}
    data["heat"] = {}
    return data


@pytest.mark.parametrize("kind", ["oil-zhang", "day-neutral"])
def test_on_heat_too_it_is_as_the_season_is_laid_out_with_the_type(kind):
    plan = make_plan(season_of(warm_farm()), TODAY)
    plain = plan.season.varieties["plain"]
    after = typed_change(warm_farm(), "variety", "plain", {"type": f"{kind} alone"}).plan
    for of in compare_types(plan, plain):
        (dates,) = (d for d in of.by_type if d.kind is not None and d.kind.id == kind)
        assert dates.stage("flowering") == after.timelines[of.cohort.id].stages["flowering"]


def test_sowings_run_on_heat_where_the_season_does():
    flowering = {}
    for name, data in {"days": farm_data(), "heat": warm_farm()}.items():
        data["variety"].append({"id": "fresh", "response": "day-neutral", "type": "day-neutral"})
        plan = make_plan(season_of(data), TODAY)
        first, *_ = compare_types(plan, plan.season.varieties["fresh"])
        flowering[name] = first.now.stage("flowering").likely
    assert flowering["heat"] > flowering["days"]


def many_cohorts(count):
    data = farm_data()
    plain = [c for c in data["cohort"] if c["id"] == "F1"]
    data["cohort"] = [{**plain[0], "id": f"P{n}"} for n in range(count)]
    return make_plan(season_of(data), TODAY)


@pytest.mark.parametrize(
    ("count", "shown", "more"), [(4, 4, ""), (5, 4, "And 1 more cohort; "), (6, 4, "And 2 more cohorts; ")]
)
def test_of_many_cohorts_the_first_are_shown_and_the_rest_counted(count, shown, more):
    plan = many_cohorts(count)
    plain = plan.season.varieties["plain"]
    compared = tuple(compare_types(plan, plain, MOST))
    assert [of.cohort.id for of in compared] == [f"P{n}" for n in range(shown)]
    assert len(tuple(compare_types(plan, plain))) == count
    text = "\n".join(types_text(plan, plain, compared))
    assert ("more cohort" in text) == bool(more)
    assert more in text
    assert f"Between the short-day types: induced up to {compared[0].apart_d} d apart." in text


def test_where_every_cohort_is_recorded_that_is_told_in_place_of_dates():
    data = farm_data()
    for cohort in data["cohort"][1:3]:
        cohort["recorded"] = {"induced": date(2026, 12, 5)}
    plan = make_plan(season_of(data), TODAY)
    plain = plan.season.varieties["plain"]
    assert tuple(compare_types(plan, plain)) == ()
    text = " ".join(types_text(plan, plain, ()))
    assert "What plain did is recorded in every cohort; its records say more than a type." in text
    assert "oil-fitted" in text


def test_where_there_is_no_room_for_ranges_likely_dates_stand_alone():
    plan = planned()
    plain = plan.season.varieties["plain"]
    compared = tuple(compare_types(plan, plain, 1))
    wide, narrow = (list(types_text(plan, plain, compared, width)) for width in (80, 39))
    assert any(line.split() == ["trigger", "induced", "harvest"] for line in wide)
    assert any(line.split() == ["induced", "harvest"] for line in narrow)
    assert all("(" not in line for line in narrow if line.startswith("  oil-zhang "))
    assert max(len(line) for line in narrow if line.startswith("  ") and "type" not in line) <= 39


def test_nothing_is_told_of_a_variety_whose_figures_are_fitted():
    plan = make_plan(season_of(fitted_farm()), TODAY)
    plain = replace(plan.season.varieties["plain"], marks={})
    assert contrast(plan, plain) is None
    assert contrast(plan, replace(plain, sets=())) is not None
