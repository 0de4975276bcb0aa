"""Local times and instants at changes of the clock, by the zones' own tables (IANA)."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.local_times import (
    FIRST,
    SECOND,
    LocalTimeError,
    day_begins,
    instant,
    local_time,
)

NEW_YORK = ZoneInfo("America/New_York")
ZONES = (
    "America/New_York",
    "Europe/Berlin",
    "Australia/Sydney",
    "Australia/Lord_Howe",
    "America/Montevideo",
    "Asia/Kolkata",
)


@pytest.mark.parametrize(
    ("zone", "skipped", "before", "after"),
    [
        ("America/New_York", datetime(2027, 3, 14, 2, 30), "01:59", "03:00"),
        ("Europe/Berlin", datetime(2027, 3, 28, 2, 0), "01:59", "03:00"),
        ("Australia/Sydney", datetime(2026, 10, 4, 2, 59), "01:59", "03:00"),
        ("Australia/Lord_Howe", datetime(2026, 10, 4, 2, 15), "01:59", "02:30"),
    ],
)
def test_an_hour_that_the_clock_leaves_out_is_refused_with_those_beside_it(zone, skipped, before, after):
    with pytest.raises(LocalTimeError, match=f"does not exist.*write {before} or {after}"):
        instant(skipped, ZoneInfo(zone))


@pytest.mark.parametrize("which", [FIRST, SECOND])
def test_the_hours_beside_a_skipped_one_exist(which):
    assert instant(datetime(2027, 3, 14, 1, 59), NEW_YORK, which) == datetime(2027, 3, 14, 6, 59, tzinfo=UTC)
    assert instant(datetime(2027, 3, 14, 3, 0), NEW_YORK, which) == datetime(2027, 3, 14, 7, 0, tzinfo=UTC)


def test_an_hour_that_the_clock_has_twice_is_asked():
    twice = datetime(2026, 11, 1, 1, 30)
    with pytest.raises(
        LocalTimeError, match=r"01:30 on 1 Nov 2026 exists twice.*first \(UTC-04:00\) or second \(UTC-05:00\)"
    ):
        instant(twice, NEW_YORK)
    assert instant(twice, NEW_YORK, FIRST) == datetime(2026, 11, 1, 5, 30, tzinfo=UTC)
    assert instant(twice, NEW_YORK, SECOND) == datetime(2026, 11, 1, 6, 30, tzinfo=UTC)


def test_a_word_that_is_not_first_or_second_is_refused():
    with pytest.raises(LocalTimeError, match="first, second"):
        instant(datetime(2026, 11, 1, 1, 30), NEW_YORK, "third")


def test_a_day_whose_midnight_the_clock_leaves_out_begins_an_hour_later():
    """Havana puts its clock forward at midnight: 8 March 2026 began at 01:00."""
    begins = day_begins(datetime(2026, 3, 8), ZoneInfo("America/Havana"))
    assert begins == datetime(2026, 3, 8, 5, 0, tzinfo=UTC)
    assert local_time(begins, ZoneInfo("America/Havana")) == datetime(2026, 3, 8, 1, 0)


def test_a_day_begins_at_the_first_of_two_midnights():
    """Havana puts its clock back from 01:00 to midnight on 1 November 2026."""
    begins = day_begins(datetime(2026, 11, 1), ZoneInfo("America/Havana"))
    assert begins == datetime(2026, 11, 1, 4, 0, tzinfo=UTC)


@given(
    st.datetimes(datetime(2020, 1, 1), datetime(2035, 1, 1)),
    st.sampled_from(ZONES),
    st.sampled_from(["", FIRST, SECOND]),
)
def test_an_instant_is_what_the_clock_shows_then(local, zone, which):
    local = local.replace(second=0, microsecond=0)
    try:
        moment = instant(local, ZoneInfo(zone), which)
    except LocalTimeError:
        shifted = local + timedelta(hours=12)
        moment, local = instant(shifted, ZoneInfo(zone), FIRST), shifted
    assert local_time(moment, ZoneInfo(zone)) == local
