"""Days of a station's file without temperatures: gaps, counted and named with their dates."""

import math
from datetime import date, timedelta

import pytest
from station_days import CELSIUS, FAHRENHEIT, days

from calendar_tui.storage.station import file as station_file


def test_days_that_are_not_there_or_not_measured_are_gaps_and_told(tmp_path):
    read = days(
        tmp_path,
        "date,low,high\n2026-04-01,2,12\n2026-04-02,,13\n2026-04-05,NA,n/a\n2026-04-06,3,11\n2026-04-08,3,-\n2026-04-09,4,9\n",
    )
    assert [not math.isnan(low) for low in read.low_c] == [
        True,
        False,
        False,
        False,
        False,
        True,
        False,
        False,
        True,
    ]
    assert [math.isnan(high) for high in read.high_c] == [math.isnan(low) for low in read.low_c]
    assert read.notes == (
        "station.csv: no temperatures on 6 of 9 days: 2026-04-02 to 2026-04-05, 2026-04-07 to 2026-04-08",
    )


MISSING = [
    "-999",
    "-9999",
    "9999",
    "-99.9",
    "-99",
    "999",
    "-999.9",
    "9999.9",
    "-9999.00",
    "M",
    "m",
    "NA",
    "missing",
    "",
]


@pytest.mark.parametrize("station", [CELSIUS, FAHRENHEIT], ids=["C", "F"])
@pytest.mark.parametrize("mark", MISSING)
def test_a_usual_mark_for_a_missing_value_is_a_gap(tmp_path, mark, station):
    cold = 1.8 * 2 + 32 if station is FAHRENHEIT else 2
    for cells in (f"{mark},{mark}", f"{mark},{cold + 9}", f"{cold},{mark}"):
        rows = [f"2026-04-0{n},{cold},{cold + 9}" for n in range(1, 4)]
        content = "\n".join(["date,low,high", *rows, f"2026-04-04,{cells}", f"2026-04-05,{cells}", ""])
        read = days(tmp_path, content, station)
        assert [math.isnan(c) for c in read.low_c] == [False] * 3 + [True] * 2
        assert [math.isnan(c) for c in read.high_c] == [False] * 3 + [True] * 2
        assert read.notes == ("station.csv: no temperatures on 2 of 5 days: 2026-04-04 to 2026-04-05",)


def test_a_hot_and_a_cold_day_in_fahrenheit_are_no_marks(tmp_path):
    content = "date,low,high\n2026-01-01,-59.9,-40\n2026-07-01,78,99.9\n2026-07-02,79,99\n"
    assert days(tmp_path, content, FAHRENHEIT).notes == (
        "station.csv: no temperatures on 180 of 183 days: 2026-01-02 to 2026-06-30",
    )


def test_many_gaps_are_told_in_one_sentence(tmp_path):
    rows = "".join(f"{date(2026, 1, 1) + timedelta(days=2 * i)},1,5\n" for i in range(10))
    (sentence,) = days(tmp_path, "date,low,high\n" + rows).notes
    assert sentence.startswith("station.csv: no temperatures on 9 of 19 days: 2026-01-02, 2026-01-04, ")
    assert sentence.endswith("2026-01-10 and 4 more gaps")


def test_two_readings_of_the_same_days_are_equal_though_nan_is_not(tmp_path):
    content = "date,low,high\n2026-04-01,40,50\n2026-04-03,41,51\n"
    first = days(tmp_path, content, FAHRENHEIT)
    station_file._read.cache_clear()
    assert days(tmp_path, content, FAHRENHEIT) == first
