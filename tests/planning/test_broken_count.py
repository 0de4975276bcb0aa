"""A lights off that the season turns round on: the count begins, the days grow past the critical day, and it is lost."""

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest

from calendar_tui.language.speaking import speaking, translated
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.why.chain import counted_days
from calendar_tui.season.wording import day_text
from calendar_tui.storage.languages import SHIPPED
from tests.language.other_letters import other_letters
from tests.planning.farm import season_at

SITE = {"latitude": -34.2, "longitude": 151.2, "timezone": "Australia/Sydney"}
TODAY = date(2026, 9, 15)
KIND = "lights off misses flowering"


def spring(
    off: date, today: date = TODAY, recorded: dict[str, date] | None = None, **variety: object
) -> Plan:
    """A1 from seed, under lamps in H1 from 15 September on, with lights off as the days grow longer."""
    season = season_at(
        SITE,
        date(2026, 8, 1),
        date(2027, 6, 30),
        places=[
            {"id": "N1", "kind": "nursery", "lamps": {"target_h": 18.0}},
            {"id": "H1", "kind": "hoop house", "lamps": {"target_h": 16.0}},
        ],
        varieties=[{"id": "own", "response": "short-day", "inductive_days": [7, 8, 10]} | variety],
        cohorts=[
            {
                "id": "A1",
                "variety": "own",
                "nursery": "N1",
                "place": "H1",
                "planned": {
                    "seeding": date(2026, 8, 21),
                    "transplant": date(2026, 9, 15),
                    "lights_off": off,
                },
                "recorded": recorded or {},
            }
        ],
    )
    return make_plan(season, today)


def warnings(plan: Plan) -> list[str]:
    return [c.text for c in plan.clashes_of("A1") if c.kind == KIND]


def test_a_lights_off_from_which_the_count_is_lost_is_told_with_the_last_date_that_is_soon_enough() -> None:
    plan = spring(date(2026, 10, 27))
    (text,) = warnings(plan)
    assert text.startswith(
        "A1 lights off on 27 Oct does not surely bring flowering: the count reaches 5.2 of 8 on 19 Nov, then the day is "
        "14 h 00 or more from 20 Nov; flowering comes on "
    )
    assert f"flowering comes on {day_text(plan.timelines['A1'].likely('flowering'))}. " in text
    assert text.endswith("Switch off by 21 Oct, and draw covers from 20 Nov on: long days may turn it back")


def test_the_last_date_told_brings_flowering_and_the_day_after_does_not() -> None:
    (text,) = warnings(spring(date(2026, 10, 27)))
    told = next(
        day
        for n in range(30)
        if f"Switch off by {day_text(day := date(2026, 10, 1) + timedelta(days=n))}" in f"{text} "
    )
    assert warnings(spring(told)) == []
    assert spring(told).timelines["A1"].likely("trigger") < date(2026, 11, 20)
    assert warnings(spring(told + timedelta(days=1))) != []


# Figures of which nearly nothing is unknown.
SURE = {
    "critical_day": ["13:59", "14:00", "14:01"],
    "full_response_day": ["12:29", "12:30", "12:31"],
    "juvenile_d": [9, 10, 11],
}


def test_a_broken_run_that_is_enough_in_a_tenth_of_the_futures_is_told_to_be_looked_at() -> None:
    (text,) = warnings(spring(date(2026, 10, 27), inductive_days=8))
    assert "not surely bring flowering" in text
    assert (
        ". Flowering may have started by then, in 20 of 50 futures; look at the tips from 2 Nov, then twice a week. "
        in text
    )
    (sure,) = warnings(spring(date(2026, 10, 27), **SURE))
    assert "does not bring flowering: the count reaches 5." in sure
    assert "look at the tips" not in sure


@pytest.mark.parametrize("made_in_english", [True, False])
@pytest.mark.parametrize("off_by_then", [False, True])
def test_all_of_it_is_in_the_crews_language_wherever_it_is_made(
    made_in_english: bool, off_by_then: bool
) -> None:
    off = date(2026, 10, 27)
    recorded = {"lights_off": off} if off_by_then else {}
    plan = spring(off, date(2026, 11, 1) if off_by_then else TODAY, recorded, inductive_days=8)
    if made_in_english:
        warnings(plan)
    with speaking(other_letters((SHIPPED / "crew.pot").read_text(encoding="utf-8"))):
        (text,) = map(translated, warnings(plan))
    assert re.findall(r"[a-z]{2,}", text) == []


def test_what_may_have_started_after_lights_off_lies_in_the_range() -> None:
    flowering = spring(date(2026, 10, 27), inductive_days=8).timelines["A1"].stages["flowering"]
    assert flowering.earliest < date(2026, 11, 20) < flowering.likely


def test_a_recorded_lights_off_is_told_for_some_weeks_without_a_date_that_is_past() -> None:
    off = date(2026, 10, 27)
    (text,) = warnings(spring(off, date(2026, 11, 10), {"lights_off": off}))
    assert "Switch off by" not in text
    assert "draw covers from 20 Nov" in text
    assert warnings(spring(off, date(2026, 12, 20), {"lights_off": off})) == []


@pytest.mark.parametrize("off", [date(2026, 10, 18), date(2027, 1, 25), date(2026, 12, 20)])
def test_a_lights_off_that_brings_flowering_or_begins_no_count_is_not_told(off: date) -> None:
    assert warnings(spring(off)) == []


def test_a_run_that_the_lamps_of_a_neighbour_break_is_told_as_held_back_alone() -> None:
    plan = spring(date(2027, 1, 26))
    own = plan.season.cohorts["A1"]
    dates = {
        "seeding": date(2027, 1, 10),
        "transplant": date(2027, 2, 5),
        "lights_off": date(2027, 3, 20),
    }
    both = replace(plan.season, cohorts={"A1": own, "B1": replace(own, id="B1", planned=dates)})
    held = make_plan(both, TODAY)
    assert held.timelines["A1"].likely("trigger") == date(2027, 3, 20)
    assert [c.text for c in held.clashes_of("A1") if c.kind == "held back"] != []
    assert warnings(held) == []


def test_why_shows_the_run_that_was_lost_before_the_one_that_got_there() -> None:
    days = counted_days(plan := spring(date(2026, 10, 27)), "A1")
    lost = [d for d in days if d.day < date(2026, 12, 1)]
    assert [lost[0].day, lost[-1].day] == [date(2026, 10, 27), date(2026, 11, 20)]
    assert max(d.count for d in lost) == pytest.approx(5.24, abs=0.1)
    assert lost[-1].count == 0
    assert days[-1].day == plan.timelines["A1"].likely("induced")
