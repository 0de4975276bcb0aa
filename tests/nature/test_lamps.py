"""When lamps burn, by outside figures: Runkle (Michigan State University), measured night breaks, clock changes of 2026."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.lamps import (
    EVENING_PART,
    Burning,
    clock_change_h,
    clock_run,
    dark_span_h,
    doubtful_times,
    extension_h,
    extension_runs,
    felt_by_dark_h,
    lamp_h,
)
from calendar_tui.nature.sky import day_lengths_h, daylight

SUNSET = datetime(2026, 3, 1, 18, tzinfo=UTC)
SUNRISE = datetime(2026, 3, 2, 7, tzinfo=UTC)
TEN, TWO, THREE = time(22), time(2), time(3)


def at(hour: int, minute: int = 0, day: int = 1) -> datetime:
    return datetime(2026, 3, day, hour, minute, tzinfo=UTC)


def test_lamps_from_18_to_22_after_a_day_from_7_to_18_make_15_hours() -> None:
    """Runkle, Michigan State University: sunrise 07:00, sunset 18:00, lamps 18:00-22:00 give 15 h."""
    runs = extension_runs(SUNSET, SUNRISE, 15, "after sunset")
    assert runs == (Burning(at(18), at(22)),)
    assert lamp_h(runs) == 4
    assert 24 - dark_span_h(SUNSET, SUNRISE, runs) == 15


@pytest.mark.parametrize(
    ("side", "runs"),
    [
        ("before sunrise", (Burning(at(3, day=2), at(7, day=2)),)),
        ("both", (Burning(at(18), at(20)), Burning(at(5, day=2), at(7, day=2)))),
    ],
)
def test_the_same_hours_burn_before_sunrise_or_half_at_each_end(side: str, runs: tuple[Burning, ...]) -> None:
    assert extension_runs(SUNSET, SUNRISE, 15, side) == runs
    assert dark_span_h(SUNSET, SUNRISE, runs) == 9


def test_a_day_as_long_as_the_target_needs_no_lamps_and_24_h_burns_all_night() -> None:
    assert extension_runs(SUNSET, SUNRISE, 11, "both") == ()
    assert extension_runs(SUNSET, SUNRISE, 24, "both") == (Burning(SUNSET, SUNRISE),)


@pytest.mark.parametrize(
    ("latitude", "target_h", "hours"),
    [(28, 16, 1400.9), (36, 16, 1391.8), (40, 16, 1385.9), (45, 16, 1376.8), (36, 18, 2121.8)],
)
def test_hours_a_year_to_extend_the_day(latitude: float, target_h: float, hours: float) -> None:
    """Computed from the lengths of the days of 2026, sunrise to sunset, at longitude 0."""
    days = day_lengths_h(latitude, 0, ZoneInfo("UTC"), date(2026, 1, 1), date(2026, 12, 31))
    assert sum(extension_h(day, target_h) for day in days) == pytest.approx(hours, abs=0.5)


def test_a_night_break_leaves_the_dark_before_and_after_it() -> None:
    """Measured: 33.6 N, 101.9 W, 21 June, 22:00-02:00 by the clock leaves 0:59 before and 4:38 after."""
    zone = ZoneInfo("America/Chicago")
    sunset = daylight(33.6, -101.9, zone, date(2026, 6, 21)).sunset
    sunrise = daylight(33.6, -101.9, zone, date(2026, 6, 22)).sunrise
    assert sunset is not None
    assert sunrise is not None
    run = clock_run(date(2026, 6, 21), TEN, TWO, zone)
    assert (run.on - sunset).total_seconds() / 60 == pytest.approx(59, abs=2)
    span = dark_span_h(sunset, sunrise, [run])
    assert span * 60 == pytest.approx(4 * 60 + 38, abs=2)
    assert felt_by_dark_h(14.3, span) == 24 - span > 19


def test_four_hours_every_night_are_1460_a_year() -> None:
    """Computed: 365 nights of 4 h; a clock change that lengthens one night shortens no other here (no changes in UTC)."""
    first = date(2026, 1, 1).toordinal()
    nights = (clock_run(date.fromordinal(first + n), TEN, TWO, ZoneInfo("UTC")) for n in range(365))
    assert lamp_h(nights) == 1460


@pytest.mark.parametrize(
    ("evening", "zone", "change_h", "off", "follows_h"),
    [
        # The clock goes back: an hour comes twice inside the run. US 1 Nov, EU 25 Oct, Sydney 5 Apr.
        (date(2026, 10, 31), "America/Chicago", -1, TWO, 5),
        (date(2026, 10, 24), "Europe/London", -1, TWO, 5),
        (date(2026, 10, 24), "Europe/Berlin", -1, time(4), 7),
        (date(2026, 4, 4), "Australia/Sydney", -1, time(4), 7),
        # It goes forward. US 8 Mar, EU 29 Mar, Sydney 4 Oct.
        (date(2026, 3, 28), "Europe/London", 1, TWO, 3),
        (date(2026, 3, 7), "America/Chicago", 1, THREE, 4),
        (date(2026, 3, 28), "Europe/Berlin", 1, time(4), 5),
        (date(2026, 10, 3), "Australia/Sydney", 1, THREE, 4),
        (date(2026, 6, 21), "America/Chicago", 0, TWO, 4),
    ],
)
def test_runs_through_the_clock_changes_of_2026(
    evening: date, zone: str, change_h: float, off: time, follows_h: float
) -> None:
    where = ZoneInfo(zone)
    assert clock_change_h(evening, where) == change_h
    assert lamp_h([clock_run(evening, TEN, off, where)]) == follows_h
    # A timer that does not follow burns what was set, whatever the clock does.
    assert lamp_h([clock_run(evening, TEN, off, where, follows=False)]) == follows_h + change_h


@pytest.mark.parametrize(
    ("evening", "zone", "times"),
    [
        (date(2026, 3, 7), "America/Chicago", 0),  # 02:00 becomes 03:00
        (date(2026, 10, 3), "Australia/Sydney", 0),
        (date(2026, 10, 24), "Europe/Berlin", 2),  # 03:00 becomes 02:00
        (date(2026, 4, 4), "Australia/Sydney", 2),
    ],
)
def test_a_setting_that_does_not_exist_or_comes_twice_is_found(evening: date, zone: str, times: int) -> None:
    ((reading, shown),) = doubtful_times(evening, TEN, TWO, ZoneInfo(zone))
    assert (reading.time(), shown) == (TWO, times)
    assert lamp_h([clock_run(evening, TEN, TWO, ZoneInfo(zone))]) == 4
    assert doubtful_times(date(2026, 6, 21), TEN, TWO, ZoneInfo(zone)) == ()


def test_a_run_after_midnight_is_of_the_next_morning_and_one_in_the_evening_of_that_evening() -> None:
    zone = ZoneInfo("UTC")
    assert clock_run(date(2026, 3, 1), time(0, 30), time(3), zone) == Burning(at(0, 30, 2), at(3, 0, 2))
    assert clock_run(date(2026, 3, 1), time(21), time(23), zone) == Burning(at(21), at(23))


def test_a_run_in_daylight_breaks_no_dark() -> None:
    assert dark_span_h(SUNSET, SUNRISE, [Burning(at(12), at(16))]) == 13
    assert dark_span_h(SUNSET, SUNRISE, [Burning(at(8, day=2), at(9, day=2))]) == 13


@given(target=st.floats(1, 24), more=st.floats(0, 5), side=st.sampled_from(sorted(EVENING_PART)))
def test_a_longer_target_never_leaves_more_dark(target: float, more: float, side: str) -> None:
    short = extension_runs(SUNSET, SUNRISE, target, side)
    longer = extension_runs(SUNSET, SUNRISE, min(24, target + more), side)
    assert lamp_h(longer) >= lamp_h(short) - 1e-6
    assert dark_span_h(SUNSET, SUNRISE, longer) <= dark_span_h(SUNSET, SUNRISE, short) + 1e-6


@pytest.mark.parametrize(("by_day", "begins"), [(False, 22), (True, 21)])
def test_a_run_from_after_midnight_to_the_afternoon_is_of_the_night_or_of_the_date(
    by_day: bool, begins: int
) -> None:
    run = clock_run(date(2026, 6, 21), time(1), time(13), UTC, by_day=by_day)
    assert run == (datetime(2026, 6, begins, 1, tzinfo=UTC), datetime(2026, 6, begins, 13, tzinfo=UTC))
    assert clock_run(date(2026, 6, 21), time(1), time(13), UTC).on.day == 22
