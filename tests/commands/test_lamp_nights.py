"""Lamps night by night for who sets a controller: the same instants by the local clock and in UTC, hours that add up."""

from __future__ import annotations

import csv
import io
import json
import re
from datetime import UTC, date, datetime
from itertools import pairwise
from pathlib import Path

import pytest
from dateutil import tz
from lit_house import rows_of_year
from small_season import PLAIN, run

from calendar_tui.storage.finding import example_files
from tests.example_days import EXAMPLE_DAYS

EXAMPLES = pytest.mark.parametrize("path", example_files(), ids=lambda path: path.stem)


def nights(path: Path, *words: str) -> list[dict]:
    ran = run("lamps", path, *words, "--nights", "--json")
    assert ran.status == 0, ran.said
    return json.loads(ran.out)


def hours_between(row: dict, ends: str) -> float:
    on, off = (datetime.fromisoformat(row[f"{end}_{ends}"]) for end in ("on", "off"))
    return (off - on).total_seconds() / 3600


@pytest.mark.quick(2)
@EXAMPLES
def test_hours_add_up_to_those_of_the_lamps_view(path: Path) -> None:
    rows = nights(path)
    for place in {row["place"] for row in rows}:
        said = run("lamps", path, *place.split(), today=EXAMPLE_DAYS[path.stem].isoformat()).out
        exact = re.search(r"set anew every night (\d+\.\d) h", said) or re.search(r"in all (\d+\.\d) h", said)
        assert exact is not None
        own = [row for row in rows if row["place"] == place]
        assert sum(row["lamp_h"] for row in own) == pytest.approx(float(exact[1]), abs=0.06)
        for row in own:
            if row["state"] == "lamps" and row["minutes_on"] is None:
                assert hours_between(row, "utc") == pytest.approx(row["lamp_h"], abs=1e-3)


# The zones by python-dateutil, which reads the rules of a zone by itself.
@pytest.mark.quick(3)
@pytest.mark.parametrize(
    ("zone", "latitude", "longitude"),
    [
        ("America/New_York", 42.4, -76.5),
        ("America/Santiago", -34.3, -70.7),
        ("Australia/Lord_Howe", -31.5, 159.1),
    ],
)
@pytest.mark.parametrize(
    "lamps",
    [
        "target_h = 18.0",
        'method = "night-break", on = "22:00", off = "02:00", timer_follows_clock = false',
        'method = "night-break", on = "01:30", off = "03:30"',
    ],
)
def test_local_and_utc_are_one_instant_on_the_nights_of_a_clock_change(
    tmp_path: Path, zone: str, latitude: float, longitude: float, lamps: str
) -> None:
    whole = rows_of_year(tmp_path, (latitude, longitude, zone), lamps)
    rows = nights(tmp_path / "year.toml")
    assert len(rows) == sum(map(len, whole.values())) >= 300
    theirs = tz.gettz(zone)
    for row in rows:
        for end in ("on", "off"):
            utc, local = (datetime.fromisoformat(row[f"{end}_{clock}"]) for clock in ("utc", "local"))
            assert utc.utcoffset() == UTC.utcoffset(None)
            assert utc == local
            assert utc.astimezone(theirs).replace(tzinfo=None) == local.replace(tzinfo=None)
        assert hours_between(row, "local") == pytest.approx(row["lamp_h"], abs=1e-3)
    assert all(a["off_utc"] <= b["on_utc"] for a, b in pairwise(rows))
    offsets = {row["on_local"][-6:] for row in rows}
    assert len(offsets) == 2


def test_a_timer_that_stays_on_standard_time_has_its_own_reading(tmp_path: Path) -> None:
    rows_of_year(tmp_path, (42.4, -76.5, "America/New_York"), "target_h = 18.0, timer_follows_clock = false")
    spring = next(row for row in nights(tmp_path / "year.toml") if row["night"] == "2026-04-20")
    assert spring["timer_clock"] == "standard"
    on = datetime.fromisoformat(spring["on_utc"])
    assert (
        spring["timer_on"]
        == f"{on.astimezone(tz.tzoffset(None, -5 * 3600)):%H:%M}"
        != spring["on_local"][11:16]
    )


def test_an_outage_is_a_row_without_times(season: Path) -> None:
    row, *more = [row for row in nights(season, "H1") if row["state"] == "outage"]
    assert [row["night"], *(later["night"] for later in more)] == ["2026-11-20", "2026-11-21"]
    assert (row["on_utc"], row["off_local"], row["lamp_h"]) == (None, None, 0.0)
    evenings = [one["night"] for one in nights(season, "H1")]
    assert evenings == sorted(evenings)
    assert evenings[0] < "2026-11-20" < "2026-11-21" < evenings[-1]
    assert "Fri 20 Nov 2026  lamps failed" in run("lamps", season, "H1", "--nights").out


def test_covers_have_times_and_burn_nothing(tmp_path: Path) -> None:
    path = tmp_path / "covered.toml"
    programme = '\n[[programme]]\nplace = "H1"\nfrom = 2026-12-20\nto = 2027-01-10\nmethod = "blackout"\non = "18:00"\noff = "06:00"\n'
    path.write_text(PLAIN + programme, encoding="utf-8")
    covers = [row for row in nights(path, "H1") if row["state"] == "covers"]
    assert [row["night"] for row in covers] == [
        date.fromordinal(date(2026, 12, 20).toordinal() + n).isoformat() for n in range(22)
    ]
    assert all(row["lamp_h"] == 0 and row["timer_on"] == "18:00" for row in covers)
    assert "covers drawn 18:00 opened 06:00" in run("lamps", path, "H1", "--nights").out


def test_csv_json_and_the_exported_table_have_the_same_rows(season: Path, tmp_path: Path) -> None:
    asked = nights(season)
    printed = list(csv.DictReader(io.StringIO(run("lamps", season, "--nights", "--csv").out)))
    target = tmp_path / "lamps.csv"
    ran = run("export", season, "--lamps-table", target)
    assert ran.status == 0, ran.said
    written = list(csv.DictReader(io.StringIO(target.read_bytes().decode("utf-8-sig"))))
    assert printed == written
    assert [(r["place"], r["night"], r["on_utc"] or None) for r in printed] == [
        (r["place"], r["night"], r["on_utc"]) for r in asked
    ]
    assert list(printed[0]) == list(asked[0])


def test_csv_without_nights_is_refused_with_what_to_do(season: Path) -> None:
    ran = run("lamps", season, "--csv")
    assert ran.status == 2
    assert "--csv is for --nights: add it" in ran.err
    assert "--csv" in run("lamps", season, "--nights", "--csv", "--json").err


def test_nights_of_some_dates_are_those_of_the_whole_season(season: Path) -> None:
    every = nights(season)
    first, last = every[3]["night"], every[5]["night"]
    some = [row for row in every if first <= row["night"] <= last]
    assert 3 <= len(some) < len(every)
    assert nights(season, "--from", first, "--to", last) == some
    assert nights(season, "--from", first) == [row for row in every if row["night"] >= first]
    table = run("lamps", season, "--nights", "--csv", "--to", last).out
    assert [row["night"] for row in csv.DictReader(io.StringIO(table))] == [
        row["night"] for row in every if row["night"] <= last
    ]
    text = run("lamps", season, "--nights", "--from", first, "--to", last).out
    assert text.count(" UTC") == sum(row["state"] != "outage" for row in some)


def test_dates_without_nights_are_refused(season: Path) -> None:
    ran = run("lamps", season, "--from", "2026-10-01")
    assert ran.status == 2
    assert "--from and --to are for --nights: add it, or leave them out" in ran.err
