"""Clashes are shown once, where they belong, whatever the number of cohorts they touch."""

from __future__ import annotations

import pytest

from calendar_tui.handing_on.words.clash_text import cohort_texts, group_text, once_lines, one_cohort_texts
from calendar_tui.planning.clash import Clash
from calendar_tui.planning.clash_groups import LEAST_ALIKE, clashes_once
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.reading import read_season
from tests.trial_season import TODAY, trial_data


@pytest.fixture(scope="module")
def plan() -> Plan:
    return _plan(126, capacity={"dryer_kg": 100})


def _plan(cohorts: int, **more: object) -> Plan:
    data = {**trial_data(cohorts), **more}
    for place in data["place"]:
        place["area_m2"] = 3000 if place["id"] != "G1" else 30
    for variety in data["variety"]:
        variety["fresh_kg_per_plant"] = 2.0
    season = read_season(data).season
    assert season is not None
    return make_plan(season, TODAY)


def test_every_clash_is_in_one_place_alone(plan: Plan) -> None:
    told = clashes_once(plan.clashes, plan.timelines)
    shown = [c for group in (*told.farm, *told.places, *told.alike) for c in group.clashes]
    shown += [c for clashes in told.own.values() for c in clashes]
    assert len(shown) == len(set(shown)) == len(plan.clashes)
    assert set(shown) == set(plan.clashes)


def test_whose_clash_it_is(plan: Plan) -> None:
    told = clashes_once(plan.clashes, plan.timelines)
    assert all(not clash.cohorts for group in told.farm for clash in group.clashes)
    assert {group.place for group in told.places} == {"G1"}
    assert all(len(group.clashes) >= LEAST_ALIKE for group in told.alike)
    assert all(clash.own == name for name, clashes in told.own.items() for clash in clashes)


def test_three_cohorts_with_the_same_clash_have_it_together_and_two_each_its_own() -> None:
    for names, together in ((("A1", "B1"), 0), (("A1", "B1", "C1"), 1)):
        told = clashes_once([Clash("late", (name,), f"{name} is late") for name in names], names)
        assert [group.cohorts for group in told.alike] == [names] * together
        assert [len(own) for own in told.own.values()] == [1 - together] * len(names)


def test_all_weeks_of_a_role_are_a_sentence_with_the_worst_of_them(plan: Plan) -> None:
    told = clashes_once(plan.clashes, plan.timelines)
    crew = {g.of: group_text(g) for g in told.farm if g.of.startswith("crew: ")}
    assert set(crew) == {"crew: grower"}
    weeks = [c.excess for c in plan.clashes if c.excess and c.excess.what == "crew: grower"]
    worst = max(weeks, key=lambda excess: excess.amount - excess.has)
    assert len(weeks) > 3
    assert f"over-full {len(weeks)} times" in crew["crew: grower"]
    assert f"{worst.amount:g} h of 40 h; calendar-tui load" in crew["crew: grower"]


def test_of_many_cohorts_in_the_dryer_the_sum_comes_by_variety(plan: Plan) -> None:
    dryer = next(c for c in plan.clashes if c.kind.startswith("dryer"))
    assert len(dryer.shown_with) > 12
    assert "cohorts, " in dryer.text
    assert len(dryer.text) < 400
    assert not any(f"{name} " in dryer.text for name in dryer.shown_with)


def test_dates_of_many_cohorts_have_the_farms_clashes_once_at_the_top(plan: Plan) -> None:
    told = clashes_once(plan.clashes, plan.timelines)
    top = list(once_lines(told))
    assert top[0] == "The farm"
    assert len(top) < 60
    assert sum(line.startswith("  ! crew: grower") for line in top) == 1
    assert all(len(cohort_texts(told, name)) <= 2 for name in plan.timelines)
    assert any("crew: grower" in text for text in cohort_texts(told, "A1F1a"))


@pytest.mark.slow
def test_twice_as_many_cohorts_do_not_make_the_top_twice_as_long() -> None:
    few, many = (
        len(list(once_lines(clashes_once(plan.clashes, plan.timelines)))) for plan in (_plan(54), _plan(216))
    )
    assert many < 2 * few + 20


def test_one_cohort_alone_has_the_farms_clashes_in_a_sentence_each(plan: Plan) -> None:
    texts = one_cohort_texts(plan, "A1F1a")
    assert sum("grower" in text for text in texts) == 1
    assert any(text.startswith("A1F1a moves from a day of") for text in texts)
    assert len(texts) < 8
