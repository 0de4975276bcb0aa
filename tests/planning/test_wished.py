"""Which planting gives a wished harvest: the response read backwards, against the calendar and against every date."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.handing_on.words.wished_text import wished_sentences
from calendar_tui.planning.laying_out.stages import Range
from calendar_tui.planning.response.outcomes import Curve, Planting, response
from calendar_tui.planning.response.wished import Wished, wished
from calendar_tui.season.records import Crew
from calendar_tui.season.wording import full_day_text, year_day_text
from tests.planning.farm import season_at
from tests.planning.test_light_properties import FIRST, LAST
from tests.planning.test_published_crops import FLORIDA
from tests.planning.test_response import laid_out

DAY = timedelta(days=1)
LAMPS = [{"id": "H1", "kind": "hoop house", "lamps": {"target_h": 18.0}}]
FIELD = Planting(variety="plain", place="F1")


def text_of(found: Wished) -> str:
    return " ".join(wished_sentences(found))


def test_a_cohort_planted_on_the_date_that_is_given_is_harvested_on_the_date_that_was_wished_for() -> None:
    season = season_at(FLORIDA, date(2026, 8, 1), date(2027, 3, 31), places=LAMPS)
    lit = Planting(variety="plain", place="H1", start="cutting", lights_off=28)
    curve = response(season, lit, date(2026, 9, 1), date(2026, 12, 31))
    for wanted in (date(2027, 1, 10), date(2027, 2, 14)):
        found = wished(curve.outcomes, wanted, date(2026, 9, 1), 42)
        assert found.best is not None
        assert found.off_d == 0
        harvest = laid_out(season, lit, found.best.planted).harvest
        assert harvest is not None
        assert harvest.likely == wanted


@pytest.mark.slow
@given(
    st.lists(st.one_of(st.none(), st.integers(40, 140)), min_size=1, max_size=40),
    st.integers(20, 170),
    st.integers(-5, 45),
    st.integers(0, 60),
)
def test_no_planting_that_can_still_be_started_comes_nearer(
    days: list[int | None], wanted_d: int, begin_d: int, growth_d: int
) -> None:
    """Against every planting, by brute force."""
    season = season_at(FLORIDA, FIRST, LAST)
    some = response(season, FIELD, FIRST, FIRST).outcomes[0]
    row = [
        replace(
            some,
            planted=FIRST + n * DAY,
            begun=FIRST + n * DAY,
            harvest=None if d is None else Range(*(FIRST + d * DAY,) * 3),
            growth_d=d,
        )
        for n, d in enumerate(days)
    ]
    wanted, begin = FIRST + wanted_d * DAY, FIRST + begin_d * DAY
    found = wished(row, wanted, begin, growth_d)
    off = {
        o.planted: abs((o.harvest.likely - wanted).days)
        for o in row
        if o.harvest is not None and o.begun >= begin
    }
    assert (found.best is None) == (not off)
    if found.best is not None and found.best.harvest is not None:
        assert abs(found.off_d) == off[found.best.planted] == min(off.values())
        alike = {
            o.planted
            for o in row
            if o.planted in off and o.harvest and o.harvest.likely == found.best.harvest.likely
        }
        spans = {first + n * DAY for first, last in found.planted for n in range((last - first).days + 1)}
        assert alike == spans
    sooner = [abs((o.harvest.likely - wanted).days) for o in row if o.harvest is not None and o.begun < begin]
    nearer = bool(sooner) and min(sooner) < min(off.values(), default=10**6)
    assert (found.missed is not None) == nearer
    assert text_of(found)


def test_of_plantings_that_are_harvested_on_one_day_the_one_with_the_growth_wished_for_is_given() -> None:
    """Under lamps with one lights-off date all are harvested together."""
    season = season_at(FLORIDA, date(2026, 8, 1), date(2027, 3, 31), places=LAMPS)
    lit = Planting(variety="plain", place="H1", start="cutting", lights_off=date(2026, 12, 1))
    curve = response(season, lit, date(2026, 9, 1), date(2026, 10, 31))
    harvest = curve.outcomes[0].harvest
    assert harvest is not None
    for growth_d in (50, 80):
        found = wished(curve.outcomes, harvest.likely, date(2026, 9, 1), growth_d)
        assert found.best is not None
        assert found.best.growth_d == growth_d
        assert "Planting from 1 Sep 2026 to 31 Oct 2026 gives the same harvest." in text_of(found)


def test_where_no_planting_is_harvested_then_it_says_by_how_much_and_what_can_be_had() -> None:
    season = season_at(FLORIDA, date(2026, 4, 1), date(2026, 12, 31))
    curve = response(season, FIELD, date(2026, 5, 1), date(2026, 7, 18))
    found = wished(curve.outcomes, date(2026, 6, 1), date(2026, 6, 10), 42)
    assert found.best is not None
    assert found.off_d > 30
    told = text_of(found)
    nearest = year_day_text(date(2026, 6, 1) + found.off_d * DAY)
    assert (
        f"No planting is harvested on 1 Jun 2026: the nearest likely harvest is {nearest}, {found.off_d} days later."
        in told
    )
    assert "What is started from 10 Jun 2026 on is harvested between" in told


def test_what_had_to_be_started_before_today_is_told_with_its_date() -> None:
    season = season_at(FLORIDA, date(2026, 8, 1), date(2027, 3, 31), places=LAMPS)
    lit = Planting(variety="plain", place="H1", start="cutting", lights_off=28)
    curve = response(season, lit, date(2026, 9, 1), date(2026, 12, 31))
    free = wished(curve.outcomes, date(2027, 1, 10), date(2026, 9, 1), 42)
    assert free.best is not None
    late = wished(curve.outcomes, date(2027, 1, 10), free.best.begun + DAY, 42)
    assert late.off_d > 0
    assert late.missed == free.best
    assert (
        f"A harvest on 10 Jan 2027 needs plants that were started on {year_day_text(free.best.begun)}, and that day is past."
        in text_of(late)
    )


def test_where_nothing_is_harvested_any_more_it_says_so() -> None:
    season = season_at(FLORIDA, date(2026, 4, 1), date(2026, 12, 31))
    curve = response(season, FIELD, date(2026, 5, 1), date(2026, 5, 3))
    found = wished(curve.outcomes, date(2026, 10, 1), date(2027, 1, 1), 42)
    assert found.best is None
    assert "Nothing that is started from 1 Jan 2027 on comes to a harvest." in text_of(found)


# --- working days


SIX_DAYS = Crew(work_days=("mon", "tue", "wed", "thu", "fri", "sat"), blocked=(date(2026, 11, 9),))


def _lit_curve() -> Curve:
    season = season_at(FLORIDA, date(2026, 8, 1), date(2027, 3, 31), places=LAMPS)
    lit = Planting(variety="plain", place="H1", start="cutting", lights_off=28)
    return response(season, lit, date(2026, 9, 1), date(2026, 12, 31))


def test_a_harvest_whose_planting_falls_on_a_sunday_is_proposed_the_nearest_working_day_and_told_the_sunday() -> (
    None
):
    curve = _lit_curve()
    (sunday,) = (o for o in curve.outcomes if o.planted == date(2026, 11, 8))
    assert sunday.harvest is not None
    free = wished(curve.outcomes, sunday.harvest.likely, date(2026, 9, 1), 42)
    assert free.best == sunday
    assert free.any_day is None
    found = wished(curve.outcomes, sunday.harvest.likely, date(2026, 9, 1), 42, SIX_DAYS)
    assert found.any_day == sunday
    assert found.best is not None
    # Monday is blocked too: Saturday is one day off, Tuesday two.
    assert found.best.planted == date(2026, 11, 7)
    told = text_of(found)
    assert "Planting on 8 Nov 2026 would fit best, but Sun 8 Nov 2026 is no working day." in told
    assert "Plant on Sat 7 Nov 2026" in told
    assert "No planting on working days is harvested on" in told, "there is one, on the Sunday"


@pytest.mark.parametrize("nursery_d", [20, 21, 25, 27])
def test_what_is_proposed_is_started_and_planted_on_working_days(nursery_d: int) -> None:
    places = [*LAMPS, {"id": "N1", "kind": "nursery"}]
    season = season_at(FLORIDA, date(2026, 8, 1), date(2027, 3, 31), places=places)
    raised = Planting(variety="plain", place="H1", nursery="N1", nursery_d=nursery_d, lights_off=28)
    curve = response(season, raised, date(2026, 10, 1), date(2026, 12, 31))
    five = Crew(work_days=("mon", "tue", "wed", "thu", "fri"))
    for n in range(14):
        found = wished(curve.outcomes, date(2027, 2, 1) + n * DAY, date(2026, 9, 1), 42, five)
        assert found.best is not None
        assert five.works(found.best.planted)
        assert five.works(found.best.begun)
        assert abs(found.off_d) <= 4
        if found.any_day is not None:
            assert found.day_off is not None
            assert not five.works(found.day_off)
            assert f"{full_day_text(found.day_off)}" in text_of(found)


def test_where_nobody_works_on_any_of_its_days_the_planting_is_given_all_the_same() -> None:
    curve = _lit_curve()
    blocked = tuple(o.planted for o in curve.outcomes)
    found = wished(curve.outcomes, date(2027, 1, 20), date(2026, 9, 1), 42, Crew(blocked=blocked))
    free = wished(curve.outcomes, date(2027, 1, 20), date(2026, 9, 1), 42)
    assert found.best == free.best
    assert found.any_day is None
