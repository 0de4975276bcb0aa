"""Sprays through the command: hours through changes of the clock, first days to cut, and the days of the record.

Expected values: real hours from the END of the spray by the zone's rules; 7 CFR 110.3 and 40 CFR 170.122 for records.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from small_season import run

SITES = {
    "America/New_York": (42.4, -76.5),
    "Europe/Berlin": (52.5, 13.4),
    "Australia/Sydney": (-33.8, 151.2),
    "America/Montevideo": (-34.3, -56.7),
}
Make = Callable[[str, date], Path]


@pytest.fixture
def farm(tmp_path: Path) -> Make:
    """A season around a day, of one cohort that stands at F1 then."""

    def make(zone: str, day: date) -> Path:
        latitude, longitude = SITES[zone]
        path = tmp_path / "season.toml"
        path.write_text(
            f"""format = 3
[season]
name = "One field"
first_day = {day - timedelta(days=60)}
last_day = {day + timedelta(days=200)}
[site]
latitude = {latitude}
longitude = {longitude}
timezone = "{zone}"
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
place = "F1"
planned = {{ seeding = {day - timedelta(days=40)} }}
recorded = {{ seeding = {day - timedelta(days=40)} }}
"""
        )
        return path

    return make


def record(path: Path, day: str, end: str, *words: str) -> dict[str, Any]:
    """What `spray --json` has once one is recorded, on its own day."""
    ran = run("spray", path, "F1", "soap", "date", day, "end", end, *words, "--yes", today=day)
    assert ran.status == 0, ran.said
    data: dict[str, Any] = json.loads(run("spray", path, "--json", today=day).out)
    return data


# Real hours from the END of application: 40 CFR 156.208 and 170.112 (read); the instants by the zones' rules, tz database.
INSTANTS = [
    ("America/New_York", "2027-03-13", "20:00", "12 h", "2027-03-14T09:00:00"),
    ("America/New_York", "2027-03-13", "10:00", "24 h", "2027-03-14T11:00:00"),
    ("Europe/Berlin", "2026-10-24", "18:00", "12 h", "2026-10-25T05:00:00"),
    ("Australia/Sydney", "2027-04-03", "16:00", "24 h", "2027-04-04T15:00:00"),
    ("America/Montevideo", "2026-12-20", "17:00", "48 h", "2026-12-22T17:00:00"),
    ("America/Montevideo", "2026-12-20", "17:00", "2 d", "2026-12-22T17:00:00"),
    ("America/New_York", "2026-10-31", "20:00", "12 h", "2026-11-01T07:00:00"),
    ("America/New_York", "2026-08-20", "17:30", "12 h", "2026-08-21T05:30:00"),
]


def printed(moment: str) -> str:
    """ "Sun 14 Mar 2027 09:00"."""
    return f"{datetime.fromisoformat(moment):%a %-d %b %Y %H:%M}"


@pytest.mark.parametrize(("zone", "day", "end", "wait", "until"), INSTANTS)
def test_a_place_is_open_again_after_real_hours(
    farm: Make, zone: str, day: str, end: str, wait: str, until: str
) -> None:
    path = farm(zone, date.fromisoformat(day))
    data = record(path, day, end, "re-entry", wait)
    assert [one["until"] for one in data["closed"]] == [until]
    assert f"F1 until {printed(until)}, after soap" in run("spray", path, today=day).out


@pytest.mark.parametrize(("zone", "day", "end", "wait", "until"), INSTANTS)
def test_a_spray_written_by_hand_is_printed_with_the_same_instant(
    farm: Make, zone: str, day: str, end: str, wait: str, until: str
) -> None:
    path = farm(zone, date.fromisoformat(day))
    row = f'{{ id = "s1", date = {day}, place = "F1", product = "soap", end = "{end}", reentry = "{wait}" }}'
    path.write_text(f"{path.read_text()}[records]\nspray = [\n  {row},\n]\n")
    assert f"F1 until {printed(until)}, after soap" in run("spray", path, today=day).out


@pytest.mark.parametrize(("which", "until"), [("first", "04:30"), ("second", "05:30")])
def test_an_end_that_the_clock_has_twice_is_asked_for_and_then_counts(
    farm: Make, which: str, until: str
) -> None:
    path = farm("America/New_York", date(2026, 11, 1))
    words = ("F1", "soap", "date", "2026-11-01", "end", "01:30", "re-entry", "4 h", "--yes")
    ran = run("spray", path, *words, today="2026-11-01")
    assert ran.status == 2
    assert "exists twice" in " ".join(ran.said.split())
    data = record(path, "2026-11-01", "01:30", "re-entry", "4 h", "which end", which)
    assert data["closed"][0]["until"] == f"2026-11-01T{until}:00"


@pytest.mark.parametrize(
    ("wait", "until", "which"), [("8 h", "02:00", ""), ("9 h", "02:00 the second time", "second")]
)
def test_an_hour_of_entry_that_the_clock_has_twice_is_told_as_the_second_where_it_is(
    farm: Make, wait: str, until: str, which: str
) -> None:
    path = farm("Europe/Berlin", date(2026, 10, 24))
    data = record(path, "2026-10-24", "18:00", "re-entry", wait, "pre-harvest", "0 d")
    assert (data["closed"][0]["until"], data["closed"][0]["until_is"]) == ("2026-10-25T02:00:00", which)
    page = path.with_name("door.html")
    assert run("export", path, "--door", page, today="2026-10-24").status == 0
    texts = [
        run(*words, today="2026-10-24").out
        for words in (
            ("spray", path),
            ("week", path),
            ("week", path, "--brief"),
            ("today", path),
            ("decide", path),
        )
    ]
    for text in (*texts, page.read_text()):
        flat = " ".join(text.split())
        assert ("the second time" in flat) is bool(which), flat
        assert until in flat


def test_part_of_a_minute_is_closed_to_the_next_one(farm: Make) -> None:
    """0.33 h is 19 min 48 s."""
    data = record(farm("America/Montevideo", date(2026, 12, 8)), "2026-12-08", "17:00", "re-entry", "0.33 h")
    assert data["closed"][0]["until"] == "2026-12-08T17:20:00"


def test_an_end_that_the_clock_does_not_have_is_refused(farm: Make) -> None:
    path = farm("America/New_York", date(2027, 3, 14))
    ran = run("spray", path, "F1", "soap", "date", "2027-03-14", "end", "02:30", "--yes", today="2027-03-14")
    assert ran.status == 2
    assert "does not exist" in " ".join(ran.said.split())


@pytest.mark.parametrize(
    ("day", "wait", "first"),
    [
        ("2026-08-28", "0 d", "2026-08-28T21:00:00"),
        ("2026-08-28", "7 d", "2026-09-04T00:00:00"),
        ("2028-02-10", "30 d", "2028-03-11T00:00:00"),
        ("2026-08-20", "14 d", "2026-09-03T00:00:00"),
        ("2026-08-20", "48 h", "2026-08-22T17:00:00"),
    ],
)
def test_the_first_cut_counts_whole_days_from_the_spray_and_never_before_re_entry(
    farm: Make, day: str, wait: str, first: str
) -> None:
    path = farm("America/New_York", date.fromisoformat(day))
    data = record(path, day, "17:00", "re-entry", "4 h", "pre-harvest", wait)
    assert data["first_cut"]["A1"]["from"] == first


def test_a_longer_re_entry_interval_holds_back_the_cut_too(farm: Make) -> None:
    """Re-entry 72 h and pre-harvest 48 h: 72 h."""
    path = farm("America/New_York", date(2026, 8, 20))
    data = record(path, "2026-08-20", "17:00", "re-entry", "72 h", "pre-harvest", "48 h")
    assert data["first_cut"]["A1"]["from"] == "2026-08-23T17:00:00"


def test_of_two_products_the_longest_holds(farm: Make) -> None:
    path = farm("America/New_York", date(2026, 8, 20))
    record(path, "2026-08-20", "17:00", "re-entry", "24 h", "pre-harvest", "14 d")
    data = record(path, "2026-08-20", "18:00", "re-entry", "4 h", "pre-harvest", "0 d")
    (closed,) = data["closed"]
    assert (closed["until"], closed["sprays"]) == ("2026-08-21T17:00:00", ["s1", "s2"])
    assert data["first_cut"]["A1"]["from"] == "2026-09-03T00:00:00"


def test_the_days_of_the_record(farm: Make) -> None:
    """Sprayed 2026-08-20, re-entry ends 08-21: write by 09-03, show to 09-20, keep to 2028-08-20."""
    path = farm("America/New_York", date(2026, 8, 20))
    assert run("rules", path, "us", "--yes", today="2026-08-20").status == 0
    assert run("set", path, "profile", "us", "starts", "2026-01-01", "--yes", today="2026-08-20").status == 0
    (spray,) = record(path, "2026-08-20", "17:30", "re-entry", "12 h")["sprays"]
    assert [spray[key] for key in ("write_by", "show_until", "keep_until")] == [
        "2026-09-03",
        "2026-09-20",
        "2028-08-20",
    ]
    assert "check with your authority" in spray["rules"]


def test_a_longer_interval_never_opens_a_place_or_a_crop_earlier(farm: Make) -> None:
    """Through the records, over a change of the clock: one hour more at a time, then a second product on top."""
    path = farm("Europe/Berlin", date(2026, 10, 24))
    record(path, "2026-10-24", "18:00", "re-entry", "1 h", "pre-harvest", "0 d")
    seen: list[tuple[str, str]] = []
    for wait in ("2 h", "6 h", "8 h", "9 h", "12 h", "1 d", "36 h", "2 d"):
        assert run("spray", path, "s1", "re-entry", wait, "--yes", today="2026-10-24").status == 0
        data = json.loads(run("spray", path, "--json", today="2026-10-24").out)
        seen.append((data["closed"][0]["until"], data["first_cut"]["A1"]["from"]))
    assert seen == sorted(seen)
    # 8 and 9 hours end at 02:00, before and after the clock is put back.
    assert len({until for until, _ in seen}) == len(seen) - 1
    data = record(path, "2026-10-24", "17:00", "re-entry", "4 h", "pre-harvest", "1 d")
    assert (data["closed"][0]["until"], data["first_cut"]["A1"]["from"]) >= seen[-1]


@pytest.mark.parametrize(
    ("words", "right"),
    [
        (("F9", "soap", "end", "12:00"), '"F9" is not a place'),
        (("F1", "soap", "end", "12:00", "re-entry", "12"), "with their unit"),
        (("F1", "soap", "end", "12:00", "re-entry", "-2 d"), "cannot be under 0"),
        (("F1", "soap", "end", "12:00", "pre-harvest", "-7 d"), "cannot be under 0"),
        (("F1", "soap", "end", "12:00", "pre-harvest", "7"), "with their unit"),
        (("F1", "soap", "end", "12:00", "area", "-3"), "area"),
        (("F1", "soap", "start", "23:00", "end", "00:30"), "end date"),
        (("F1", "soap", "end date", "19 aug", "end", "12:00"), "is before its date"),
        (("F1", "soap", "end", "noon"), "24-hour clock"),
        (("F1", "soap"), "end: it is needed"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(
    farm: Make, words: tuple[str, ...], right: str
) -> None:
    path = farm("America/New_York", date(2026, 8, 20))
    before = path.read_bytes()
    ran = run("spray", path, *words, "--yes", today="2026-08-20")
    assert ran.status == 2
    assert right in " ".join(ran.said.split()), ran.said
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("words", "right"),
    [
        (("met", "18:00"), "before the spray ended"),
        (("met", "25:00"), "24-hour clock"),
        (("met",), "say when it was met"),
    ],
)
def test_a_condition_cannot_be_met_before_the_spray_ended(
    farm: Make, words: tuple[str, ...], right: str
) -> None:
    path = farm("America/New_York", date(2026, 8, 20))
    record(path, "2026-08-20", "19:00", "entry condition", "until the leaves are dry")
    before = path.read_bytes()
    ran = run("spray", path, "s1", *words, "--yes", today="2026-08-20")
    assert ran.status == 2
    assert right in " ".join(ran.said.split()), ran.said
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("day", "times"),
    [
        (date(2027, 3, 14), 'start = "12:00"\nend = "11:00"'),
        (date(2026, 11, 1), 'end = "01:30"'),
        (date(2027, 3, 14), 'end = "02:30"'),
    ],
    ids=["before it begins", "twice", "not there"],
)
@pytest.mark.parametrize("words", [("--brief",), (), ("--json",), ("--print",)])
def test_a_spray_written_by_hand_whose_times_cannot_be_keeps_its_place_closed_in_the_week(
    farm: Make, day: date, times: str, words: tuple[str, ...]
) -> None:
    path = farm("America/New_York", day)
    path.write_text(
        f'{path.read_text()}[[task]]\nid = "hoe1"\ndate = {day}\nwhat = "Hoe"\nplace = "F1"\n[[spray]]\nid = "s1"\ndate = {day}\nplace = "F1"\nproduct = "soap"\n'
        f'reentry = "12 h"\n{times}\n'
    )
    closed = "F1 until it is recorded" if "--brief" in words else "when spray s1 really ended"
    for today in (day, day + timedelta(days=3)):
        ran = run("week", path, *words, today=today.isoformat())
        assert closed in " ".join(ran.out.split()), ran.said


def test_a_part_of_a_place_is_named_in_two_words_and_closed_alone(farm: Make) -> None:
    path = farm("America/Montevideo", date(2026, 12, 20))
    house = '[[place]]\nid = "H9"\nkind = "hoop house"\nscreened = ["east", "west"]\n'
    path.write_text(path.read_text() + house)
    words = ("H9", "east", "soap", "end", "17:00", "re-entry", "12 h", "--yes")
    ran = run("spray", path, *words, today="2026-12-20")
    assert ran.status == 0, ran.said
    data = json.loads(run("spray", path, "--json", today="2026-12-20").out)
    assert [one["place"] for one in data["closed"]] == ["H9 east"]
    assert [one["product"] for one in data["sprays"]] == ["soap"]


def test_a_spray_whose_interval_is_not_over_is_not_taken_out_without_a_question(tmp_path: Path) -> None:
    path = tmp_path / "north-bench.toml"
    path.write_bytes((Path(__file__).parents[2] / "seasons" / "north-bench.toml").read_bytes())
    before = path.read_bytes()
    ran = run("remove", path, "spray", "s3", today="2026-06-16", typed="n\n")
    asked = " ".join(ran.said.split())
    assert "F2 is closed from Tue 16 Jun 06:10 until Tue 16 Jun 18:55" in asked
    assert "without s3 it would be open" in asked
    assert "the record of s3 is to be kept until 16 Jun 2028" in asked
    assert "check with your authority" in asked
    assert "Save all the same? [y/N]" in asked
    assert path.read_bytes() == before


def test_a_spray_of_a_day_to_come_is_asked_about(tmp_path: Path) -> None:
    path = tmp_path / "north-bench.toml"
    path.write_bytes((Path(__file__).parents[2] / "seasons" / "north-bench.toml").read_bytes())
    spray = ("F2", "soap", "end", "10:00", "re-entry", "12 h", "pre-harvest", "0 d")
    ahead = run("spray", path, *spray, "date", "2026-07-16", "--dry-run", today="2026-06-16").said
    assert "Thu 16 Jul 2026 is after today, Tue 16 Jun 2026; a spray is recorded once it was put on" in (
        " ".join(ahead.split())
    )
    assert "after today" not in run("spray", path, *spray, "--dry-run", today="2026-06-16").said
