"""The light of a place is shared by all who stand in it."""

from dataclasses import replace
from datetime import date, timedelta

from calendar_tui.planning.plan import make_plan
from calendar_tui.season.records import Cohort, Outage
from tests.planning.farm import TODAY, farm
from tests.planning.lit_house import cohort, felt_h, house, laid_out, natural_h


def with_cohort(season, cohort):
    return replace(season, cohorts={**season.cohorts, cohort.id: cohort})


DARK = Cohort(
    id="B1",
    variety="amber",
    start="seed",
    nursery="N1",
    place="H1",
    planned={
        "seeding": date(2026, 10, 1),
        "transplant": date(2026, 10, 26),
        "lights_off": date(2026, 12, 12),
    },
)


def test_lights_off_is_the_first_evening_without_lamps():
    plan = make_plan(farm(), TODAY)
    light = plan.light
    night = light.index(date(2027, 1, 10))
    assert light.places["H1"].lit[night - 1]
    assert not light.places["H1"].lit[night]
    assert light.places["H1"].felt_h[night - 1] == 16.0
    assert light.places["H1"].felt_h[night] == light.natural_h[night] < 14.75
    assert plan.timelines["A1"].likely("trigger") == date(2027, 1, 10)


def test_lights_on_is_the_first_evening_with_lamps():
    light = make_plan(farm(), TODAY).light
    night = light.index(date(2026, 11, 26))
    assert light.places["H1"].lit[night]
    assert not light.places["H1"].lit[night - 1]


def test_lamps_never_shorten_the_day():
    """A target of 12 h, under the natural day of June at 35.8 N and over that of December."""
    until = {"sticking": date(2026, 6, 1), "lights_off": date(2026, 12, 31)}
    plan = laid_out(house({"target_h": 12.0}, cohorts=[cohort("A1", planned=until)]))
    june, december = date(2026, 6, 20), date(2026, 12, 20)
    assert felt_h(plan, june) == natural_h(plan, june) > 14
    assert felt_h(plan, december) == 12.0 > natural_h(plan, december)


def test_a_neighbours_lamps_hold_a_dark_cohort_back():
    alone = make_plan(replace(with_cohort(farm(), DARK), cohorts={"B1": DARK}), TODAY)
    shared = make_plan(with_cohort(farm(), DARK), TODAY)
    assert alone.timelines["B1"].likely("trigger") == date(2026, 12, 12)
    assert shared.timelines["B1"].likely("trigger") == date(2027, 1, 10)
    assert shared.timelines["B1"].stages["trigger"].reason.endswith("; until then H1 is lit for A1")
    held = [c for c in shared.clashes if c.kind == "held back"]
    assert [c.cohorts for c in held] == [("B1", "A1")]
    assert (
        "held back 29 nights up to 9 Jan: H1 is lit for A1; alone it would trigger on 12 Dec, not 10 Jan"
        in held[0].text
    )


def test_an_outage_as_long_as_the_inductive_days_moves_the_trigger_there():
    nights = Outage(place="H1", first=date(2026, 12, 28), last=date(2027, 1, 12))
    plan = make_plan(replace(farm(), outages=(nights,)), TODAY)
    before = make_plan(farm(), TODAY).timelines["A1"]
    after = plan.timelines["A1"]
    assert after.likely("trigger") < before.likely("trigger")
    assert any(c.kind == "outage H1 2026-12-28" for c in plan.clashes_of("A1"))


def test_the_nursery_s_lamps_hold_short_day_seedlings():
    plan = make_plan(farm(), TODAY)
    felt = plan.timelines["F1"].felt_h
    moved = plan.light.index(date(2026, 11, 26))
    assert felt[moved - 1] == 18.0
    assert felt[moved] == plan.light.natural_h[moved]


def test_civil_twilight_is_the_longer_day_and_triggers_later():
    season = farm()
    twilight = replace(season, site=replace(season.site, day="civil-twilight"))
    one, two = make_plan(season, TODAY), make_plan(twilight, TODAY)
    assert two.timelines["F1"].likely("trigger") - one.timelines["F1"].likely("trigger") > timedelta(days=14)


def test_on_the_day_of_the_transplant_the_growing_place_s_light_is_felt():
    plan = make_plan(farm(), TODAY)
    moved = plan.light.index(date(2026, 11, 26))
    felt = plan.timelines["A1"].felt_h
    assert (felt[moved - 1], felt[moved]) == (18.0, 16.0)
    assert plan.timelines["A1"].stay_on(date(2026, 11, 26)).light == "H1"
    assert plan.timelines["A1"].stay_on(date(2026, 11, 25)).light == "N1"


def test_the_nursery_s_lamps_burn_for_short_day_cohorts_up_to_the_evening_before_transplant_alone():
    """A day-neutral cohort in it asks for none."""
    season = farm()
    own = replace(season.cohorts["D1"], nursery="N1", planned=season.cohorts["F1"].planned)
    alone = make_plan(replace(season, cohorts={"D1": own}), TODAY).light
    assert True not in alone.places["N1"].lit
    assert alone.places["N1"].felt_h == alone.natural_h
    both = make_plan(replace(season, cohorts={"D1": own, "F1": season.cohorts["F1"]}), TODAY).light
    first, last = both.index(date(2026, 11, 1)), both.index(date(2026, 11, 25))
    assert [n for n, lit in enumerate(both.places["N1"].lit) if lit] == list(range(first, last + 1))
    days = [date(2026, 10, 31), date(2026, 11, 1), date(2026, 11, 25), date(2026, 11, 26)]
    assert [both.places["N1"].lit_for(day) for day in days] == [(), ("F1",), ("F1",), ()]


def test_a_run_that_begins_with_the_transplant_out_of_a_lit_nursery_says_so():
    """At 34.3 S late in March: 18 h in the nursery up to the transplant, a short day in the field from then on."""
    season = farm()
    late = {"seeding": date(2027, 2, 1), "transplant": date(2027, 3, 20)}
    own = replace(season.cohorts["F1"], planned=late)
    trigger = make_plan(replace(season, cohorts={"F1": own}), TODAY).timelines["F1"].stages["trigger"]
    assert trigger.likely == date(2027, 3, 20)
    assert trigger.reason.endswith("; until then under the lamps of N1")
