"""Readings within the day folded to days: by the site's clock, and days with long stretches left out."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from calendar_tui.season.weather_files.reading import Answers, read_weather_file
from calendar_tui.season.weather_files.table import NoForm

ZONE = ZoneInfo("America/Los_Angeles")
DAY = date(2026, 7, 1)


NOTHING = Answers()


def read(text, said=NOTHING):
    return read_weather_file(text, said, {}, ZONE)


def hours(first, count, step=1):
    """Readings from a time on: 15 C at midnight and noon, 10 at six, 20 at eighteen."""
    for n in range(0, count, step):
        at = first + timedelta(hours=n)
        yield at, {0: 15, 6: 10, 12: 15, 18: 20}.get(at.hour, 15)


def written(readings, head="date,time,temp (C)", form="%Y-%m-%d,%H:%M"):
    return "\n".join([head, *(f"{at.strftime(form)},{degrees}" for at, degrees in readings)])


def test_whole_days_of_hours_have_their_lowest_and_highest():
    file = read(written(hours(datetime(2026, 7, 1), 48)))
    assert file.form == "hourly-table"
    assert file.days == {DAY: (10, 20), DAY + timedelta(days=1): (10, 20)}


@pytest.mark.parametrize(("step", "kept"), [(1, 2), (3, 2), (4, 0)])
def test_a_day_may_be_without_a_reading_for_three_hours_and_no_longer(step, kept):
    text = written(hours(datetime(2026, 7, 1), 48, step))
    if kept:
        assert len(read(text).days) == kept
    else:
        with pytest.raises(ValueError, match="no day of the file has both"):
            read(text)


def test_the_days_of_a_long_stretch_are_gaps_and_named():
    some = [
        one
        for one in hours(datetime(2026, 7, 1), 72)
        if not 26 <= (one[0] - datetime(2026, 7, 1)) / timedelta(hours=1) <= 30
    ]
    file = read(written(some))
    assert file.torn == (date(2026, 7, 2),)
    assert list(file.days) == [DAY, date(2026, 7, 3)]
    assert file.lacking == 1


def test_a_stretch_over_midnight_takes_the_day_of_which_it_takes_long():
    """From 22:00 to 09:00: two hours of the one day, nine of the other."""
    first = datetime(2026, 7, 1)
    some = [one for one in hours(first, 72) if not 23 <= (one[0] - first) / timedelta(hours=1) < 33]
    file = read(written(some))
    assert (file.torn, list(file.days)) == ((date(2026, 7, 2),), [DAY, date(2026, 7, 3)])


def test_half_a_first_and_a_last_day_are_gaps():
    file = read(written(hours(datetime(2026, 7, 1, 5), 60)))
    assert list(file.days) == [date(2026, 7, 2)]
    assert file.torn == (DAY, date(2026, 7, 3))


def test_times_with_an_offset_fall_on_the_days_of_the_site():
    """Midnight in Los Angeles in July is 07:00 UTC (UTC-7)."""
    text = written(hours(datetime(2026, 7, 1, 7), 24), "time,temperature (C)", "%Y-%m-%dT%H:%MZ")
    assert list(read(text).days) == [DAY]


@pytest.mark.parametrize("head", ["Date Time (GMT-07:00),Temp (C)", "Date Time, GMT-07:00;Temp (C)"])
def test_an_offset_in_the_heading_counts_for_all_times(head):
    separator = ";" if ";" in head else ","
    some = written(hours(datetime(2026, 1, 1), 26), head, "%m/%d/%y %I:%M:%S %p").replace(" AM,", f" AM{separator}").replace(" PM,", f" PM{separator}")  # fmt: skip
    file = read(some, Answers(dates="month-first"))
    assert file.first == date(2025, 12, 31)  # UTC-8 in January


def test_an_offset_of_half_an_hour_counts_to_the_minute():
    """India is 5 h 30 min ahead of UTC all year (IANA time zone database)."""
    some = [(datetime(2026, 7, 1) + timedelta(minutes=30 * n), 10 + n % 20) for n in range(48)]
    text = written(some, "Date Time (GMT+05:30),Temp (C)", "%Y-%m-%d %H:%M")
    file = read_weather_file(text, NOTHING, {}, ZoneInfo("Asia/Kolkata"))
    assert (file.first, file.last) == (DAY, DAY)


def test_open_meteo_hours_in_gmt_are_those_of_the_site():
    above = "latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation\n44.5,-123.2,70.0,0,GMT,GMT\n\n"
    text = above + written(hours(datetime(2026, 7, 1, 7), 24), "time,temperature_2m (°C)", "%Y-%m-%dT%H:%M")
    file = read(text)
    assert (file.form, list(file.days)) == ("open-meteo-hourly", [DAY])


# Headings of loggers as their exports have them (read in public readers of such files and their tests): behind the unit stands which
# logger and sensor it is; a line of a title may stand above, and rows of an event have no temperature.
LOGGER = ('"Plot Title: bench"', '"#","Date Time, GMT-07:00","Temp, °F (LGR S/N: 1, SEN S/N: 2, LBL: air)","Host Connected (LGR S/N: 1)"')  # fmt: skip
LOGGED = [*LOGGER, *(f'{h + 1},"07/01/26 {h % 12 or 12:02}:00:00 {"AP"[h > 11]}M",{50 + h},' for h in range(24)), '25,"07/01/26 11:30:00 PM",,"Logged"']  # fmt: skip


def test_the_number_of_a_logger_behind_the_unit_hides_neither_unit_nor_column():
    file = read("\n".join(LOGGED), Answers(dates="month-first"))
    assert (file.form, file.unit, file.unit_by) == ("hourly-table", "F", "by its heading")
    assert file.days[DAY] == pytest.approx((10, 22.78), abs=0.01)
    assert (file.missing, file.unread) == ({"empty": 1}, ())
    head = "Date Time\tTemp (°C)  #9724974\tCoupler Detached"
    rows = (f"{at:%Y-%m-%d %H:%M}\t{degrees}\t" for at, degrees in hours(datetime(2026, 7, 1), 24))
    file = read("\n".join([head, *rows]))
    assert (file.unit, file.days) == ("C", {DAY: (10, 20)})


def test_two_columns_of_temperatures_in_one_unit_are_asked_for_and_none_is_taken():
    head = "Date Time;Temp (°C) #1;Temp (°C) #2"
    rows = [f"{at:%Y-%m-%d %H:%M};{degrees};30" for at, degrees in hours(datetime(2026, 7, 1), 24)]
    text = "\n".join([head, *rows])
    with pytest.raises(NoForm, match=r"2 columns .*Temp \(°C\) #1, Temp \(°C\) #2") as asked:
        read(text)
    assert asked.value.headings == tuple(head.split(";"))
    said = {"Date Time": "time", "Temp (°C) #1": "temperature"}
    assert read(text, Answers(columns=said)).days == {DAY: (10, 20)}
    both_units = text.replace("Temp (°C) #2", "Temp (°F) #1")
    assert read(both_units).days == {DAY: (10, 20)}


def test_two_columns_of_lows_are_asked_for_too():
    text = "Date,Tmin (C),Tmax (C),Min (C)\n2026-07-01,10,20,4\n"
    with pytest.raises(NoForm, match=r"2 columns .*Tmin \(C\), Min \(C\)"):
        read(text)


def test_hours_of_airport_stations_say_whose_clock_theirs_is():
    """Iowa Environmental Mesonet, hours as its source writes them (read: iem, iemweb/request/asos.py: station, valid, tmpf; M for none;
    the file says no zone, and without one asked for it is UTC).
    """
    head, form = "station,valid,tmpf", "ABC,%Y-%m-%d %H:%M"
    file = read(written(hours(datetime(2026, 7, 1), 24), head, form) + "\nABC,2026-07-01 23:30,M")
    assert (file.form, file.unit, file.station, list(file.days)) == ("asos-hourly", "F", "ABC", [DAY])
    assert "its times are taken for the site's clock" in file.note


def test_hours_of_the_dwd_are_in_utc_and_in_c():
    """Deutscher Wetterdienst, hourly air temperature: TT_TU in degrees C, -999 for none, times in UTC (its description, read as a public
    reader quotes it; rows as in produkt_tu_stunde files, read). In Berlin in July 22:00 UTC is midnight.
    """
    first = datetime(2026, 6, 30, 22)
    rows = [
        f"         44;{first + timedelta(hours=h):%Y%m%d%H};    1;{10 + h:6.1f};  72.0;eor" for h in range(24)
    ]
    text = "\n".join(["STATIONS_ID;MESS_DATUM;QN_9;TT_TU;RF_TU;eor", *rows])
    file = read_weather_file(text, NOTHING, {}, ZoneInfo("Europe/Berlin"))
    assert (file.form, file.unit, file.days) == ("dwd-hourly", "C", {DAY: (10, 33)})


def test_the_day_of_a_clock_change_is_whole():
    """Clocks go from 02:00 to 03:00 on 8 March 2026 in Los Angeles (IANA time zone database)."""
    some = [one for one in hours(datetime(2026, 3, 8), 24) if one[0].hour != 2]
    assert list(read(written(some)).days) == [date(2026, 3, 8)]


def test_a_spike_is_left_out_and_the_day_stands():
    some = [(at, 85 if at.hour == 13 else degrees) for at, degrees in hours(datetime(2026, 7, 1), 24)]
    file = read(written(some))
    assert file.days == {DAY: (10, 20)}
    assert file.unread[0].text == "85.0 C, which air never has"
