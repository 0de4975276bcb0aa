"""Where a cohort stands from when to when, and what rests on it."""

from collections.abc import Mapping
from datetime import date, timedelta

import pytest
from hypothesis import given

from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.stays import Stay, growing_on, nursery_on, span_text, stay_on, stays_of
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.records import Cohort, Season
from tests.planning.farm import TODAY, farm, farm_data, season_of
from tests.planning.test_light_properties import QUICK, seasons


def a1_stays() -> tuple[Stay, ...]:
    return make_plan(farm(), TODAY).timelines["A1"].stays


def test_a_cohort_stands_in_its_nursery_up_to_the_transplant_and_then_in_its_place():
    nursery, house = a1_stays()
    assert nursery == Stay("N1", "", date.min, date(2026, 11, 26), True)
    assert house == Stay("H1", "", date(2026, 11, 26), date.max, False)


def test_a_cohort_that_is_sown_in_place_has_one_stay_open_at_both_ends():
    assert make_plan(farm(), TODAY).timelines["D1"].stays == (Stay("F1", "", date.min, date.max, False),)


def test_until_the_transplant_has_a_date_the_plants_stand_in_the_nursery():
    nursery, house = stays_of(farm().cohorts["A1"], {})
    assert nursery.end == house.first == date.max
    assert stay_on((nursery, house), date(2027, 6, 30)) == nursery


def test_a_day_has_one_stay_and_a_growing_place_ahead_of_it():
    stays = a1_stays()
    before, then = date(2026, 11, 25), date(2026, 11, 26)
    assert [stay_on(stays, day).light for day in (before, then)] == ["N1", "H1"]
    assert [growing_on(stays, day).light for day in (before, then)] == ["H1", "H1"]
    assert [nursery_on(stays, day).light for day in (before, then)] == ["N1", "N1"]
    assert nursery_on(make_plan(farm(), TODAY).timelines["D1"].stays, then) is None


def test_a_stay_in_a_part_names_the_light_of_that_part():
    data = farm_data()
    data["place"][1]["screened"] = ["east", "west"]
    data["cohort"][0]["part"] = "east"
    assert stays_of(season_of(data).cohorts["A1"], {})[1].light == "H1 east"


def test_the_days_of_a_stay_are_told_with_its_last():
    a, b = date(2026, 12, 4), date(2026, 12, 26)
    spans = ((date.min, a), (a, b), (b, date.max), (date.min, date.max))
    assert [span_text(Stay("H1", "", *span, False)) for span in spans] == [
        "up to 3 Dec",
        "4 Dec to 25 Dec",
        "from 26 Dec",
        "all along",
    ]


def place_on(cohort: Cohort, stages: Mapping[str, StageDate], day: date) -> str:
    """Nursery until transplant, then place."""
    if cohort.nursery and day < stages["transplant"].likely:
        return cohort.nursery
    return cohort.place


@pytest.mark.slow
@QUICK
@given(seasons())
def test_every_day_is_felt_where_the_nursery_and_the_place_say_the_plants_stand(season: Season) -> None:
    plan = make_plan(season, season.first_day)
    for timeline in plan.timelines.values():
        for n, felt_h in enumerate(timeline.felt_h):
            day = season.first_day + timedelta(days=n)
            place = place_on(timeline.cohort, timeline.stages, day)
            assert timeline.stay_on(day).place == place
            assert felt_h == plan.light.places[place].felt_h[n]


@pytest.mark.slow
@QUICK
@given(seasons())
def test_lamps_of_a_nursery_are_asked_for_up_to_the_transplant_and_of_a_place_from_lights_on(
    season: Season,
) -> None:
    plan = make_plan(season, season.first_day)
    for name, place in plan.light.places.items():
        for who, asked in place.asked:
            timeline = plan.timelines[who]
            if name == timeline.cohort.place:
                assert asked == (timeline.likely("lights_on"), timeline.likely("lights_off"))
            else:
                begun = timeline.likely(timeline.cohort.first_stage)
                assert asked == (begun, timeline.likely("transplant"))
