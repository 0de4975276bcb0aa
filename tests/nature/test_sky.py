"""The sky against published figures, the polar circles, clock changes and awkward places."""

from datetime import UTC, date, datetime, timedelta, timezone
from itertools import pairwise
from math import acos, nan, pi, radians, sin, tan
from zoneinfo import ZoneInfo

import pytest
from astral.sun import eq_of_time, sun_declination
from hypothesis import given, settings
from hypothesis import strategies as st
from published_days import CROSSINGS, LONGEST, SKYFIELD_2026, TABLE_DAYS, hours_of

from calendar_tui.nature import sky
from calendar_tui.nature.sky import (
    CIVIL_DEG,
    SUNRISE_DEG,
    day_length_h,
    day_lengths_h,
    daylight,
    daylights,
)

DENVER = ZoneInfo("America/Denver")
NEW_YORK = ZoneInfo("America/New_York")
JAN_1, DEC_31 = date(2026, 1, 1), date(2026, 12, 31)


def seconds_between(one: datetime, other: datetime) -> float:
    return abs((one - other).total_seconds())


# Published figures


def test_sunrise_and_sunset_of_the_nrel_solar_position_example():
    # Reda and Andreas 2004, Solar Position Algorithm, NREL/TP-560-34302: 17 October 2003, 39.742476 N, 105.1786 W,
    # UTC-7: sunrise 06:12:43, sunset 17:20:19 (read). The report pairs events by UTC day, so that sunset is the one of
    # 16 October by local date; the one after the same sunrise is 17:18:51 (measured with Skyfield 1.55, DE421).
    mountain = timezone(timedelta(hours=-7))
    day = daylight(39.742476, -105.1786, DENVER, date(2003, 10, 17))
    day_before = daylight(39.742476, -105.1786, DENVER, date(2003, 10, 16))
    assert seconds_between(day.sunrise, datetime(2003, 10, 17, 6, 12, 43, tzinfo=mountain)) <= 5
    assert seconds_between(day_before.sunset, datetime(2003, 10, 16, 17, 20, 19, tzinfo=mountain)) <= 5
    assert seconds_between(day.sunset, datetime(2003, 10, 17, 17, 18, 51, tzinfo=mountain)) <= 5


def test_sunrise_and_sunset_of_the_almanac_for_computers_example():
    # Almanac for Computers 1990, US Naval Observatory: 25 June 1990, 40.9 N, 74.3 W: 09:26:30 and 00:33:01 UT.
    day = daylight(40.9, -74.3, NEW_YORK, date(1990, 6, 25))
    assert seconds_between(day.sunrise, datetime(1990, 6, 25, 9, 26, 30, tzinfo=UTC)) <= 5
    assert seconds_between(day.sunset, datetime(1990, 6, 26, 0, 33, 1, tzinfo=UTC)) <= 5


def test_declination_and_equation_of_time_of_the_meeus_example():
    # Meeus, Astronomical Algorithms (1991), examples 25.a and 28.a: 1992 October 13.0 TD: declination
    # -7 deg 47' 06", equation of time 13 m 42.6 s (read). The two functions the day length rests on.
    century = (2448908.5 - 2451545.0) / 36525
    assert sun_declination(century) == pytest.approx(-(7 + 47 / 60 + 6 / 3600), abs=0.0005)
    assert eq_of_time(century) * 60 == pytest.approx(13 * 60 + 42.6, abs=0.5)


def test_hours_of_the_two_worked_examples_of_fao_56():
    # Allen et al. 1998, FAO Irrigation and Drainage Paper 56, examples 8 to 10: day of the sun's centre at 0 deg.
    # 20 S, 3 September (J 246): 11.7 h; 22.9 S, 15 May: 10.9 h (read). Printed to 0.1 h, from a rounded declination.
    assert day_length_h(-20, 0, date(2026, 9, 3), UTC, 0) == pytest.approx(11.7, abs=0.1)
    assert day_length_h(-22.9, -43.2, date(2026, 5, 15), ZoneInfo("America/Sao_Paulo"), 0) == pytest.approx(
        10.9, abs=0.05
    )


@pytest.mark.parametrize(
    ("latitude", "minutes"), [(0, 0.5), (-20, 3.5), (20, 3.5), (-40, 8), (40, 8), (55, 14)]
)
def test_day_of_the_suns_centre_follows_fao_56_equation_34(latitude, minutes):
    # Equation 34 with the declination of equation 24, which is itself up to 1.1 deg out in September.
    for index, hours in enumerate(day_lengths_h(latitude, 0, UTC, JAN_1, DEC_31, 0)):
        declination = 0.409 * sin(2 * pi * (index + 1) / 365 - 1.39)
        published = 24 / pi * acos(-tan(radians(latitude)) * tan(declination))
        assert hours == pytest.approx(published, abs=minutes / 60), index


@pytest.mark.parametrize("latitude", SKYFIELD_2026)
def test_day_and_civil_day_of_the_skyfield_table(latitude):
    figures = [hours_of(text) for text in SKYFIELD_2026[latitude].split()]
    for day, natural_h, civil_h in zip(TABLE_DAYS, figures[::2], figures[1::2], strict=True):
        found = daylight(latitude, 0, UTC, day)
        assert found.natural_h == pytest.approx(natural_h, abs=6 / 3600)
        assert found.civil_h == pytest.approx(civil_h, abs=15 / 3600)


@pytest.mark.parametrize(("latitude", "longitude", "zone", "longest"), LONGEST)
def test_longest_natural_day_of_the_year(latitude, longitude, zone, longest):
    lengths = day_lengths_h(latitude, longitude, ZoneInfo(zone), JAN_1, DEC_31)
    assert max(lengths) == pytest.approx(longest, abs=0.8 / 60)


@pytest.mark.parametrize(("latitude", "hours", "spring", "summer"), CROSSINGS)
def test_dates_on_which_the_natural_day_crosses_a_threshold(latitude, hours, spring, summer):
    lengths = day_lengths_h(latitude, -80, NEW_YORK, JAN_1, DEC_31)
    long_days = [JAN_1 + timedelta(index) for index, length in enumerate(lengths) if length >= hours]
    assert abs(long_days[0] - date(2026, *spring)) <= timedelta(1)
    assert abs(long_days[-1] + timedelta(1) - date(2026, *summer)) <= timedelta(1)


def test_a_day_of_fourteen_hours_never_comes_at_28_68_north():
    assert max(day_lengths_h(28.68, -81.4, NEW_YORK, JAN_1, DEC_31)) < 14  # computed with Skyfield: 13 h 58


def test_civil_twilight_moves_the_fourteen_hour_date_by_weeks():
    # 35.8 N, computed with Skyfield: below 14 h from 31 July by sunrise to sunset, from 28 August by civil twilight.
    summer = date(2026, 6, 21)
    lengths = day_lengths_h(35.8, -79, NEW_YORK, summer, DEC_31, CIVIL_DEG)
    first_short = summer + timedelta(next(i for i, hours in enumerate(lengths) if hours < 14))
    assert abs(first_short - date(2026, 8, 28)) <= timedelta(1)


# Polar day and night


@pytest.mark.parametrize(
    ("latitude", "day", "hours"),
    [
        (70, date(2026, 6, 21), 24),
        (70, date(2026, 12, 21), 0),
        (-70, date(2026, 12, 21), 24),
        (-70, date(2026, 6, 21), 0),
        (90, date(2026, 6, 21), 24),
        (90, date(2026, 12, 21), 0),
        (-90, date(2026, 12, 21), 24),
        (-90, date(2026, 6, 21), 0),
    ],
)
def test_polar_day_is_24_hours_and_polar_night_none(latitude, day, hours):
    # The sun's declination is over 23.4 deg at the solstices, so it neither sets nor rises beyond 67 deg.
    found = daylight(latitude, 25, ZoneInfo("Europe/Oslo"), day)
    assert found.natural_h == hours
    assert found.sunrise is None
    assert found.sunset is None


def test_twilight_remains_in_the_polar_night_at_70_degrees():
    found = daylight(70, 25, ZoneInfo("Europe/Oslo"), date(2026, 12, 21))
    assert found.sunrise is None
    assert found.dawn < found.dusk
    assert found.civil_h == pytest.approx((found.dusk - found.dawn).total_seconds() / 3600, abs=1 / 3600)


def test_length_changes_smoothly_into_the_polar_day_and_night():
    # At 70 deg the day grows by less than an hour a day (Skyfield, between crossings), even where it ends in 24 h.
    lengths = day_lengths_h(70, 25, ZoneInfo("Europe/Oslo"), JAN_1, DEC_31)
    steps = [abs(after - before) for before, after in pairwise(lengths)]
    assert max(steps) < 1.1
    assert {0.0, 24.0} < set(lengths)


@pytest.mark.slow
@given(
    latitude=st.floats(-90, 90),
    longitude=st.floats(-180, 180),
    hours=st.integers(-12, 14),
    day=st.dates(date(1900, 1, 1), date(2100, 12, 31)),
)
@settings(max_examples=400, deadline=None)
def test_anywhere_on_the_globe_a_length_lies_between_0_and_24(latitude, longitude, hours, day):
    found = daylight(latitude, longitude, timezone(timedelta(hours=hours)), day)
    assert 0 <= found.natural_h <= found.civil_h <= 24
    if found.sunrise and found.sunset:
        assert found.natural_h == pytest.approx(
            (found.sunset - found.sunrise).total_seconds() / 3600, abs=1.1 / 3600
        )
    if found.natural_h == 0:
        assert (found.sunrise, found.sunset) == (None, None)


@pytest.mark.parametrize("latitude", [-90, -89.99, -89, -75, -66.56, 65.73, 66, 67.4, 80, 89.9, 90])
@pytest.mark.parametrize("longitude", [-180, -45, 0, 180])
def test_every_day_of_a_year_near_the_poles_has_an_answer(latitude, longitude):
    zone = timezone(timedelta(hours=round(longitude / 15)))
    days = daylights(latitude, longitude, zone, date(2028, 1, 1), date(2028, 12, 31))
    assert len(days) == 366
    assert all(0 <= day.natural_h <= day.civil_h <= 24 for day in days)


# Places and clocks


@given(
    latitude=st.floats(-45, 45),
    longitude=st.floats(-180, 180),
    day=st.dates(date(2020, 1, 1), date(2040, 12, 31)),
)
@settings(max_examples=200, deadline=None)
def test_longitude_alone_moves_the_length_by_under_two_minutes(latitude, longitude, day):
    # To 45 deg the day changes by at most 3.3 minutes from one date to the next, and a longitude is half a day off
    # Greenwich at most.
    here = day_length_h(latitude, longitude, day, timezone(timedelta(hours=round(longitude / 15))))
    assert abs(here - day_length_h(latitude, 0, day, UTC)) < 2 / 60


@pytest.mark.parametrize(
    ("zone", "standard_h", "latitude", "longitude"),
    [
        ("America/New_York", -5, 42.88, -77.0),
        ("Europe/Berlin", 1, 52.5, 13.4),
        ("Australia/Sydney", 10, -33.9, 151.2),
        ("Australia/Lord_Howe", 10.5, -31.5, 159.1),
        ("Pacific/Auckland", 12, -36.8, 174.8),
    ],
)
def test_clock_changes_leave_every_day_as_it_is(zone, standard_h, latitude, longitude):
    standard = timezone(timedelta(hours=standard_h))
    changing = daylights(latitude, longitude, ZoneInfo(zone), JAN_1, DEC_31)
    assert changing == daylights(latitude, longitude, standard, JAN_1, DEC_31)


def test_a_date_the_zone_left_out_takes_the_nearest_noon():
    # Samoa went from 29 to 31 December 2011 (tz database, australasia).
    days = daylights(-13.83, -171.77, ZoneInfo("Pacific/Apia"), date(2011, 12, 28), date(2012, 1, 2))
    assert len(days) == 6
    assert all(day.sunrise < day.sunset for day in days)
    assert days[2].sunrise == days[3].sunrise


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "UTC", "Pacific/Honolulu"])
def test_a_zone_far_from_its_longitude_still_gives_the_noon_of_the_local_date(zone):
    for day in daylights(1.87, -157.4, ZoneInfo(zone), JAN_1, DEC_31):
        noon = day.sunrise + (day.sunset - day.sunrise) / 2
        assert noon.astimezone(ZoneInfo(zone)).date() == day.date


# The forms agree, and refuse what is not a place


def test_one_day_and_a_run_of_days_agree():
    first, last = date(2026, 9, 15), date(2027, 5, 15)
    montevideo = ZoneInfo("America/Montevideo")
    days = daylights(-34.3, -56.7, montevideo, first, last)
    assert [day.date for day in days] == [first + timedelta(i) for i in range((last - first).days + 1)]
    assert tuple(day.natural_h for day in days) == day_lengths_h(
        -34.3, -56.7, montevideo, first, last, SUNRISE_DEG
    )
    assert tuple(day.civil_h for day in days) == day_lengths_h(
        -34.3, -56.7, montevideo, first, last, CIVIL_DEG
    )
    assert days[40] == daylight(-34.3, -56.7, montevideo, first + timedelta(40))
    assert days[40].natural_h == day_length_h(-34.3, -56.7, first + timedelta(40), montevideo)


def test_instants_are_whole_seconds_in_utc():
    day = daylight(-34.3, -56.7, ZoneInfo("America/Montevideo"), date(2026, 12, 21))
    for instant in (day.dawn, day.sunrise, day.sunset, day.dusk):
        assert instant.utcoffset() == timedelta(0)
        assert instant.microsecond == 0
    assert day.dawn < day.sunrise < day.sunset < day.dusk


def test_no_days_when_the_last_is_before_the_first():
    assert daylights(10, 10, UTC, DEC_31, JAN_1) == ()
    assert day_lengths_h(10, 10, UTC, DEC_31, JAN_1) == ()


@pytest.mark.parametrize(
    ("latitude", "longitude", "words"),
    [
        (120, 0, "Latitude 120 .* from -90"),
        (-90.01, 0, "Latitude -90.01"),
        (nan, 0, "Latitude nan"),
        (0, 180.5, "Longitude 180.5 .* from -180"),
        (0, -181, "Longitude -181"),
        (0, nan, "Longitude nan"),
    ],
)
@pytest.mark.parametrize("ask", ["day_length_h", "daylight", "daylights", "day_lengths_h"])
def test_a_place_off_the_globe_is_refused_with_the_range(ask, latitude, longitude, words):
    calls = {
        "day_length_h": (latitude, longitude, JAN_1, UTC),
        "daylight": (latitude, longitude, UTC, JAN_1),
        "daylights": (latitude, longitude, UTC, JAN_1, DEC_31),
        "day_lengths_h": (latitude, longitude, UTC, JAN_1, DEC_31, SUNRISE_DEG),
    }
    with pytest.raises(ValueError, match=words):
        getattr(sky, ask)(*calls[ask])


def test_a_height_beyond_the_zenith_and_a_year_beyond_the_calendar_are_refused():
    with pytest.raises(ValueError, match="sun cannot stand at 95 degrees"):
        day_length_h(10, 10, JAN_1, UTC, 95)
    with pytest.raises(ValueError, match="years 2 to 9998"):
        daylight(10, 10, UTC, date.min)
    with pytest.raises(ValueError, match="years 2 to 9998"):
        daylight(10, 10, UTC, date.max)
