"""The order in which cohorts are looked at, and what comes next with each."""

from __future__ import annotations

import tomllib
from datetime import date, timedelta
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.arranging import WAYS, groups_of, rows_of
from calendar_tui.planning.coming import coming
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.reading import read_season
from calendar_tui.storage.finding import example_files

TODAY = date(2026, 12, 8)
(EXAMPLE,) = (file for file in example_files() if file.stem == "two-rivers")


@cache
def plan_on(today: date = TODAY) -> Plan:
    season = read_season(tomllib.loads(EXAMPLE.read_text(encoding="utf-8"))).season
    assert season is not None
    return make_plan(season, today)


WORDS = st.sampled_from(
    ["", "amber", "H3", "a", "h1 amber", "tallow f1", "nothing of the kind", "N1", " A1 "]
)


@given(st.sampled_from([*WAYS]), WORDS)
def test_every_cohort_that_words_find_stands_in_one_group_once(way: str, words: str) -> None:
    groups = groups_of(plan_on(), way, words)
    ids = [name for group in groups for name in group.cohorts]
    assert len(ids) == len(set(ids))
    assert set(ids) <= set(plan_on().season.cohorts)
    assert all(group.cohorts for group in groups)
    assert len({group.name for group in groups}) == len(groups)
    if not words:
        assert set(ids) == set(plan_on().season.cohorts)


@given(st.sampled_from([*WAYS]), WORDS, st.sets(st.sampled_from(["H1", "H3", "amber", "brook", "Apr 2027"])))
def test_a_folded_group_is_one_row_and_no_cohort_of_it_another(
    way: str, words: str, folded: set[str]
) -> None:
    groups = groups_of(plan_on(), way, words)
    rows = rows_of(groups, folded)
    assert [row.group.name for row in rows if row.first] == [group.name for group in groups]
    assert len({row.key for row in rows}) == len(rows)
    for group in groups:
        shown = [row.cohort for row in rows if row.group == group]
        assert shown == ([""] if group.name in folded else list(group.cohorts))


@pytest.mark.parametrize(
    ("way", "names"),
    [
        ("place", ["H1", "H2", "H3", "F1", "F2", "F3"]),
        ("variety", ["amber", "brook", "tallow", "dayfree"]),
        ("harvest", ["Dec 2026", "Jan 2027", "Mar 2027", "Apr 2027"]),
    ],
)
def test_groups_stand_in_the_order_of_the_file_or_of_time(way: str, names: list[str]) -> None:
    assert [group.name for group in groups_of(plan_on(), way)] == names


def test_cohorts_of_a_group_stand_in_order_of_their_planting() -> None:
    for group in groups_of(plan_on(), "place"):
        days = [plan_on().timelines[name].planted for name in group.cohorts]
        assert days == sorted(days)
    plantings = [plan_on().timelines[g.cohorts[0]].planted for g in groups_of(plan_on(), "planting")]
    assert plantings == sorted(plantings)


def test_words_find_by_id_variety_place_part_and_group_in_any_case() -> None:
    assert [c for g in groups_of(plan_on(), "place", "AMBER h3") for c in g.cohorts] == ["A3"]
    assert [c for g in groups_of(plan_on(), "place", "n1") for c in g.cohorts], (
        "the nursery is a place of theirs"
    )
    in_april = [c for g in groups_of(plan_on(), "harvest", "apr") for c in g.cohorts]
    assert in_april == [c for g in groups_of(plan_on(), "harvest") if g.name == "Apr 2027" for c in g.cohorts]


def test_what_is_overdue_comes_first_then_what_is_nearest() -> None:
    late = coming(plan_on().timelines["A3"], TODAY)
    assert late is not None
    assert (late.short, late.long, late.decided) == ("transplant 4 d late", "transplant 4 d late", True)
    now = coming(plan_on().timelines["A1"], TODAY)
    assert now is not None
    assert now.short == now.long == "sampling today"
    off = coming(plan_on().timelines["A2"], TODAY)
    assert off is not None
    assert (off.short, off.long) == ("lights off 12 Dec", "lights off Sat 12 Dec, in 4 days")


@given(st.integers(-200, 400))
def test_what_comes_next_is_never_behind_but_for_what_the_grower_has_not_recorded(ahead: int) -> None:
    today = TODAY + timedelta(days=ahead)
    for timeline in plan_on().timelines.values():
        step = coming(timeline, today)
        if step is None:
            ahead_of = [
                s.stage for s in timeline.stages.values() if s.likely >= today and s.status != "recorded"
            ]
            # Nothing is dried before its harvest is recorded.
            assert ahead_of in ([], ["dried"])
            continue
        assert (step.day - today).days == step.days
        assert step.stage not in timeline.cohort.recorded
        if step.days < 0:
            assert step.decided
