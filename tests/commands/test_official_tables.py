"""The tables of official sampling and harvest, by `cut`, `official` and `check`; each row with its source."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from small_season import run

US = """
[[profile]]
id = "us"
name = "United States, 7 CFR 990"
limit_percent = 0.3
sample_before_harvest_d = 30
harvest_within_d = 30
as_of = 2026-11-28
source = "7 CFR 990.24a, 990.26"
"""
EU_A = """
[[profile]]
id = "eu"
name = "European Union, procedure A"
limit_percent = 0.3
judged = "mean of a variety"
sample_from_flowering_start_d = 20
sample_to_flowering_end_d = 10
as_of = 2026-11-28
source = "Regulations 639/2014 and 809/2014, annexes"
"""
EU_B = EU_A.replace("sample_from_flowering_start_d = 20\n", "").replace("procedure A", "procedure B")


def season_of(
    folder: Path,
    rules: str,
    flowering: date,
    *,
    harvest: date | None = None,
    ends: date | None = None,
    more: str = "",
) -> Path:
    """One cohort in the field that flowers on a day. harvest: planned; ends: of its flowering."""
    planned = f", harvest = {harvest}" if harvest else ""
    kept = f"flowering_ends = {ends}\n" if ends else ""
    text = f"""\
format = 3
[season]
name = "A season"
first_day = {flowering.year - 1}-09-01
last_day = {flowering.year}-12-31
[site]
latitude = 44.2
longitude = -123.1
timezone = "America/Los_Angeles"
[[place]]
id = "F1"
kind = "field"
[[variety]]
id = "amber"
response = "day-neutral"
[[cohort]]
id = "A1"
variety = "amber"
start = "seed"
place = "F1"
plants = 100
planned = {{ seeding = {flowering.year - 1}-12-01{planned} }}
recorded = {{ seeding = {flowering.year - 1}-12-01, flowering = {flowering} }}
{kept}{rules}{more}"""
    path = folder / "season.toml"
    path.write_text(text)
    return path


def taken(day: date) -> str:
    return f'official = [{{ id = "o1", date = {day}, lot = "A1", state = "taken", who = "agent North" }}]\n'


def of_lot(command: str, path: Path, today: date) -> dict[str, Any]:
    ran = run(command, path, "A1", "--json", today=today.isoformat())
    assert ran.status == 0, ran.said
    row: dict[str, Any] = json.loads(ran.out)
    return row["lots"][0] if "lots" in row else row


def clashes(path: Path, today: date) -> str:
    told = (run(command, path, today=today.isoformat()).out for command in ("dates", "check"))
    return " ".join(" ".join(told).split())


@pytest.mark.parametrize(
    ("sampled", "complete_by"),
    [
        (date(2026, 9, 1), date(2026, 10, 1)),
        (date(2028, 2, 10), date(2028, 3, 11)),
        (date(2027, 2, 10), date(2027, 3, 12)),
    ],
)
def test_the_harvest_is_complete_within_30_days_of_the_sample(
    tmp_path: Path, sampled: date, complete_by: date
) -> None:
    """7 CFR 990.26 (read): complete within 30 days after sampling; the leap year computed."""
    path = season_of(tmp_path, US, date(sampled.year, 2, 1), more="[records]\n" + taken(sampled))
    cut = of_lot("cut", path, sampled)
    assert (cut["earliest"], cut["latest"], cut["complete_by"]) == (
        sampled.isoformat(),
        complete_by.isoformat(),
        complete_by.isoformat(),
    )
    assert of_lot("official", path, sampled)["samples"][0]["valid_until"] == complete_by.isoformat()


@pytest.mark.parametrize(("day", "is_clash"), [(date(2026, 10, 1), False), (date(2026, 10, 2), True)])
def test_a_harvest_planned_a_day_past_it_needs_a_new_sample(
    tmp_path: Path, day: date, is_clash: bool
) -> None:
    """7 CFR 990.26 (read): sampled 1 Sep, complete by 1 Oct; 2 Oct needs a new sample."""
    path = season_of(
        tmp_path, US, date(2026, 8, 1), harvest=day, more="[records]\n" + taken(date(2026, 9, 1))
    )
    assert ("right would be a new sample from 2 Sep 2026 to Fri 2 Oct 2026" in clashes(path, day)) == is_clash


def test_a_sample_is_taken_at_most_30_days_before_the_harvest(tmp_path: Path) -> None:
    """7 CFR 990.24a (read): harvest 15 Oct, earliest sample 15 Sep."""
    path = season_of(tmp_path, US, date(2026, 8, 1), harvest=date(2026, 10, 15))
    assert of_lot("official", path, date(2026, 9, 1))["sample_from"] == "2026-09-15"
    early, right = (
        " ".join(run("official", path, "A1", "booked", day, "--dry-run", today="2026-09-01").out.split())
        for day in ("2026-09-14", "2026-09-15")
    )
    assert "right would be from Tue 15 Sep 2026 on" in early
    assert "right would be" not in right


def test_cutting_that_takes_five_days_begins_on_the_27th(tmp_path: Path) -> None:
    """Sampled 1 Sep, cutting takes 5 days: last start 27 Sep (rules page, computed)."""
    work = """
[[chore]]
id = "reap"
what = "Harvest"
stage = "harvest"
records = "harvest"
who = "crew"
hours = 50
[crew]
hours_per_week = { crew = 70 }
[records]
task = [{ id = "h1", date = 2026-09-20, what = "Harvest", chore = "reap", cohort = "A1", n = 1, who = "crew", hours = 50 }]
"""
    path = season_of(tmp_path, US, date(2026, 8, 1), more=work + taken(date(2026, 9, 1)))
    cut = of_lot("cut", path, date(2026, 9, 1))
    assert (cut["cutting_d"], cut["latest"], cut["complete_by"]) == (5, "2026-09-27", "2026-10-01")


@pytest.mark.parametrize(
    ("first", "second", "is_clash"),
    [(date(2026, 9, 8), date(2026, 9, 22), False), (date(2026, 9, 20), date(2026, 10, 4), True)],
)
def test_both_of_two_passes_are_within_the_samples_30_days(
    tmp_path: Path, first: date, second: date, is_clash: bool
) -> None:
    """Official sample 1 Sep, both by 1 Oct (samples page, computed)."""
    rows = "".join(
        f'  {{ id = "p{n}", date = {day}, lot = "A1", part = "{part}" }},\n'
        for n, (day, part) in enumerate(((first, "top"), (second, "middle")))
    )
    path = season_of(
        tmp_path, US, date(2026, 8, 1), more=f"[records]\n{taken(date(2026, 9, 1))}pass = [\n{rows}]\n"
    )
    told = clashes(path, second)
    assert ("a pass after it needs a new one" in told) == is_clash
    text = " ".join(run("cut", path, "A1", today=second.isoformat()).out.split())
    assert ("a pass after it needs a new one" in text) == is_clash


ENDS = date(2026, 9, 5)


@pytest.mark.parametrize(
    ("rules", "first", "last"), [(EU_A, "2026-08-21", "2026-09-15"), (EU_B, "2026-09-05", "2026-09-15")]
)
def test_the_days_by_the_flowering_follow_from_the_end_that_is_kept(
    tmp_path: Path, rules: str, first: str, last: str
) -> None:
    """Flowering 1 Aug to 5 Sep: A 21 Aug to 15 Sep; B within 10 days after its end (639/2014, 809/2014, annexes, read)."""
    path = season_of(tmp_path, rules, date(2026, 8, 1), ends=ENDS)
    row = of_lot("official", path, ENDS)
    assert (row["sample_from"], row["sample_to"]) == (first, last)
    late = " ".join(
        run("official", path, "A1", "booked", "2026-09-16", "--dry-run", today="2026-09-05").out.split()
    )
    assert "outside the days on which the rules have it taken by the flowering" in late
    assert "to Tue 15 Sep 2026" in late


def test_an_end_of_flowering_is_kept_of_a_cohort_and_of_a_lot_before_it(tmp_path: Path) -> None:
    path = season_of(tmp_path, EU_A, date(2026, 8, 1))
    assert "that day is not set; set flowering ends of A1" in " ".join(
        run("official", path, "A1", today="2026-09-05").out.split()
    )
    assert (
        run("set", path, "cohort", "A1", "flowering ends", "2026-09-05", "--yes", today="2026-09-05").status
        == 0
    )
    assert of_lot("official", path, ENDS)["sample_to"] == "2026-09-15"
    typed = ("add", path, "lot", "A1-e", "cohort", "A1", "flowering ends", "2026-09-08", "--yes")
    assert run(*typed, today="2026-09-08").status == 0
    assert of_lot("official", path, date(2026, 9, 8))["sample_to"] == "2026-09-18"


def test_flowering_that_ended_before_it_began_is_a_problem_of_the_file(tmp_path: Path) -> None:
    path = season_of(tmp_path, EU_A, date(2026, 8, 1), ends=date(2026, 7, 1))
    ran = run("check", path, today="2026-09-05")
    assert ran.status != 0
    assert "flowering_ends 2026-07-01 is before its flowering, 2026-08-01" in " ".join(ran.said.split())
