"""Flowering while plants are small, told before it happens, with the days of growth it leaves."""

from __future__ import annotations

from datetime import date

from calendar_tui.season.wording import day_text
from tests.planning.lit_house import EXTEND, cohort, house, laid_out, texts

# Full response up to 13 h 45: at 35.8 N such a cultivar is induced soon after a transplant on 1 May, at a day of 13 h 38
# (seen in the field, North Carolina State 2019, read). One with 12 h 30 and 14 h 00 is not.
EARLY_TYPE = {
    "id": "soon",
    "response": "short-day",
    "critical_day": "14:45",
    "full_response_day": "13:45",
    "inductive_days": [25, 25, 25],
}


def told(cohorts: list[dict[str, object]], *varieties: dict[str, object]) -> list[str]:
    return texts(laid_out(house(EXTEND, cohorts=cohorts, varieties=varieties)), "A1", "small plants")


def test_a_cohort_induced_in_its_nursery_is_told_with_no_days_left() -> None:
    planned = {"sticking": date(2026, 4, 1), "transplant": date(2026, 5, 1)}
    (text,) = told([cohort("A1", "F1", nursery="N1", planned=planned)])
    assert text.startswith("A1 is induced in its nursery N1 on ")
    assert "days before transplant: it has 0 days of growth after transplant" in text
    assert "give the nursery a day of 14 h 00 or longer up to transplant" in text


def test_once_it_is_transplanted_the_nursery_is_no_way_out_any_more() -> None:
    planned = {"sticking": date(2026, 4, 1), "transplant": date(2026, 5, 1)}
    (text,) = told([cohort("A1", "F1", nursery="N1", planned=planned, recorded=planned)])
    assert text.endswith("let it flower, or start another cohort in its place")


def test_a_cohort_triggered_in_its_nursery_and_induced_days_after_transplant_is_told() -> None:
    planned = {"sticking": date(2026, 4, 10), "transplant": date(2026, 5, 1)}
    (text,) = told([cohort("A1", "F1", nursery="N1", variety="soon", planned=planned)], EARLY_TYPE)
    assert "A1 is triggered in its nursery N1 on 10 Apr, by a day of 12 h 5" in text
    assert "it has 3 days of growth after transplant" in text


def test_a_cohort_triggered_soon_after_its_roots_is_told_with_the_days() -> None:
    """Rooted 18 days after 1 March (starting value of the program), dark from 25 March, a day of 12 h 21."""
    planned = {"sticking": date(2026, 3, 1), "lights_off": date(2026, 3, 25)}
    season = house(EXTEND, cohorts=[cohort("A1", planned=planned)])
    plan = laid_out(season)
    induced = plan.timelines["A1"].stages["induced"].likely
    days = (induced - date(2026, 3, 19)).days
    assert days == 6 + 8
    (text,) = texts(plan, "A1", "small plants")
    assert text.startswith(
        f"A1 has only {days} days of growth before induction on {day_text(induced)} (under 21 d"
    )


def test_plants_that_have_time_are_not_told() -> None:
    assert told([cohort("A1")]) == []
