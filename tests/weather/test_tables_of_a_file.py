"""Files with several tables one below another, or of several places: Open-Meteo, format=csv.

The order of the tables, their headings and the lines above them are those that the service's own source writes (read: open-meteo,
CsvWriter.swift): now, quarters of an hour, hours, days, each with an empty line and headings above it; of several places a line each.
The values are invented.
"""

from datetime import date
from zoneinfo import ZoneInfo

import pytest

from calendar_tui.season.refusal import Refusal
from calendar_tui.season.weather_files.reading import Answers, read_weather_file

ZONE = ZoneInfo("Europe/Berlin")
DAY = date(2026, 7, 1)
PLACE = """\
latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation
52.52,13.41,38.0,7200,Europe/Berlin,CEST
"""
NOW = "\ntime,interval (seconds),temperature_2m (°C)\n2026-07-01T10:00,900,15.2\n"
HOURS = "\ntime,temperature_2m (°C)\n" + "".join(f"2026-07-01T{h:02}:00,{15 + h % 3}\n" for h in range(24))
DAYS = "\ntime,temperature_2m_max (°C),temperature_2m_min (°C)\n2026-07-01,27.5,10.2\n2026-07-02,31.1,NaN\n"
HIGHS = "\ntime,temperature_2m_max (°C)\n2026-07-01,27.5\n"
NOTHING = Answers()


def read(text, said=NOTHING):
    return read_weather_file(text, said, {}, ZONE)


@pytest.mark.parametrize("tables", [HOURS + DAYS, NOW + DAYS, NOW + HOURS + DAYS])
def test_of_hours_and_days_the_days_are_read(tables):
    file = read(PLACE + tables)
    assert (file.form, file.days, file.missing) == ("open-meteo", {DAY: (10.2, 27.5)}, {"NaN": 1})
    assert (file.unread, file.position) == ((), (52.52, 13.41))


@pytest.mark.parametrize("tables", [NOW + HOURS, HOURS + HIGHS])
def test_without_both_lows_and_highs_the_longest_table_of_hours_is_read_and_nothing_below_it(tables):
    file = read(PLACE + tables)
    assert (file.form, file.days, file.unread) == ("open-meteo-hourly", {DAY: (15, 17)}, ())


def test_a_heading_that_stands_again_begins_no_table():
    days = "date,low (C),high (C)\n2026-07-01,10,20\n"
    assert list(read(days + days.replace("07-01", "07-02")).days) == [DAY, date(2026, 7, 2)]


@pytest.mark.parametrize("offset", ["Z", "", "nan", "1e999", "90000"])
def test_an_offset_that_is_none_is_told(offset):
    with pytest.raises(
        Refusal, match=f'utc_offset_seconds is "{offset}"; it would be seconds, such as -25200'
    ):
        read(PLACE.replace("7200", offset) + HOURS)


PLACES = """\
location_id,latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation
0,44.5,-123.2,70.0,-25200,America/Los_Angeles,PDT
1,52.52,13.41,38.0,7200,Europe/Berlin,CEST

location_id,time,temperature_2m (°C)
""" + "".join(
    f"{place},2026-07-{day:02}T{hour:02}:00,{10 * place + (hour if day == 1 else 5)}\n"
    for place in (0, 1)
    for day in (1, 2)
    for hour in range(24)
)


def test_each_place_has_its_own_offset_and_position():
    file = read(PLACES, Answers(station="1"))
    assert (file.position, file.days[DAY]) == ((52.52, 13.41), (10, 33))
    far = read(PLACES, Answers(station="0"))
    assert far.position == (44.5, -123.2)
    assert far.days == {date(2026, 7, 2): (5, 23)}  # from 09:00 of Berlin on 1 July
