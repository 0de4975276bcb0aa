"""What a day asks after nights without lamps, and before a lights off that comes too late."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from calendar_tui.handing_on.words.decisions_text import decision_text
from calendar_tui.handing_on.words.today_text import tonight_text
from calendar_tui.language.speaking import speaking, translated
from calendar_tui.planning.lamps.tip_looks import tip_look_texts
from calendar_tui.planning.lamps.to_relight import to_relight_text
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.today import Today, today_of
from calendar_tui.season.records import Outage, Span
from calendar_tui.storage.languages import SHIPPED
from tests.language.other_letters import other_letters
from tests.planning.lit_house import EXTEND, cohort, house
from tests.planning.test_broken_count import spring
from tests.planning.test_onset import dark, failed, far_south
from tests.planning.test_outage_verdicts import FIRST_DARK, lit_farm


def after(nights: int, later: int = 0) -> Plan:
    """The morning after so many dark nights in H1, or so many days later, with two cohorts alike there."""
    season = lit_farm()
    last = FIRST_DARK + timedelta(days=nights - 1)
    a1 = season.cohorts["A1"]
    season = replace(
        season,
        cohorts={**season.cohorts, "A2": replace(a1, id="A2")},
        outages=(Outage(place="H1", first=FIRST_DARK, last=last),),
    )
    return make_plan(season, last + timedelta(days=1 + later))


def texts(today: Today) -> list[str]:
    return [to_relight_text(waiting, today.day) for waiting in today.relight]


def test_todays_first_sentence_after_dark_nights_is_the_urgent_one_with_all_cohorts_and_the_last_night() -> (
    None
):
    plan = after(2)
    assert texts(today_of(plan)) == [
        "urgent: A1 A2, relight tonight: no harm done; 3 more dark days and it may flower, 7 and it probably does (H1 dark "
        "3 Feb to 4 Feb); last night to act Sun 7 Feb, in 2 days"
    ]
    (of_season,) = [c.text for c in plan.clashes_of("A1") if c.text.startswith("urgent")]
    assert of_season.startswith(
        "urgent: A1, relight tonight: no harm done; 3 more dark days and it may flower, 7 and it probably does; "
    )


@pytest.mark.parametrize("nights", [1, 2, 3, 4])
def test_relit_on_the_last_night_no_harm_is_done_and_one_night_later_it_may_be(nights: int) -> None:
    (waiting,) = today_of(after(nights)).relight
    by = waiting.verdict.by
    assert by is not None
    lit_then = (by - FIRST_DARK).days
    relit, too_late = today_of(after(lit_then)), today_of(after(lit_then + 1))
    assert texts(relit)[0].startswith("urgent: A1 A2, relight tonight: no harm done")
    assert texts(too_late)[0].startswith("urgent: A1 A2, relight tonight: flowering may have started")


def test_what_dark_nights_come_to_has_no_english_word_in_another_language() -> None:
    """In letters that English has not. After the first outage flowering has two outcomes, after the others no lit night follows."""
    to_the_end = [failed(lit_farm(), dark(n, date(2027, 2, 20) - timedelta(days=n))) for n in (3, 6)]
    plans = [failed(far_south(), dark(7)), *to_the_end]
    told = [text for plan in plans for text in texts(today_of(plan))]
    assert "flowering about 19 Oct or about 8 Dec" in told[0]
    assert [text.count("no lit night follows") for text in told] == [0, 1, 1]
    with speaking(other_letters((SHIPPED / "es.po").read_text(encoding="utf-8"))):
        days = [today_of(plan) for plan in plans]
        verdicts = [one.verdict.text for day in days for one in day.relight]
        shown = [text for day in days for text in texts(day)]
        looks = [look for nights in (8, 9) for look in tip_look_texts(today_of(after(nights, 1)).looks)]
    assert (len(verdicts), len(shown), len(looks)) == (3, 3, 2)
    assert [text for text in (*verdicts, *shown, *looks) if re.search("[A-Za-z]{2}", text)] == []


@pytest.mark.parametrize("nights", [1, 2, 8])
def test_the_figures_of_dark_nights_have_no_english_word_in_another_language_wherever_they_are_made(
    nights: int,
) -> None:
    english, other = after(nights), other_letters((SHIPPED / "es.po").read_text(encoding="utf-8"))
    made = [c.text for c in english.clashes_of("A1") if "without the lamps of H1" in c.text]
    assert len(made) == 1
    with speaking(other):
        spoken = [c.text for c in after(nights).clashes_of("A1") if c.kind.startswith("outage")]
        shown = list(map(translated, (*made, *spoken)))
    assert len(shown) == 2
    assert [re.findall("[a-z]{2,}", text) for text in shown] == [[], []]


def test_once_the_lamps_burn_again_nothing_is_to_be_relit() -> None:
    assert texts(today_of(after(2, later=1))) == []


def test_an_outage_of_tonight_too_is_to_end_tomorrow() -> None:
    assert texts(today_of(after(2, later=-1)))[0].startswith("urgent: A1 A2, relight tomorrow: no harm done")


def test_what_to_relight_is_sorted_by_the_last_night_to_act() -> None:
    plan = after(2)
    season = plan.season
    sooner = replace(season.varieties["amber"], id="quick", inductive_days=Span(3, 4, 5))
    season = replace(
        season,
        varieties={**season.varieties, "quick": sooner},
        cohorts={**season.cohorts, "A2": replace(season.cohorts["A2"], variety="quick")},
    )
    waiting = today_of(make_plan(season, plan.today)).relight
    assert [(w.cohorts, w.verdict.by) for w in waiting] == [
        (("A2",), date(2027, 2, 6)),
        (("A1",), date(2027, 2, 7)),
    ]


def test_lights_off_is_decided_by_the_last_day_that_brings_flowering_where_the_planned_one_does_not() -> None:
    planned = date(2026, 10, 27)
    early = today_of(spring(planned, today=date(2026, 10, 18)))
    (decision,) = early.decisions
    assert decision.stage == "lights_off"
    assert decision.by < planned
    assert decision_text(decision, early.day).endswith(
        ": later it does not bring flowering, as the days grow too long"
    )
    (clash,) = [
        c.text for c in spring(planned, today=date(2026, 10, 18)).clashes_of("A1") if "Switch off" in c.text
    ]
    assert f"Switch off by {decision.by.day} {decision.by:%b}" in clash


@pytest.mark.parametrize(
    ("lamps", "day", "told"),
    [
        (EXTEND, date(2026, 6, 15), "H1: on 20:32 off 21:59, for A1"),
        (EXTEND, date(2026, 12, 15), "H1: on 17:02 off 23:19, for A1"),
        (
            EXTEND | {"timer_follows_clock": False},
            date(2026, 6, 15),
            "H1: on 19:32 off 20:59 standard time, for A1",
        ),
        (EXTEND | {"timer_follows_clock": False}, date(2026, 12, 15), "H1: on 17:02 off 23:19, for A1"),
        # The clock goes on by an hour between the two, on 8 March at 2:00 (tz database).
        (
            {"method": "night-break", "on": "22:00", "off": "05:00", "timer_follows_clock": False},
            date(2026, 3, 7),
            "H1: on 22:00 off 05:00 standard time, for A1",
        ),
    ],
)
def test_tonights_lamps_are_told_by_the_clock_of_their_timer(
    lamps: dict[str, Any], day: date, told: str
) -> None:
    """35.8 N, 78.7 W: sunset on 15 June at 20:32:40 by the summer clock, on 15 December at 17:02:25 (PyEphem)."""
    planned = {"sticking": min(day, date(2026, 6, 1)), "lights_off": date(2026, 12, 20)}
    plan = make_plan(house(lamps, cohorts=[cohort("A1", planned=planned)]), day)
    assert list(map(tonight_text, today_of(plan).tonight)) == [told]
