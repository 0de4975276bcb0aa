"""Days of growth: from transplant, or emergence in place, to the likely induction; of day-neutral plants to flowering."""

from __future__ import annotations

from datetime import date

from tests.planning.lit_house import EXTEND, cohort, house, laid_out


def test_a_field_planted_in_may_grows_to_its_induction_and_not_to_the_first_day_that_adds_nothing() -> None:
    """At 35.8 N, default short-day variety, sown 5 April and planted 1 May: the first day under 14 h is 30 July and adds
    0.00 to the count, which is full on 27 August."""
    planned = {"seeding": date(2026, 4, 5), "transplant": date(2026, 5, 1)}
    season = house(EXTEND, cohorts=[cohort("A1", "F1", start="seed", nursery="H1", planned=planned)])
    timeline = laid_out(season).timelines["A1"]
    assert timeline.likely("trigger") == date(2026, 7, 30)
    assert timeline.likely("induced") == date(2026, 8, 27)
    assert timeline.growth_d == (date(2026, 8, 27) - date(2026, 5, 1)).days == 118
    assert timeline.growth_end == "induction"


def test_plants_that_are_induced_in_their_nursery_have_none() -> None:
    planned = {"sticking": date(2026, 3, 1), "transplant": date(2026, 5, 1)}
    timeline = laid_out(house(None, cohorts=[cohort("A1", "F1", nursery="N1", planned=planned)])).timelines[
        "A1"
    ]
    assert timeline.stages["induced"].likely < date(2026, 5, 1)
    assert timeline.growth_d == 0


def test_day_neutral_plants_grow_to_their_flowering() -> None:
    neutral = {"id": "byage", "response": "day-neutral"}
    planned = {"seeding": date(2026, 5, 1)}
    one = cohort("A1", "F1", variety="byage", start="seed", planned=planned)
    timeline = laid_out(house(None, cohorts=[one], varieties=[neutral])).timelines["A1"]
    emerged, flowering = timeline.stages["emergence"].likely, timeline.stages["flowering"].likely
    assert timeline.growth_d == (flowering - emerged).days
    assert timeline.growth_end == "flowering"
