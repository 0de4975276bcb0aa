"""Seasons that are well written and cannot be: each is told at the record and key at fault, with what would be right."""

from __future__ import annotations

import tomllib
from copy import deepcopy
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from calendar_tui.nature.sky import CIVIL_DEG, SUNRISE_DEG, day_lengths_h, longest_day_h
from calendar_tui.season.reading import read_season

TEXT = """
format = 3
[season]
name = "A farm"
first_day = 2027-03-01
last_day = 2027-11-30
[site]
latitude = 44.0
longitude = -80.0
timezone = "America/Toronto"
monthly_low_c = [-9, -9, -4, 2, 8, 13, 16, 15, 11, 5, 0, -6]
monthly_high_c = [-1, 0, 5, 12, 19, 24, 27, 26, 21, 14, 7, 1]
[heat]
[[place]]
id = "N1"
kind = "nursery"
[[place]]
id = "H1"
kind = "hoop house"
lamps = { target_h = 16.5 }
screened = ["east", "west"]
[[place]]
id = "F1"
kind = "field"
[[variety]]
id = "amber"
response = "short-day"
[[cohort]]
id = "A1"
variety = "amber"
start = "seed"
nursery = "N1"
place = "H1"
part = "east"
planned = { seeding = 2027-04-01 }
[[outage]]
place = "H1"
from = 2027-05-01
to = 2027-05-02
[[programme]]
place = "H1"
from = 2027-05-01
to = 2027-05-20
target_h = 18.0
[[programme]]
place = "F1"
from = 2027-07-01
to = 2027-07-20
method = "blackout"
on = "18:00"
off = "08:00"
"""
DATA = tomllib.loads(TEXT)
OUTAGE, PROGRAMME = DATA["outage"][0], DATA["programme"][0]
TWELVE = [5.0] * 12


def test_it_reads_as_it_stands() -> None:
    reading = read_season(DATA)
    assert reading.problems == ()
    assert reading.season is not None
    assert reading.season.cohorts["A1"].light == "H1 east"
    assert reading.season.places["H1"].lights == ("H1 east", "H1 west")
    assert reading.season.places["F1"].lights == ("F1",)


# What is changed (a path and its value), where the problem is told, and words of it.
WRONG: dict[str, tuple[dict[tuple[Any, ...], Any], tuple[Any, ...], str]] = {
    "a longitude without its sign": (
        {("site", "longitude"): 80.0},
        ("site", "longitude"),
        "did you mean -80?",
    ),
    "a longitude of another continent": (
        {("site", "longitude"): 0.0},
        ("site", "longitude"),
        "east is positive, west is negative",
    ),
    "no part of a screened place": (
        {("cohort", 0, "part"): None},
        ("cohort", 0, "place"),
        'add part = "east"',
    ),
    "an unknown part": ({("cohort", 0, "part"): "wst"}, ("cohort", 0, "part"), 'did you mean "west"'),
    "a part of a place that is whole": (
        {("cohort", 0, "place"): "F1"},
        ("cohort", 0, "part"),
        "not screened; add screened =",
    ),
    "a screened nursery": (
        {("place", 0, "screened"): ["a", "b"]},
        ("cohort", 0, "nursery"),
        'write { place = "N1", part = "a" } in its stays',
    ),
    "one part": ({("place", 1, "screened"): ["east"]}, ("place", 1, "screened"), "two or more"),
    "minimum without maximum": (
        {("site", "monthly_high_c"): None},
        ("site", "monthly_low_c"),
        "needs monthly_high_c",
    ),
    "eleven months": (
        {("site", "monthly_low_c"): TWELVE[:11]},
        ("site", "monthly_low_c"),
        "a list of 11; write twelve",
    ),
    "swapped months": (
        {("site", "monthly_low_c"): [30.0, *TWELVE[1:]]},
        ("site", "monthly_low_c"),
        "month 1 has a minimum of 30 C over its maximum",
    ),
    "heat without temperatures": (
        {("site", "monthly_low_c"): None, ("site", "monthly_high_c"): None},
        ("heat",),
        "add monthly_low_c and monthly_high_c to [site], or a [station]",
    ),
    "base over upper": (
        {("heat", "base_c"): 20.0, ("heat", "upper_c"): 15.0},
        ("heat", "base_c"),
        "must be under",
    ),
    "reference at the base": (
        {("heat", "reference_c"): 1.0},
        ("heat", "reference_c"),
        "must be over base_c 1",
    ),
    "a station in a folder": (
        {("station",): {"file": "../station.csv", "unit": "C"}},
        ("station", "file"),
        "the name of a file beside this one",
    ),
    "a station without a unit": ({("station",): {"file": "station.csv"}}, ("station",), "never guessed"),
    "a thermometer's low over its high": (
        {("thermometer",): [{"date": date(2027, 4, 1), "low_c": 20, "high_c": 10}]},
        ("thermometer", 0, "low_c"),
        "20 C, is over the high, 10 C; change them round",
    ),
    "a thermometer's day twice": (
        {("thermometer",): [{"date": date(2027, 4, 1), "low_c": 1, "high_c": 10}] * 2},
        ("thermometer", 1, "date"),
        "2027-04-01 stands twice; keep one line a day",
    ),
    "held the wrong way round": (
        {("place", 0, "held_c"): [26, 18]},
        ("place", 0, "held_c"),
        "the lowest first",
    ),
    "an outage outside the season": (
        {("outage", 0, "to"): date(2028, 1, 1)},
        ("outage", 0, "to"),
        "outside the season, 2027-03-01 to 2027-11-30",
    ),
    "outages that overlap": (
        {("outage",): [OUTAGE, {**OUTAGE, "from": date(2027, 5, 2), "to": date(2027, 5, 4)}]},
        ("outage", 1, "from"),
        "overlaps the one from 2027-05-01 to 2027-05-02",
    ),
    "programmes that overlap": (
        {("programme",): [PROGRAMME, {**PROGRAMME, "from": date(2027, 5, 20), "to": date(2027, 5, 30)}]},
        ("programme", 1, "from"),
        "overlaps the one from 2027-05-01 to 2027-05-20",
    ),
    "a programme that ends before it begins": (
        {("programme", 0, "to"): date(2027, 4, 1)},
        ("programme", 0, "to"),
        "give the first night under from",
    ),
    "a programme of no place": (
        {("programme", 0, "place"): "H9"},
        ("programme", 0, "place"),
        "is not a place",
    ),
    "a programme without lamps": (
        {("programme", 0, "place"): "N1"},
        ("programme", 0, "place"),
        "N1 has no lamps",
    ),
    "an extension without hours": (
        {("programme", 0, "target_h"): None},
        ("programme", 0),
        "add target_h = 16.0",
    ),
    "an extension by the clock": (
        {("programme", 0, "on"): "22:00"},
        ("programme", 0, "on"),
        'add method = "night-break" or "clock"',
    ),
    "a blackout without its end": (
        {("programme", 1, "off"): None},
        ("programme", 1),
        'add on = "18:00", off = "08:00"',
    ),
    "a blackout of no hours": ({("programme", 1, "off"): "18:00"}, ("programme", 1, "off"), "the same time"),
    "a blackout with hours": (
        {("programme", 1, "target_h"): 10.0},
        ("programme", 1, "target_h"),
        "leave target_h out",
    ),
    "a cyclic extension": (
        {("programme", 0, "cyclic_min"): [6, 24]},
        ("programme", 0, "cyclic_min"),
        "night break",
    ),
    "lamps by the clock without times": (
        {("place", 1, "lamps"): {"method": "clock"}},
        ("place", 1, "lamps"),
        'add on = "05:00", off = "21:00"',
    ),
    # 44 N: the natural day is never under 9 h in these months.
    "lamps that would never burn": (
        {("place", 1, "lamps"): {"target_h": 8.0}},
        ("place", 1, "lamps", "target_h"),
        "below the shortest natural day of these dates, 9 h 1",
    ),
    "a programme that would never burn": (
        {("programme", 0, "target_h"): 13.5},
        ("programme", 0, "target_h"),
        "below the shortest natural day of these dates, 14 h",
    ),
    "a threshold of 25 h": (
        {("variety", 0, "critical_day"): "25:00"},
        ("variety", 0, "critical_day"),
        "up to 24 h",
    ),
}


def _changed(changes: dict[tuple[Any, ...], Any]) -> dict[str, Any]:
    data = deepcopy(DATA)
    for path, value in changes.items():
        inner: Any = data
        for key in path[:-1]:
            inner = inner[key]
        if value is None:
            del inner[path[-1]]
        else:
            inner[path[-1]] = value
    return data


# Each near the far end of its zone, from its own map coordinates: none may be called wrong.
FAR_FROM_THEIR_CLOCK = {
    "Asia/Shanghai": 75.9,
    "Asia/Urumqi": 87.6,
    "Europe/Madrid": -9.2,
    "America/Anchorage": -168.0,
    "Pacific/Kiritimati": -157.4,
    "Pacific/Apia": -171.8,
    "Pacific/Auckland": 178.0,
    "Asia/Kolkata": 68.2,
    "UTC": 150.0,
}


@pytest.mark.parametrize("zone", FAR_FROM_THEIR_CLOCK)
def test_a_site_far_from_its_clock_is_no_problem(zone: str) -> None:
    longitude = FAR_FROM_THEIR_CLOCK[zone]
    data = _changed({("site", "longitude"): longitude, ("site", "timezone"): zone})
    assert read_season(data).problems == ()


@pytest.mark.parametrize("name", WRONG)
def test_what_cannot_be_is_told_where_it_stands(name: str) -> None:
    changes, where, words = WRONG[name]
    reading = read_season(_changed(changes))
    assert reading.season is None
    assert any(p.path == where and words in p.message for p in reading.problems), reading.problems


@pytest.mark.parametrize("centre", [SUNRISE_DEG, CIVIL_DEG])
@pytest.mark.parametrize("latitude", [-66, -34, 0, 19, 44, 60, 65])
def test_no_day_is_longer_than_the_longest(latitude: float, centre: float) -> None:
    days = day_lengths_h(latitude, 0.0, ZoneInfo("UTC"), date(2027, 1, 1), date(2028, 12, 31), centre)
    assert max(days) <= longest_day_h(latitude, centre) <= max(days) + 0.25
