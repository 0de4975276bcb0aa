"""Lamps by the clock, covers, and lamps on and off in turn; clock changes of 2026 in the US, the EU, Sydney and Chile."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.lamps import (
    Burning,
    burning_part,
    clock_run,
    covered_span_h,
    doubtful_times,
    felt_under_covers_h,
    lamp_h,
)

DAY = date(2026, 6, 10)
FIVE, NINE = time(5), time(21)
EVENING, MORNING = datetime(2026, 6, 10, 20, tzinfo=UTC), datetime(2026, 6, 11, 5, tzinfo=UTC)


def at(hour: int, minute: int = 0, day: int = 10) -> datetime:
    return datetime(2026, 6, day, hour, minute, tzinfo=UTC)


@pytest.mark.parametrize(
    ("on", "off", "run"),
    [
        (FIVE, NINE, Burning(at(5), at(21))),  # the date's own morning
        (time(17), time(1), Burning(at(17), at(1, day=11))),
        (
            time(2),
            time(6),
            Burning(at(2, day=11), at(6, day=11)),
        ),  # over by noon: the morning after its evening
        (time(8), time(2), Burning(at(8), at(2, day=11))),
    ],
)
def test_the_run_of_a_date_begins_on_it_unless_it_is_over_by_noon(on: time, off: time, run: Burning) -> None:
    assert clock_run(DAY, on, off, ZoneInfo("UTC"), by_day=True) == run


@pytest.mark.parametrize(
    ("evening", "zone", "covered_h"),
    [
        (date(2026, 10, 31), "America/Chicago", 15),  # the US goes back on 1 Nov
        (date(2026, 3, 7), "America/Chicago", 13),  # and forward on 8 Mar
        (date(2026, 10, 24), "Europe/Berlin", 15),
        (date(2026, 3, 28), "Europe/Berlin", 13),
        (date(2026, 4, 4), "Australia/Sydney", 15),
        (date(2026, 10, 3), "Australia/Sydney", 13),
        (date(2026, 4, 4), "America/Santiago", 15),  # Chile: 4 Apr and 5 Sep by tzdata
        (date(2026, 9, 5), "America/Santiago", 13),
        (date(2026, 6, 21), "America/Chicago", 14),
    ],
)
def test_covers_from_18_to_8_lie_an_hour_more_or_less_where_the_clock_changes(
    evening: date, zone: str, covered_h: float
) -> None:
    where = ZoneInfo(zone)
    assert lamp_h([clock_run(evening, time(18), time(8), where)]) == covered_h
    assert lamp_h([clock_run(evening, time(18), time(8), where, follows=False)]) == 14


def test_a_day_by_the_clock_that_begins_in_the_changed_hour_is_doubtful_on_its_own_date() -> None:
    zone = ZoneInfo("America/Chicago")
    early, late = time(2, 30), NINE
    assert doubtful_times(date(2026, 3, 7), early, late, zone, by_day=True) == ()
    ((reading, shown),) = doubtful_times(date(2026, 3, 8), early, late, zone, by_day=True)
    assert (reading, shown) == (datetime(2026, 3, 8, 2, 30), 0)


def test_lamps_6_min_on_and_24_off_burn_a_fifth_of_the_time() -> None:
    """6 min on, 24 off: Runkle et al. 1998, HortScience 33:672."""
    assert burning_part((6, 24)) == 0.2
    assert burning_part(None) == 1


@pytest.mark.parametrize(
    ("covers", "dark_h"),
    [
        (Burning(at(18), at(8, day=11)), 14),
        (Burning(at(22), at(2, day=11)), 9),  # inside the night
        (Burning(at(18), at(23)), 11),  # opened in the dark: the night goes on
        (Burning(at(4, day=11), at(10, day=11)), 14),  # drawn before dawn
        (Burning(at(14), at(17)), 9),  # a break of daylight before dusk
        (Burning(at(6), at(17)), 11),  # longer than the night
    ],
)
def test_night_and_covers_are_dark_together(covers: Burning, dark_h: float) -> None:
    assert covered_span_h(EVENING, MORNING, covers) == dark_h


def test_without_a_night_the_covers_alone_are_dark() -> None:
    assert covered_span_h(None, None, Burning(at(18), at(8, day=11))) == 14
    assert felt_under_covers_h(24, 14) == 10


@given(natural=st.floats(0, 24), span=st.floats(0, 30))
def test_covers_never_lengthen_the_day(natural: float, span: float) -> None:
    assert 0 <= felt_under_covers_h(natural, span) <= natural
