"""The rows on official sampling and harvest of 7 CFR 990 (read), end to end by the commands official and cut."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from small_season import run

SEASON = """\
format = 3

[season]
name = "One lot"
first_day = {first}
last_day = {last}

[site]
latitude = 38.0
longitude = -84.5
timezone = "America/New_York"

[[place]]
id = "F1"
kind = "field"

[[variety]]
id = "amber"
response = "short-day"
flowering_to_harvest_d = [{ripe}, {ripe}, {ripe}]

[[cohort]]
id = "A1"
variety = "amber"
start = "cutting"
place = "F1"
plants = 100
recorded = {{ sticking = {first}, flowering = {flowering} }}
"""
HOURS = """
[crew]
hours_per_week = { crew = 70 }

[[chore]]
id = "reap"
what = "Harvest"
stage = "harvest"
records = "harvest"
who = "crew"
hours = 50
"""


def one_lot(
    folder: Path, flowering: str, today: str, ripe: int = 80, more: str = "", year: int = 2026
) -> Path:
    path = folder / "season.toml"
    days = {"first": f"{year}-01-05", "last": f"{year}-12-30", "flowering": flowering, "ripe": ripe}
    path.write_text(SEASON.format(**days) + more)
    done(path, "rules", "us", today=today)
    assert run("set", path, "profile", "us", "starts", "2026-01-01", "--yes", today=today).status == 0
    return path


def done(path: Path, command: str, *words: str, today: str) -> None:
    ran = run(command, path, *words, "--yes", today=today)
    assert ran.status == 0, ran.said


def told(path: Path, command: str, today: str) -> dict[str, Any]:
    ran = run(command, path, "A1", "--json", today=today)
    assert ran.status == 0, ran.said
    row: dict[str, Any] = json.loads(ran.out)
    return row


def taken(path: Path, day: str) -> None:
    done(path, "official", "A1", "taken", day, "--who", "agent North", today=day)


@pytest.mark.parametrize(
    ("year", "flowering", "sampled", "by"),
    [
        (2026, "2026-08-01", "2026-09-01", "2026-10-01"),
        (2028, "2028-01-10", "2028-02-10", "2028-03-11"),  # a leap year
        (2027, "2027-01-10", "2027-02-10", "2027-03-12"),
    ],
)
def test_the_harvest_is_complete_30_days_after_the_sample(
    tmp_path: Path, year: int, flowering: str, sampled: str, by: str
) -> None:
    path = one_lot(tmp_path, flowering, sampled, year=year)
    taken(path, sampled)
    row = told(path, "cut", sampled)
    assert (row["earliest"], row["latest"], row["complete_by"]) == (sampled, by, by)
    assert row["latest_rule"].endswith("+ 30 d")
    assert row["harvest"] == by
    (sample,) = told(path, "official", sampled)["lots"][0]["samples"]
    assert sample["valid_until"] == by


def test_a_harvest_on_15_october_is_sampled_from_15_september_on(tmp_path: Path) -> None:
    path = one_lot(tmp_path, "2026-08-01", "2026-09-01", ripe=75)
    row = told(path, "official", "2026-09-01")["lots"][0]
    assert (row["sample_from"], row["sample_to"]) == ("2026-09-15", "2026-10-15")


def test_a_cutting_of_five_days_begins_by_27_september(tmp_path: Path) -> None:
    path = one_lot(tmp_path, "2026-08-01", "2026-09-01", more=HOURS)
    done(path, "tasks", today="2026-09-01")
    taken(path, "2026-09-01")
    row = told(path, "cut", "2026-09-01")
    assert (row["cutting_d"], row["latest"], row["complete_by"]) == (5, "2026-09-27", "2026-10-01")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("second", "clashes"),
    [("2026-09-22", False), ("2026-10-01", False), ("2026-10-02", True), ("2026-10-04", True)],
)
def test_two_passes_need_a_new_sample_after_1_october(tmp_path: Path, second: str, clashes: bool) -> None:
    path = one_lot(tmp_path, "2026-08-01", "2026-09-01")
    taken(path, "2026-09-01")
    for name, day in (("p1", "2026-09-08"), ("p2", second)):
        done(path, "add", "pass", name, "lot", "A1", "date", day, today=second)
    text = " ".join(run("dates", path, "A1", today=second).out.split())
    assert ("its 30 d end on Thu 1 Oct 2026; a pass after it needs a new one" in text) == clashes


def test_procedure_a_is_from_21_august_to_15_september(tmp_path: Path) -> None:
    path = one_lot(tmp_path, "2026-08-01", "2026-08-10")
    done(path, "rules", "eu", today="2026-08-10")
    done(path, "set", "profile", "eu", "starts", "2026-07-01", today="2026-08-10")
    ran = run("official", path, "A1", "--flowering-ends", "2026-09-05", "--json", today="2026-08-10")
    row = json.loads(ran.out)["lots"][0]
    assert (row["rules"], row["sample_from"], row["sample_to"]) == ("eu", "2026-08-21", "2026-09-15")
