"""What is said in passing: tasks out of step, dates ahead of today, a week from a file with problems."""

from __future__ import annotations

import tomllib
from pathlib import Path

from small_season import TODAY, line_of, run


def test_check_tells_of_tasks_out_of_step(season: Path) -> None:
    assert "out of step" not in run("check", season, today=TODAY).out
    text = season.read_text().replace("transplant = 2026-10-30", "transplant = 2026-11-15")
    season.write_text(text)
    assert "out of step with the plan: calendar-tui tasks" in run("check", season, today=TODAY).out


def test_check_tells_of_a_date_recorded_ahead_of_today(season: Path) -> None:
    text = season.read_text().replace(
        "recorded = { seeding = 2026-10-05 }", "recorded = { seeding = 2026-10-05, transplant = 2027-01-05 }"
    )
    season.write_text(text)
    ran = run("check", season, today=TODAY)
    assert ran.status == 1
    line = line_of(text, "transplant = 2027-01-05")
    assert (
        f"{season}:{line}: cohort A1: transplant is recorded on 2027-01-05, after today, {TODAY}" in ran.out
    )


def test_week_says_that_the_rest_of_the_file_has_problems(season: Path) -> None:
    assert run("week", season).err == ""
    season.write_text(season.read_text().replace("latitude = -34.3", "latitude = 120"))
    ran = run("week", season)
    assert ran.status == 0
    assert "has 1 problem, and nothing can be saved before that is mended: calendar-tui check" in ran.err
    assert "Week of" in ran.out


def test_ticking_the_work_of_a_stage_says_that_its_date_is_still_to_be_recorded(season: Path) -> None:
    text = season.read_text()
    task = next(t for t in tomllib.loads(text)["task"] if t["cohort"] == "A1" and t["chore"] == "transplant")
    ran = run("done", season, task["id"])
    assert ran.status == 0
    assert "A1 transplant is not recorded yet: calendar-tui record A1 transplant DATE" in ran.out


def test_plus_counts_from_the_likely_date_where_none_is_planned(season: Path) -> None:
    ran = run("record", season, "A1", "emergence", "+1", "--dry-run")
    assert ran.status == 0, ran.err
    assert "A1 emergence recorded 11 Oct" in ran.out  # seeding on 5 October + 5 d, and one more
