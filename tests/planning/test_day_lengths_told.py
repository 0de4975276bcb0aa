"""Day lengths that are held against a limit in a sentence: never shown as the limit where they are under or over it."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from calendar_tui.handing_on.words.why_text import why_text
from calendar_tui.screens.season.details import cursor_row
from calendar_tui.season.records import Outage, Span
from calendar_tui.season.wording import hours_against, hours_text, weekday_text
from tests.planning.lit_house import EXTEND, cohort, house, laid_out, natural_h, texts

LENGTH = re.compile(r"(\d+) h (\d\d)(?: min (\d\d) s)?")


def lengths_s(text: str) -> list[int]:
    """The day lengths of a text, in seconds."""
    return [int(h) * 3600 + int(m) * 60 + int(s or 0) for h, m, s in LENGTH.findall(text)]


@given(st.floats(0, 24), st.integers(0, 1440), st.integers(-40, 40))
@example(hours=0, minutes=855, seconds=-1)
@example(hours=0, minutes=855, seconds=1)
@example(hours=0, minutes=855, seconds=0)
def test_a_length_is_shown_on_its_own_side_of_the_limit(hours: float, minutes: int, seconds: int) -> None:
    limit = minutes / 60
    for length in (hours, max(limit + seconds / 3600 * 0.99, 0)):
        (shown,) = lengths_s(hours_against(length, limit))
        assert abs(shown - length * 3600) <= 30.001
        assert (shown < minutes * 60) == (length < limit)
        assert (shown > minutes * 60) == (length > limit)


def test_a_length_far_from_every_limit_has_no_seconds() -> None:
    assert hours_against(13.97, 14.0, 12.5) == hours_text(13.97) == "13 h 58"
    assert hours_against(14.0, 14.0, 12.5) == "14 h 00"
    assert hours_against(14.2478, 14.25) == "14 h 14 min 52 s"


@pytest.mark.parametrize("minutes", range(14 * 60, 14 * 60 + 34))
def test_the_reasons_of_a_trigger_and_an_induction_hold_in_their_own_figures(minutes: int) -> None:
    season = house(None, cohorts=[cohort("A1", "F1", planned={"sticking": date(2026, 5, 18)})])
    own = replace(season.varieties["amber"], critical_day=Span.exactly(minutes / 60))
    plan = laid_out(replace(season, varieties={"amber": own}))
    stages = plan.timelines["A1"].stages
    felt, critical, before = lengths_s(stages["trigger"].reason)
    assert felt < critical == minutes * 60 <= before
    felt, critical, full = lengths_s(stages["induced"].reason)
    assert full <= felt < critical


@pytest.mark.slow
def test_the_table_of_why_and_the_line_at_the_cursor_show_seconds_beside_the_limit() -> None:
    """The natural day of 5 August is 13 h 52 and some seconds: a critical day of 13 h 52 is less, one of 13 h 53 is more."""
    day = date(2026, 8, 5)
    season = house(None, cohorts=[cohort("A1", "F1", planned={"sticking": date(2026, 5, 1)})])
    natural = natural_h(laid_out(season), day)
    near = replace(season.varieties["amber"], critical_day=Span.exactly(round(natural * 60) / 60))
    plan = laid_out(replace(season, varieties={"amber": near}))
    shown = hours_against(natural, near.critical_day.likely)
    assert shown.endswith(" s")
    (line,) = [
        line for line in why_text(plan, "A1", "trigger") if line.startswith(f"  {weekday_text(day):>10}")
    ]
    assert shown in line
    assert len(line) <= 80
    at_cursor = "".join(part for part, _ in cursor_row(plan, plan.timelines["A1"], day))
    assert f"natural day {shown}" in at_cursor


@pytest.mark.parametrize("under", [True, False])
def test_the_sentence_of_a_failed_lamp_holds_in_its_own_figures(under: bool) -> None:
    """One night whose natural day is seconds under, or over, a critical day in whole minutes."""
    plan = laid_out(house(EXTEND))
    nights = [date(2026, 7, 20) + timedelta(days=n) for n in range(40)]
    over_s = {night: (natural_h(plan, night) * 3600 + 30) % 60 - 30 for night in nights}
    night = next(n for n in nights if (over_s[n] < 0) is under and 3 < abs(over_s[n]) < 27)
    season = replace(house(EXTEND), outages=(Outage(place="H1", first=night, last=night),))
    near = replace(
        season.varieties["amber"], critical_day=Span.exactly(round(natural_h(plan, night) * 60) / 60)
    )
    (text,) = texts(laid_out(replace(season, varieties={"amber": near})), "A1", "outage")
    felt, critical = lengths_s(text)[:2]
    assert felt < critical if under else felt >= critical
    assert ("changes nothing; the natural day is" in text) is not under


def test_a_step_of_just_over_two_and_a_half_hours_is_shown_as_more() -> None:
    moved = date(2026, 8, 10)
    planned = {"seeding": date(2026, 7, 15), "transplant": moved}
    keys = {"start": "seed", "nursery": "N1", "planned": planned}
    bare = house(None, cohorts=[cohort("A1", "F1", **keys)])
    after = natural_h(laid_out(bare), moved)
    lit = {"target_h": after + 2.5 + 5 / 3600}
    season = house(None, cohorts=[cohort("A1", "F1", **keys)])
    places = {
        **season.places,
        "N1": replace(season.places["N1"], lamps=replace(house(EXTEND).places["H1"].lamps, **lit)),
    }
    (text,) = texts(laid_out(replace(season, places=places)), "A1", "shock")
    before_s, after_s, step_s = lengths_s(text)[:3]
    assert before_s - after_s > step_s == 9000
