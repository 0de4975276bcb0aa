"""What a record says about its variety and the other cohorts: in `dates`, and in `record` before it is saved."""

from __future__ import annotations

import json
import shlex
from datetime import date
from pathlib import Path

import pytest
from small_season import run

A2 = """
[[cohort]]
id = "A2"
variety = "amber"
start = "seed"
place = "F1"
planned = { seeding = 2026-11-20 }
"""
# A1 is seeded on 5 Oct, and so projected to emerge on 10 Oct.
LATE = ("A1", "emergence", "2026-10-13")


@pytest.fixture
def ambers(season: Path) -> Path:
    season.write_text(season.read_text() + A2)
    return season


def words(text: str) -> str:
    return " ".join(text.split())


def test_record_says_it_before_anything_is_saved(ambers: Path) -> None:
    before = ambers.read_bytes()
    ran = run("record", ambers, *LATE, "--dry-run")
    assert ran.status == 0, ran.said
    assert (
        "says about A2: A1 (amber) emerged 3 d later than projected (13 Oct, projected 10 Oct, 8 Oct to 12 Oct: "
        "outside the range). Seeding to emergence: 8 d against 5 d (emergence time). If A2 does the same: emergence 28 Nov "
        "rather than 25 Nov, harvest " in words(ran.out)
    )
    assert "To fit all figures to all records of amber: calendar-tui variety amber --fit" in words(ran.out)
    assert max(map(len, ran.out.splitlines())) <= 80
    assert ambers.read_bytes() == before


def test_record_as_json_says_it_too(ambers: Path) -> None:
    (answer,) = json.loads(run("record", ambers, *LATE, "--dry-run", "--json").out)["answers"]
    assert answer["evidence"][0].startswith("says about A2: A1 (amber) emerged 3 d later")
    (plain,) = json.loads(run("record", ambers, "D1", "seeding", "2026-10-20", "--dry-run", "--json").out)[
        "answers"
    ]
    assert plain["evidence"] == []


def test_dates_tells_it_after_the_cohorts_own_dates(ambers: Path) -> None:
    assert run("record", ambers, *LATE, "--yes").status == 0
    one, other = (words(run("dates", ambers, name).out) for name in ("A1", "A2"))
    assert "= A1 (amber) emerged 3 d later than projected" in one
    assert "calendar-tui variety amber --fit" in one
    assert "= A1 (amber) emerged 3 d later than projected" in other
    assert "If A2 does the same: emergence 28 Nov rather than 25 Nov" in other
    assert "calendar-tui variety" not in other
    for name in ("B1", "D1"):  # cuttings, and another variety
        assert "emerged" not in run("dates", ambers, name).out
    assert max(map(len, run("dates", ambers).out.splitlines())) <= 80


def test_dates_as_json_has_it_in_the_row_of_the_record(ambers: Path) -> None:
    assert run("record", ambers, *LATE, "--yes").status == 0
    rows = json.loads(run("dates", ambers, "--json").out)["dates"]
    (said,) = [row for row in rows if "evidence" in row]
    assert (said["cohort"], said["stage"]) == ("A1", "emergence")
    evidence = said["evidence"]
    assert (evidence["days_late"], evidence["within_range"]) == (3, False)
    assert evidence["projected"] == {"earliest": "2026-10-08", "likely": "2026-10-10", "latest": "2026-10-12"}
    assert (evidence["figure"], evidence["given"]) == ("emergence_d", "5,8,11")
    (other,) = evidence["others"]
    assert (other["cohort"], other["old"], other["new"]) == ("A2", "2026-11-25", "2026-11-28")
    row = next(r for r in rows if (r["cohort"], r["stage"]) == ("A2", "emergence"))
    assert date.fromisoformat(row["likely"]) == date(2026, 11, 25), "no other date is changed"


def test_a_record_as_projected_says_nothing(ambers: Path) -> None:
    ran = run("record", ambers, "A1", "emergence", "2026-10-10", "--yes")
    assert ran.status == 0
    assert "says" not in ran.out
    assert "  = " not in run("dates", ambers).out


def test_dates_as_a_table_keeps_its_columns(ambers: Path) -> None:
    before = run("dates", ambers, "--csv").out.splitlines()[0]
    assert run("record", ambers, *LATE, "--yes").status == 0
    assert run("dates", ambers, "--csv").out.splitlines()[0] == before


def test_the_command_it_gives_fits_the_variety_and_leaves_nothing_to_take_over(ambers: Path) -> None:
    assert run("record", ambers, *LATE, "--yes").status == 0
    (line,) = (
        x for x in run("dates", ambers, "A1").out.splitlines() if x.strip().startswith("calendar-tui variety")
    )
    program, command, *rest = shlex.split(line)
    assert (program, command) == ("calendar-tui", "variety")
    ran = run(command, ambers, *rest, "--yes")
    assert ran.status == 0, ran.said
    out = words(run("dates", ambers, "A1").out)
    assert "emerged 1 d later than projected" in out
    assert "calendar-tui variety" not in out
    assert "Fri 27 Nov 2026" in run("dates", ambers, "A2").out, (
        "half way to the 28th: one record beside what was believed"
    )
