"""The share of futures in which dark nights have induced the plants: it grows night by night, and has no cliff."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.planning.lamps.onset import Level, Onset, onset
from calendar_tui.planning.laying_out.outcomes import outcomes, outcomes_text
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.records import Outage, Season, Span
from tests.planning.farm import farm, farm_data, season_at, season_of

FAR = settings(deadline=None, max_examples=20)
FIRST = date(2026, 10, 1)
LATE = {"seeding": date(2026, 11, 1), "transplant": date(2026, 11, 26), "lights_off": date(2027, 2, 20)}


@cache
def far_south() -> Season:
    """At 25.5 N, under lamps to 15 November; its natural day in October is under 12 h 30, where each day counts whole."""
    return season_at(
        {"latitude": 25.5, "longitude": -80.5, "timezone": "America/New_York"},
        date(2026, 6, 1),
        date(2027, 5, 31),
        places=[{"id": "H1", "kind": "hoop house", "lamps": {"target_h": 16.0}}],
        cohorts=[
            {
                "id": "A1",
                "place": "H1",
                "planned": {"seeding": date(2026, 8, 1), "lights_off": date(2026, 11, 15)},
            }
        ],
    )


def dark(nights: int, first: date = FIRST, place: str = "H1") -> Outage:
    return Outage(place=place, first=first, last=first + timedelta(days=nights - 1))


def failed(season: Season, *outages: Outage) -> Plan:
    return make_plan(replace(season, outages=outages), max(o.last for o in outages) + timedelta(days=1))


def onset_of(plan: Plan, cohort: str = "A1") -> Onset | None:
    season = plan.season
    return onset(season, plan.timelines[cohort], plan.light, season.outages[0])


def begun(plan: Plan, cohort: str = "A1") -> int:
    share = onset_of(plan, cohort)
    assert share is not None
    return share.begun


@pytest.mark.parametrize("nights", [5, 6, 7, 8, 9, 10, 11, 12])
def test_both_outcomes_lie_in_the_range_while_the_share_is_between_a_tenth_and_nine(nights: int) -> None:
    """Seven nights left flowering on 6 December alone, eight brought 22 October alone."""
    plan = failed(far_south(), dark(nights))
    assert 5 < begun(plan) < 45
    flowering = plan.timelines["A1"].stages["flowering"]
    assert flowering.earliest.month == 10
    assert flowering.latest.month == 12
    assert flowering.likely == (date(2026, 10, 22) if nights >= 8 else date(2026, 12, 6))


def test_under_a_tenth_and_over_nine_the_range_is_of_one_outcome() -> None:
    few, many = (failed(far_south(), dark(nights)).timelines["A1"].stages for nights in (3, 16))
    assert few["flowering"].earliest == date(2026, 12, 2)
    assert many["flowering"].latest == date(2026, 10, 30)


def test_the_two_outcomes_are_counted_in_futures() -> None:
    stages = failed(far_south(), dark(7)).timelines["A1"].stages
    assert outcomes_text(stages["flowering"]) == "about 19 Oct in 17 of 50 futures, about 8 Dec in 33"
    assert outcomes(failed(far_south(), dark(2)).timelines["A1"].stages["flowering"]) == ()


def test_an_outcome_that_does_not_come_within_the_season_is_told_so() -> None:
    day = date(2026, 10, 1)
    days = (*[day.toordinal()] * 40, *[float("inf")] * 10)
    stage = StageDate("flowering", day, day, day, "projected", "", days=days)
    assert outcomes_text(stage) == "about 1 Oct in 40 of 50 futures, not within the season in 10"


def test_the_levels_follow_the_share() -> None:
    share = {n: onset_of(failed(far_south(), dark(n))) for n in (1, 4, 5, 8, 9, 12, 13)}
    levels = {n: one.level for n, one in share.items() if one is not None}
    assert levels == {
        1: Level.NONE,
        4: Level.NONE,
        5: Level.MAY,
        8: Level.MAY,
        9: Level.PROBABLY,
        12: Level.PROBABLY,
        13: Level.STARTED,
    }


def test_one_night_starts_flowering_in_no_future() -> None:
    assert begun(failed(far_south(), dark(1))) == 0


def test_between_the_early_and_the_late_figure_every_night_adds_to_the_share() -> None:
    shares = [begun(failed(far_south(), dark(nights))) for nights in range(5, 12)]
    assert shares == sorted(set(shares))
    assert (shares[0], shares[-1]) == (6, 41)


@pytest.mark.slow
@FAR
@given(st.integers(0, 60), st.integers(1, 25), st.integers(0, 15))
def test_more_dark_nights_never_lower_the_share(at: int, nights: int, more: int) -> None:
    first = date(2026, 12, 10) + timedelta(days=at)
    few, many = (failed(farm(planned=LATE), dark(n, first)) for n in (nights, nights + more))
    assert begun(few) <= begun(many)


@pytest.mark.slow
@FAR
@given(st.integers(1, 20), st.integers(1, 15))
def test_the_nights_that_are_left_are_those_that_bring_it_about(nights: int, more: int) -> None:
    """What is foretold of further nights is what comes once they are recorded."""
    now, then = (
        onset_of(failed(farm(planned=LATE), dark(n, date(2027, 2, 1)))) for n in (nights, nights + more)
    )
    assert now is not None
    assert then is not None
    left = now.nights_to(0.5)
    assert left is not None
    assert (left <= more) == (then.begun >= 25)


def test_a_second_outage_is_not_charged_with_what_the_first_brought() -> None:
    first, second = dark(20), dark(2, date(2026, 10, 25))
    plan = failed(far_south(), second, first)
    assert begun(plan) == 0
    assert begun(failed(far_south(), first, second)) == begun(failed(far_south(), first)) == 50


def test_a_day_neutral_cohort_is_never_touched() -> None:
    data = farm_data()
    data["cohort"][3] |= {"place": "H1", "nursery": "N1"}
    data["cohort"][3]["planned"]["transplant"] = date(2026, 11, 26)
    season = season_of(data)
    plan = failed(season, dark(20, date(2026, 12, 10)))
    assert onset_of(plan, "D1") is None
    assert plan.timelines["D1"].stages == make_plan(season, plan.today).timelines["D1"].stages


def test_an_outage_of_another_place_starts_nothing() -> None:
    plan = failed(farm(planned=LATE), dark(12, date(2027, 2, 1), "N1"))
    assert begun(plan) == 0
    assert onset_of(plan, "C1") is not None


def test_a_part_of_a_screened_place_fails_alone_and_the_whole_place_with_all_its_parts() -> None:
    season = farm(planned=LATE)
    house = replace(season.places["H1"], screened=("east", "west"))
    a1 = replace(season.cohorts["A1"], part="east")
    season = replace(season, places={**season.places, "H1": house}, cohorts={**season.cohorts, "A1": a1})
    first = date(2027, 2, 1)
    west, east, whole = (failed(season, dark(12, first, name)) for name in ("H1 west", "H1 east", "H1"))
    assert onset_of(west) is None
    assert begun(east) == begun(whole) > 25


def test_a_neighbour_held_back_by_the_lamps_is_set_free_by_the_dark_nights_alike() -> None:
    season = farm(planned=LATE)
    keys = {k: d for k, d in LATE.items() if k != "lights_off"}
    other = replace(season.cohorts["A1"], id="N2", planned=keys)
    season = replace(season, cohorts={**season.cohorts, "N2": other})
    plan = failed(season, dark(9, date(2027, 2, 1)))
    assert begun(plan, "N2") == begun(plan) > 0


def test_plants_that_are_held_by_no_lamps_in_a_future_are_not_counted_there() -> None:
    """Where the critical day lies over what the lamps give, they would be induced without the outage too."""
    season = farm(planned=LATE)
    amber = replace(season.varieties["amber"], critical_day=Span(15.5, 16.0, 16.5))
    season = replace(season, varieties={**season.varieties, "amber": amber})
    share = onset_of(failed(season, dark(40, date(2027, 1, 1))))
    assert share is not None
    assert share.begun < 50
    assert share.level is not Level.STARTED


@pytest.mark.parametrize("nights", [7, 9, 13])
def test_a_look_that_did_not_see_it_settles_it(nights: int) -> None:
    season = far_south()
    last = FIRST + timedelta(days=nights - 1)
    looked = replace(season.cohorts["A1"], not_yet={"induced": last + timedelta(days=10)})
    plan = failed(replace(season, cohorts={"A1": looked}), dark(nights))
    assert begun(failed(season, dark(nights))) > 10
    assert begun(plan) == 0
    assert plan.timelines["A1"].stages["flowering"].earliest.month > 10
