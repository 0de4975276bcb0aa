"""What would make a wish possible that cannot be planted, and a cohort of a planting date that is taken."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from calendar_tui.planning.plan import Plan
from calendar_tui.planning.response.outcomes import Planting, cohort_of, outcome, response
from calendar_tui.planning.staggering.proposing import stagger
from calendar_tui.planning.staggering.scheme import Scheme
from calendar_tui.planning.staggering.taking import taken_scheme, wish_of
from calendar_tui.planning.staggering.ways import MOST_WAYS, ways
from calendar_tui.planning.staggering.wish import Wish
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.refusal import Refusal
from tests.planning.farm import season_of
from tests.planning.staggered import AREA_M2, FIRST, SPACING, area_on, days, empty_data, planned, wish

WANTED = date(2027, 3, 1)
PLANTING = Planting(variety="amber", place="H1", nursery="N1", lights_off=35)


def one(**keys: Any) -> Wish:
    return wish(**{"count": 1, "first": WANTED, "every_d": None, "lights": ("H1",)} | keys)


def with_cohort(plants: int, planted: date, **more: Any) -> dict[str, Any]:
    """The farm with one cohort in H1."""
    seeded = planted - timedelta(days=25)
    dates = {"seeding": seeded, "transplant": planted} | more
    cohort = {"id": "A1", "variety": "amber", "start": "seed", "nursery": "N1", "place": "H1"}
    return empty_data(cohort=[cohort | {"plants": plants, "spacing_m": list(SPACING), "planned": dates}])


def tried(plan: Plan, asked: Wish) -> Scheme | None:
    try:
        return stagger(plan, asked)
    except Refusal:
        return None


@pytest.mark.slow
def test_too_many_plants_for_a_house_are_offered_as_many_as_it_holds_and_other_places() -> None:
    plan = planned(empty_data())
    asked = one(plants=400)
    blocked = stagger(plan, asked)
    assert blocked.hard_texts
    offered = ways(plan, asked, blocked)
    texts = [way.text for way in offered]
    assert "200 plants in place of 400" in texts
    assert any(text.startswith("F1 in place of H1") or "H2 in place of H1" in text for text in texts)
    assert 0 < len(offered) <= MOST_WAYS


@pytest.mark.slow
@pytest.mark.parametrize("plants", [40, 90, 150, 400])
@pytest.mark.parametrize("off", [date(2026, 12, 1), date(2027, 1, 20)])
@pytest.mark.parametrize("wanted", [date(2027, 1, 5), WANTED, date(2027, 5, 1)])
def test_all_that_is_offered_can_be_planted_on_the_ground_that_there_is(
    plants: int, off: date, wanted: date
) -> None:
    """The ground is counted day by day, with the cohort that stands there."""
    plan = planned(with_cohort(120, date(2026, 10, 20), lights_off=off))
    asked = one(plants=plants, first=wanted)
    for way in ways(plan, asked, tried(plan, asked)):
        assert way.text
        assert not way.scheme.hard_texts
        harvest = way.scheme.sown[0].timeline.likely("harvest")
        assert harvest is not None
        assert way.scheme.measures.growth_d is not None
        assert way.scheme.measures.growth_d[0] >= 21
        light = way.scheme.sown[0].cohort.light
        own = plan.timelines["A1"].likely("harvest")
        assert own is not None
        for day in days(way.scheme) if light == "H1" else ():
            standing = 120 * 0.9 if date(2026, 10, 20) <= day < own else 0.0
            assert area_on(way.scheme, "H1", day) + standing <= AREA_M2 + 1e-6, day


@pytest.mark.slow
def test_a_way_says_all_that_is_other_than_in_the_wish() -> None:
    plan = planned(with_cohort(120, date(2026, 10, 20), lights_off=date(2027, 1, 20)))
    asked = one(plants=150)
    offered = ways(plan, asked, tried(plan, asked))
    assert offered
    for way in offered:
        cohort = way.scheme.sown[0].cohort
        assert (f"{cohort.light} in place of H1" in way.text) == (cohort.light != "H1")
        assert (f"{cohort.plants} plants in place of 150" in way.text) == (cohort.plants != 150)
        assert way.wish.first is not None
        assert (way.wish.first.strftime("%b %Y") in way.text) == (way.wish.first != WANTED)


@pytest.mark.slow
@pytest.mark.needs("ortools")
def test_several_cohorts_that_have_no_room_are_offered_fewer_plants_or_more_places() -> None:
    plan = planned(empty_data())
    asked = wish(lights=("H1", "H2"), plants=400, count=2)
    blocked = stagger(plan, asked)
    assert blocked.hard_texts
    texts = [way.text for way in ways(plan, asked, blocked)]
    assert any(text.startswith("200 plants") for text in texts)


@pytest.mark.slow
@pytest.mark.needs("ortools")
def test_of_several_cohorts_none_of_which_can_be_had_then_one_is_offered_where_and_when_it_can_be() -> None:
    plan = planned(empty_data(), date(2026, 12, 20))
    asked = wish(count=3, first=date(2027, 1, 10), every_d=14, lights=("F1",))
    with pytest.raises(Refusal):
        stagger(plan, asked)
    offered = ways(plan, asked, None)
    assert offered
    for way in offered:
        assert "1 of 3 cohorts" in way.text
        assert len(way.scheme.sown) == 1
        assert not way.scheme.hard_texts


# --- a planting date that is taken


def test_the_cohort_of_a_date_that_is_taken_has_the_dates_that_the_plot_read_out() -> None:
    plan = planned(empty_data())
    curve = response(plan.season, PLANTING, date(2026, 11, 20), date(2026, 11, 20))
    (found,) = curve.outcomes
    scheme = taken_scheme(plan, curve, found)
    (sown,) = scheme.sown
    assert found.harvest is not None
    assert sown.timeline.likely("harvest") == found.harvest.likely
    assert sown.cohort.id == "A1"
    assert sown.cohort.planned == cohort_of(plan.season.varieties["amber"], PLANTING, found.planted).planned
    season = season_of(apply_edits(empty_data(), scheme.proposal.change.edits))
    assert outcome(
        planned({**empty_data(), **apply_edits(empty_data(), scheme.proposal.change.edits)}).timelines["A1"]
    ).harvest
    assert list(season.cohorts) == ["A1"]
    assert season.tasks


def test_it_has_the_plants_and_spacing_of_the_cohort_it_is_like_and_the_next_free_name() -> None:
    plan = planned(with_cohort(77, date(2026, 10, 20)))
    curve = response(plan.season, PLANTING, date(2027, 1, 20), date(2027, 1, 20))
    cohort = taken_scheme(plan, curve, curve.outcomes[0], "A1").sown[0].cohort
    assert (cohort.id, cohort.plants, cohort.spacing_m) == ("A2", 77, SPACING)


def test_a_date_that_had_to_be_started_before_today_is_refused_with_that_date() -> None:
    plan = planned(empty_data(), date(2026, 11, 1))
    curve = response(plan.season, PLANTING, date(2026, 11, 20), date(2026, 11, 20))
    with pytest.raises(Refusal, match="had to be started on 26 Oct 2026, before today, 1 Nov 2026"):
        taken_scheme(plan, curve, curve.outcomes[0])


def test_a_date_outside_the_season_is_refused() -> None:
    plan = planned(empty_data())
    late = plan.season.last_day + timedelta(days=10)
    curve = response(plan.season, PLANTING, late, late)
    with pytest.raises(Refusal, match="outside the season"):
        taken_scheme(plan, curve, curve.outcomes[0])


@pytest.mark.slow
def test_what_has_no_room_on_the_date_that_is_taken_is_offered_fewer_plants() -> None:
    plan = planned(with_cohort(150, date(2026, 11, 20), lights_off=date(2026, 12, 25)))
    curve = response(plan.season, PLANTING, date(2026, 11, 20), date(2026, 11, 20))
    scheme = taken_scheme(plan, curve, curve.outcomes[0], "A1")
    assert scheme.hard_texts
    asked = wish_of(scheme)
    assert asked is not None
    assert any("50 plants in place of 150" in way.text for way in ways(plan, asked, scheme))


def test_a_wish_started_in_the_past_has_no_ways() -> None:
    plan = planned(empty_data(), FIRST + timedelta(days=250))
    assert ways(plan, one(), None) == ()


def test_a_sunday_that_is_taken_is_planted_on_the_nearest_working_day_and_the_sunday_is_named() -> None:
    plan = planned(empty_data(crew={"work_days": ["mon", "tue", "wed", "thu", "fri", "sat"]}))
    curve = response(plan.season, PLANTING, date(2026, 11, 16), date(2026, 11, 29))
    (sunday,) = (o for o in curve.outcomes if o.planted == date(2026, 11, 22))
    scheme = taken_scheme(plan, curve, sunday)
    planned_dates = scheme.sown[0].cohort.planned
    # Saturday is as near as Monday, and its start, 27 Oct, is worked too.
    assert planned_dates["transplant"] == date(2026, 11, 21)
    assert planned_dates["seeding"] == date(2026, 10, 27)
    assert (
        "planted on Sat 21 Nov 2026 and not on 22 Nov 2026: Sun 22 Nov 2026 is no working day" in scheme.notes
    )


def test_a_date_whose_start_falls_on_a_sunday_is_taken_a_day_off_too() -> None:
    plan = planned(empty_data(crew={"work_days": ["mon", "tue", "wed", "thu", "fri", "sat"]}))
    curve = response(plan.season, PLANTING, date(2026, 11, 16), date(2026, 11, 29))
    (thursday,) = (o for o in curve.outcomes if o.planted == date(2026, 11, 19))
    assert thursday.begun == date(2026, 10, 25)
    scheme = taken_scheme(plan, curve, thursday)
    assert scheme.sown[0].cohort.planned["transplant"] == date(2026, 11, 18)
    assert any("its start, Sun 25 Oct 2026, is no working day" in note for note in scheme.notes)


def test_a_wish_outside_the_season_has_no_ways() -> None:
    plan = planned(empty_data())
    assert ways(plan, one(first=plan.season.last_day + timedelta(days=5)), None) == ()
