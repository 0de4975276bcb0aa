"""What is said in passing: tasks that differ from the plan, dates ahead of today, a week from a file with problems."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_season import TODAY, ids, line_of, run

from tests.season_data import data_of


def test_check_tells_of_tasks_that_differ_from_the_plan(season: Path) -> None:
    assert "differ" not in run("check", season, today=TODAY).out
    text = season.read_text().replace("transplant = 2026-10-30", "transplant = 2026-11-15")
    season.write_text(text)
    assert "saved tasks differ from the plan: calendar-tui tasks" in run("check", season, today=TODAY).out


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
    task = next(t for t in data_of(text)["task"] if t["cohort"] == "A1" and t["chore"] == "transplant")
    ran = run("done", season, task["id"])
    assert ran.status == 0
    assert (
        "A1 transplant is not recorded yet; to record it:\n  calendar-tui record A1 transplant DATE\n"
        in ran.out
    )


def test_plus_counts_from_the_likely_date_where_none_is_planned(season: Path) -> None:
    ran = run("record", season, "A1", "emergence", "+1", "--dry-run")
    assert ran.status == 0, ran.err
    assert "A1 emergence recorded Sun 11 Oct 2026" in ran.out  # seeding on 5 October + 5 d, and one more


LICENCE = """
[[chore]]
id = "licence"
what = "Ask for the licence"
stage = "seeding"
together = "season"
"""


def licensed(season: Path) -> str:
    """The id of the one task of a chore of the whole season, added to this season and saved."""
    season.write_text(season.read_text().replace("\n[[chore]]", f"{LICENCE}\n[[chore]]", 1))
    assert run("tasks", season, "--yes", today=TODAY).status == 0
    (found,) = (t["id"] for t in data_of(season.read_text())["task"] if t.get("chore") == "licence")
    return str(found)


@pytest.mark.parametrize(
    "change", [("record", "H1", "outage", "2026-11-09"), ("variety", "dayfree", "critical_day", "13:50")]
)
def test_a_change_that_moves_no_date_brings_no_task_of_the_season_a_second_time(
    season: Path, change: tuple[str, ...]
) -> None:
    task = licensed(season)
    assert run("done", season, task, today=TODAY).status == 0
    before = ids(season)
    ran = run(change[0], season, *change[1:], "--yes", today=TODAY)
    assert ran.status == 0, ran.said
    assert ids(season) == before
    assert run("tasks", season, today=TODAY).out == "The saved tasks agree with the plan.\n"


def test_check_tells_of_a_task_that_is_in_the_file_twice_and_tasks_takes_the_open_one_away(
    season: Path,
) -> None:
    task = licensed(season)
    assert run("done", season, task, today=TODAY).status == 0
    whole = season.read_text()
    twice = '\n[[task]]\nid = "twoo"\ndate = 2026-10-05\nwhat = "Ask for the licence"\nchore = "licence"\n'
    season.write_text(whole + twice)
    told = run("check", season, today=TODAY)
    assert told.status == 0, told.said
    assert "warning: 1 saved task differs from the plan: calendar-tui tasks shows and saves them." in told.out
    assert "1 of these tasks is in the file twice" in told.out
    ran = run("tasks", season, "--yes", today=TODAY)
    assert "twoo Ask for the licence  5 Oct falls away" in ran.out
    assert "1 of these tasks is in the file twice" in ran.out
    assert data_of(season.read_text()) == data_of(whole)


def test_check_warns_of_what_this_version_does_not_read_and_counts_that_apart(season: Path) -> None:
    text = (
        season.read_text().replace("plants = 120", "plants = 120\nblocks = 4") + '\n[[visitor]]\nid = "x"\n'
    )
    season.write_text(text)
    ran = run("check", season, today=TODAY)
    assert ran.status == 0, ran.said
    line = text[: text.index("[[visitor]]")].count("\n") + 1
    assert f"warning: {season}:{line}: [[visitor]] is not read by this version; it is kept\n" in ran.out
    assert '"blocks" is not read by this version' in ran.out
    assert ran.out.endswith("2 warnings.\n0 problems.\n")
    season.write_text(text.replace("plants = 120", 'plants = "many"'))
    ran = run("check", season, today=TODAY)
    assert (ran.status, ran.out.splitlines()[-2:]) == (1, ["2 warnings.", "1 problem."])
