"""A station's daily file: what is read, what is told as a gap, and everything that can be wrong with it."""

import errno
import math
import os
import re
import shutil
from datetime import date, timedelta

import pytest
from station_days import CELSIUS, FAHRENHEIT, WHOLE, days, reading

from calendar_tui.nature.heat import degree_day_series
from calendar_tui.season.field import DATE_FORMS
from calendar_tui.season.weather import Station, StationColumns
from calendar_tui.storage.station import file as station_file
from calendar_tui.storage.station import rows as station_rows
from calendar_tui.storage.station.file import read_station
from tests.counting import lines_run
from tests.packaged import packaged


def told(folder, content, station=CELSIUS):
    """The line and the message of each problem."""
    read = reading(folder, content, station)
    assert read.days is None
    assert {p.file for p in read.problems} == {str(folder / station.file)}
    return [(p.line, p.message) for p in read.problems]


def with_line(line, text=WHOLE):
    """The file with its third line changed."""
    lines = text.splitlines()
    return "\n".join((*lines[:2], line, *lines[3:])) + "\n"


# --- what is read


def test_days_are_read_by_the_names_of_their_columns(tmp_path):
    read = days(tmp_path, WHOLE)
    assert read.first == date(2026, 4, 1)
    assert read.low_c == (2.5, 3.0, -1.0)
    assert read.high_c == (12.0, 14.5, 9.0)
    assert read.notes == ()


def test_fahrenheit_becomes_celsius(tmp_path):
    """Water freezes at 32 and boils at 212 degrees F: 50 is 10 degrees C, 14 is -10."""
    read = days(tmp_path, "date,low,high\n2026-04-01,14,50\n", FAHRENHEIT)
    assert (*read.low_c, *read.high_c) == (pytest.approx(-10), pytest.approx(10))


NAMED = Station(file="station.csv", unit="C", columns=StationColumns(date="DATE", low="TMIN", high="TMAX"))
WRITTEN = {
    "byte-order mark": b"\xef\xbb\xbfdate,low,high\n2026-04-01,2.5,12\n",
    "semicolons": "date;low;high\n2026-04-01;2.5;12\n",
    "semicolons and decimal commas": "date;rain;low;high\n2026-04-01;1,5;2,5;12,0\n",
    "quoted decimal commas among commas": 'date,low,high\n2026-04-01,"2,5","12,0"\n',
    "tabs": "date\tlow\thigh\n2026-04-01\t2.5\t12\n",
    "quotes": '"date","low","high"\n"2026-04-01","2.5","12"\n',
    "spaces": "date , low, high\n2026-04-01 , 2.5, 12\n",
    "lines of other systems": "date,low,high\r\n2026-04-01,2.5,12\r\n\r\n",
    "empty rows": "date,low,high\n\n2026-04-01,2.5,12\n,,\n",
    "other order": "high,date,low\n12,2026-04-01,2.5\n",
    "cells left empty at the end": "date,low,high\n2026-04-01,2.5,12,,\n",
    "last cells left out": "date,low,high,rain,wind\n2026-04-01,2.5,12\n",
    "a quote with a line break": 'note,date,low,high\n"a\nb",2026-04-01,2.5,12\n',
}


@pytest.mark.parametrize("content", WRITTEN.values(), ids=WRITTEN.keys())
def test_ways_of_writing_the_same_day(tmp_path, content):
    read = days(tmp_path, content)
    assert (read.first, read.low_c, read.high_c) == (date(2026, 4, 1), (2.5,), (12.0,))


@pytest.mark.parametrize(
    ("form", "cell"),
    [
        ("2026-01-31", "2026-01-31"),
        ("20260131", "20260131"),
        ("2026/01/31", "2026/01/31"),
        ("31/01/2026", "31/01/2026"),
        ("31/01/2026", "31/1/2026"),
        ("01/31/2026", "01/31/2026"),
    ],
)
def test_dates_are_read_as_the_season_says(tmp_path, form, cell):
    station = Station(file="station.csv", unit="C", date_form=form)
    assert days(tmp_path, f"date,low,high\n{cell},1,2\n", station).first == date(2026, 1, 31)


def test_every_form_of_date_that_a_season_can_name_is_read():
    assert tuple(station_rows._DATES) == DATE_FORMS


def test_days_out_of_order_are_sorted(tmp_path):
    head, *lines = WHOLE.splitlines()
    assert days(tmp_path, "\n".join((head, *reversed(lines)))) == days(tmp_path, WHOLE)


# --- what is wrong

BAD = {
    "empty file": ("", 1, "is empty; a line with the names of its columns comes first"),
    "white space alone": ("\n\n", 1, "is empty"),
    "no days": ("date,low,high\n", None, "has no days"),
    "nothing measured": ("date,low,high\n2026-04-01,,5\n2026-04-02,,\n", None, "no day has both its temperatures"),
    "text in a number": (
        with_line("2026-04-02,3.0,warm,1.2"),
        3,
        'high is "warm"; write a number such as 12.5, and leave the cell empty where nothing was measured',
    ),
    "letters for control": (with_line("2026-04-02,3.0,\x1b[31m,1.2"), 3, 'high is "?[31m"'),
    "decimal comma among commas": (with_line("2026-04-02,3,0,14,5,1,2"), 3, "has 7 cells where the first line names 4"),
    "too few cells": (with_line("2026-04-02,3.0"), 3, "has 2 cells where the first line names 4 columns"),
    "low over high": (with_line("2026-04-02,14.5,3.0,1.2"), 3, "low is 14.5, over high, which is 3"),
    "a day twice": (with_line("2026-04-01,3.0,14.5,1.2"), 3, "2026-04-01 is on line 2 already"),
    "no such date": (with_line("2026-02-30,3.0,14.5,1.2"), 3, 'the date is "2026-02-30"; write 31 January 2026 as 2026-01-31'),
    "no date": (with_line(",3.0,14.5,1.2"), 3, 'the date is ""'),
    "other form of date": (with_line("02/04/2026,3.0,14.5,1.2"), 3, "or set date_form in [station]"),
    "date with a time": (with_line("2026-04-02 00:00,3.0,14.5,1.2"), 3, 'the date is "2026-04-02 00:00"'),
    "year out of range": (with_line("0206-04-02,3.0,14.5,1.2"), 3, "it must be from 1900 to 2199"),
    "over 60 C": (with_line("2026-04-02,37.4,68.5,1.2"), 3, '37.4 and 68.5 go over 60 C. The season says unit = "C"'),
    "colder than air": (with_line("2026-04-02,-888,14.5,1.2"), 3, "low is -888, which air never has in C; empty both cells"),
    "a high colder than air": (with_line("2026-04-02,3.0,-888,1.2"), 3, "high is -888, which air never has in C; empty both cells"),
    "only marks for missing": (WHOLE.replace("2.5", "-999").replace("3.0", "-999").replace("-1.0", "-999"), None, "no day has both"),
    "infinite": (with_line("2026-04-02,3.0,inf,1.2"), 3, "high is inf, which air never has"),
    "a jump as F after C": (with_line("2026-04-02,37.4,58.1,1.2"), 3, "nothing is guessed"),
    "open quotes": (with_line('"2026-04-02,3.0,14.5,1.2'), 4, "the quotes do not fit here"),
    "not UTF-8": (WHOLE.encode().replace(b"12.0", b"12\xb0"), 2, "save the file as CSV in UTF-8"),
    "of a spreadsheet": (WHOLE.encode("utf-16"), 1, "these characters are not UTF-8"),
    "binary": (b"PK\x03\x04\x00\x00,\x01", 1, 'there is no column "date"'),
}  # fmt: skip


@pytest.mark.parametrize(("content", "line", "words"), BAD.values(), ids=BAD.keys())
def test_what_is_wrong_is_told_with_its_line(tmp_path, content, line, words):
    problems = told(tmp_path, content)
    assert problems[0][0] == line, problems
    assert words in problems[0][1], problems


def test_columns_that_are_not_there_are_told_with_what_is(tmp_path):
    problems = told(tmp_path, "day,TMIN,tmax,tmax\n2026-04-01,1,2,3\n", Station(
        file="station.csv", unit="C", columns=StationColumns(date="date", low="tmin", high="tmax")
    ))  # fmt: skip
    assert problems == [
        (
            1,
            'there is no column "date"; name the date column under columns in [station]. Columns: day, TMIN, tmax, tmax',
        ),
        (
            1,
            'there is no column "tmin"; name the low column under columns in [station]; did you mean "TMIN"? '
            "Columns: day, TMIN, tmax, tmax",
        ),
        (1, '2 columns are named "tmax"; give each its own name'),
    ]


def test_a_file_without_names_of_columns_is_told_so(tmp_path):
    (_, message), *_ = told(tmp_path, "2026-04-01,1,2\n")
    assert message.endswith("Columns: 2026-04-01, 1, 2")


def test_columns_changed_round_are_told_once(tmp_path):
    problems = told(tmp_path, WHOLE.replace("low,high", "high,low"))
    assert len(problems) == 1
    assert problems[0][0] == 2
    assert 'write low = "high" and high = "low"' in problems[0][1]
    assert "on 3 of 3 in all" in problems[0][1]


def test_every_problem_is_told_in_one_reading_in_the_order_of_the_lines(tmp_path):
    content = "date,low,high\n2026-04-01,x,y\n2026-04-02,9,1\n2026-04-02,1,9\nnever,1,2\n2026-04-04,1,99\n2026-04-05,1,2\n"
    assert [line for line, _ in told(tmp_path, content)] == [2, 2, 3, 4, 5, 6]


@pytest.mark.parametrize(
    ("wrong", "last"),
    [(20, None), (21, "and 1 more problem, on this line"), (400, "and 380 more problems, from this line on")],
)
def test_no_more_problems_than_a_person_reads(tmp_path, wrong, last):
    rows = "".join(f"{date(2026, 1, 1) + timedelta(days=i)},1,warm\n" for i in range(wrong))
    problems = told(tmp_path, "date,low,high\n" + rows)
    assert len(problems) == (20 if last is None else 21)
    if last:
        assert problems[-1] == (22, last)


def test_more_rows_than_days_are_refused(tmp_path, monkeypatch):
    monkeypatch.setattr("calendar_tui.storage.station.rows.MOST_ROWS", 2)
    assert told(tmp_path, WHOLE) == [
        (None, "has more rows than 2, the days of 300 years; keep one row a day")
    ]


# --- units


def warm_year(first, count, unit, season=12.0):
    """Invented days in the unit given, one a row, with a quiet swing from day to day."""
    rows = []
    for i in range(count):
        mean = 12 - season * math.cos(2 * math.pi * i / 365) + 3 * math.sin(i)
        low, high = mean - 6, mean + 6
        if unit == "F":
            low, high = low * 1.8 + 32, high * 1.8 + 32
        rows.append(f"{first + timedelta(days=i)},{low:.1f},{high:.1f}\n")
    return rows


@pytest.mark.parametrize(("station", "other"), [(CELSIUS, "F"), (FAHRENHEIT, "C")])
def test_a_stretch_in_the_other_unit_is_told_where_it_begins_and_ends(tmp_path, station, other):
    first = date(2026, 1, 1)
    rows = warm_year(first, 365, station.unit)
    rows[180:200] = warm_year(first, 365, other)[180:200]
    problems = told(tmp_path, "date,low,high\n" + "".join(rows), station)
    lines = {line for line, _ in problems}
    assert lines <= set(range(182, 203))
    assert lines >= (
        {182} if station is CELSIUS else {182, 202}
    )  # in C each warm day is told, up to the most told
    assert all(
        f'unit = "{station.unit}", and nothing is guessed' in m or "more problems" in m for _, m in problems
    )


def test_a_whole_file_in_the_other_unit_is_told(tmp_path):
    header, first = "date,low,high\n", date(2026, 1, 1)
    (problem,) = told(tmp_path, header + "".join(warm_year(first, 365, "C")), FAHRENHEIT)
    assert 'the season says unit = "F", and nothing is guessed. It may be C' in problem[1]
    problems = told(tmp_path, header + "".join(warm_year(first, 365, "F")), CELSIUS)
    assert "nothing is guessed. It may be F" in problems[0][1]


def test_hard_weather_is_no_change_of_unit(tmp_path):
    """Invented days: 20 C apart, as a storm out of the north may bring; warm after a gap; near -40, where C and F meet;
    and a drop that is wrong, but not for its unit."""
    rows = ("04-01,14,26", "04-02,-5,5", "04-20,18,45", "12-01,-36,-28", "12-02,-35,-27", "12-03,-79,-70")
    assert days(tmp_path, "date,low,high\n" + "".join(f"2026-{row}\n" for row in rows))


# --- files


def test_a_file_that_is_not_there_is_told_with_those_that_are(tmp_path):
    (tmp_path / "stations.csv").write_text(WHOLE)
    (problem,) = read_station(tmp_path, CELSIUS).problems
    assert problem.line is None
    assert problem.message.startswith("there is no such file; put the station's days there")
    assert problem.message.endswith('; did you mean "stations.csv"? CSV files there: stations.csv')
    (alone,) = read_station(tmp_path / "none", CELSIUS).problems
    assert alone.message.endswith("or change file in [station]")


def test_a_folder_a_pipe_and_a_file_too_large_are_told(tmp_path, monkeypatch):
    (tmp_path / "station.csv").mkdir()
    assert "it is no plain file" in str(read_station(tmp_path, CELSIUS).problems[0])
    (tmp_path / "station.csv").rmdir()
    os.mkfifo(tmp_path / "station.csv")
    assert "it is no plain file" in str(read_station(tmp_path, CELSIUS).problems[0])
    (tmp_path / "station.csv").unlink()
    with (tmp_path / "station.csv").open("wb") as out:
        out.truncate(51_000_000)
    assert "has 51 MB, and at most 50 MB are read" in str(read_station(tmp_path, CELSIUS).problems[0])


def test_a_file_that_may_not_be_read_is_told(tmp_path, monkeypatch):
    def refuse(path):
        raise PermissionError(errno.EACCES, "Permission denied")

    (tmp_path / "station.csv").write_text(WHOLE)
    monkeypatch.setattr(station_file, "read_plain", refuse)
    station_file._read.cache_clear()
    assert "cannot be read: you have no permission" in str(read_station(tmp_path, CELSIUS).problems[0])
    # The system's own words, which differ between versions of Python.
    told = str(read_station(tmp_path, Station(file="a\0b", unit="C")).problems[0])
    assert re.search("cannot be read: .*embedded null", told), told


def test_a_file_is_read_again_only_when_it_or_what_is_told_of_it_has_changed(tmp_path):
    station_file._read.cache_clear()
    first = days(tmp_path, "date,low,high\n" + "".join(warm_year(date(2026, 1, 1), 365, "C")))
    assert lines_run(lambda: read_station(tmp_path, CELSIUS)) < 150
    assert read_station(tmp_path, CELSIUS).days is first
    days(tmp_path, WHOLE)
    assert days(tmp_path, WHOLE.replace("2.5", "-2.5")).low_c[0] == -2.5
    assert read_station(tmp_path, FAHRENHEIT).days.low_c[0] == pytest.approx((-2.5 - 32) / 1.8)


# --- a real record


def test_the_record_of_seattle(tmp_path):
    """NOAA's daily record 2012-2015 in vega_datasets' seattle-weather.csv: 1461 days, none missing.

    The season sums (base 10, upper 30 C, computed elsewhere) come out of what is read.
    """
    shutil.copy(packaged("vega_datasets", "_data", "seattle-weather.csv"), tmp_path)
    station = Station(
        file="seattle-weather.csv",
        unit="C",
        columns=StationColumns(date="date", low="temp_min", high="temp_max"),
        date_form="2026/01/31",
    )
    read = read_station(tmp_path, station).days
    assert (read.first, len(read.low_c), read.notes) == (date(2012, 1, 1), 1461, ())
    assert sum(degree_day_series(read.low_c[:366], read.high_c[:366], 10, 30, "average")) == pytest.approx(
        1133.40
    )


def test_a_month_in_the_other_unit_is_told_once(tmp_path):
    days = [f"2026-06-{n:02},{55 if 5 <= n <= 20 else 12},{85 if 5 <= n <= 20 else 25}" for n in range(1, 31)]
    (tmp_path / "station.csv").write_text("\n".join(["date,low,high", *days]) + "\n")
    told = [
        p
        for p in read_station(tmp_path, Station(file="station.csv", unit="C")).problems
        if "go over" in p.message
    ]
    assert [(p.line, "and so on to line 21: 16 days" in p.message) for p in told] == [(6, True)]
