"""The command hours: person-hours by ISO week and role, and over-full weeks with the tasks behind them."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from small_season import run

from tests.season_data import data_of

FULL = """
[crew]
work_days = ["mon", "tue", "wed", "thu", "fri"]
blocked = [2026-11-20]
hours_per_week = { crew = 10, scout = 0.5 }

[[task]]
id = "big1"
date = 2026-11-18
what = "Lay drip lines"
cohorts = ["A1", "B1"]
place = "F1"
who = "crew"
hours = 7.5
[[task]]
id = "sml1"
date = 2026-11-16
what = "Mend the fence"
who = "crew"
hours = 1.25
"""


def _rows(season: Path) -> dict[str, Any]:
    ran = run("hours", season, "--json")
    assert ran.status == 0, ran.said
    return {row["week"]: row for row in json.loads(ran.out)}


def test_hours_are_summed_by_week_and_role_as_pandas_sums_them(season: Path) -> None:
    season.write_text(season.read_text() + FULL)
    tasks = pd.DataFrame(data_of(season.read_text())["task"])
    tasks = tasks[tasks["hours"] > 0]
    week = pd.to_datetime(tasks["date"]).dt.to_period("W-SUN")
    sums = tasks.groupby([week, "who"])["hours"].sum()
    found = {(week, role): h for week, row in _rows(season).items() for role, h in row["roles"].items()}
    expected = {(str(w.start_time.date()), who): h for (w, who), h in sums.items()}
    assert found == pytest.approx(expected)
    assert len(found) > 20


def test_a_week_tells_its_iso_name_what_a_role_has_and_what_is_a_guess(season: Path) -> None:
    assert _rows(season)["2026-11-09"] == {
        "week": "2026-11-09",
        "iso_week": "2026-W46",
        "hours": 0.5,
        "roles": {"scout": 0.5},
        "has": {},
        "guessed": ["scout"],
        "over": [],
    }
    assert "\n2026-W46  9 Nov   scout ~0.5 h\n" in run("hours", season).out
    for monday, row in _rows(season).items():
        year, number, day = date.fromisoformat(monday).isocalendar()
        assert (row["iso_week"], day) == (f"{year}-W{number:02d}", 1)


def test_an_over_full_week_is_told_with_its_tasks_the_largest_first(season: Path) -> None:
    """A blocked day takes a fifth of the five days' hours; the hours are the grower's own, so no guess."""
    season.write_text(season.read_text() + FULL)
    row = _rows(season)["2026-11-16"]
    assert row["has"] == {"crew": 8.0, "scout": 0.4}
    over = {found["role"]: found for found in row["over"]}
    assert over["crew"]["over"] == pytest.approx(7.5 + 1.25 - 8.0)
    assert [(t["id"], t["hours"], t["cohorts"], t["guessed"]) for t in over["crew"]["tasks"]] == [
        ("big1", 7.5, ["A1", "B1"], False),
        ("sml1", 1.25, [], False),
    ]
    lines = run("hours", season).out.splitlines()
    at = lines.index("2026-W47  Mon 16 Nov  crew 8.75 of 8 h !, 0.75 h over")
    assert lines.index("Over-full weeks") < at
    assert lines[at + 1 : at + 3] == [
        "      7.5 h  big1  Wed 18 Nov  A1 B1 F1  Lay drip lines",
        "     1.25 h  sml1  Mon 16 Nov  Mend the fence",
    ]


def test_weeks_gone_by_are_not_told_as_over_full(season: Path) -> None:
    season.write_text(season.read_text() + FULL)
    assert "0.75 h over" in run("hours", season, today="2026-11-22").out
    assert "0.75 h over" not in run("hours", season, today="2026-11-23").out
    assert "crew 8.75 of 8 h !" in run("hours", season, today="2026-11-23").out


def test_only_the_largest_tasks_are_named_and_the_rest_summed(season: Path) -> None:
    many = "".join(
        f'[[task]]\nid = "m{n:02}"\ndate = 2026-11-16\nwhat = "Hoe"\nwho = "crew"\nhours = 1\n'
        for n in range(12)
    )
    season.write_text(season.read_text() + FULL + many)
    out = run("hours", season).out
    assert "    and 6 more, 6 h\n" in out


@pytest.mark.parametrize("width", [30, 40, 80])
def test_no_line_is_wider_than_asked_and_ids_are_whole(season: Path, width: int) -> None:
    season.write_text(season.read_text() + FULL)
    lines = run("hours", season, "--width", str(width)).out.splitlines()
    assert max(map(len, lines)) <= width
    assert any("big1" in line.split() for line in lines)


def test_over_full_weeks_stand_with_the_clashes_of_the_cohorts_behind_them(season: Path) -> None:
    season.write_text(season.read_text() + FULL)
    assert "crew has 8 h in the week of Mon 16 Nov" in " ".join(run("dates", season, "B1").out.split())


def test_roles_may_have_any_name_and_no_hours_are_told(season: Path) -> None:
    season.write_text(
        season.read_text().replace('who = "scout"', 'who = "hours"').replace('"crew"', '"week"')
    )
    assert _rows(season)["2026-11-09"]["roles"] == {"hours": 0.5}
    season.write_text(season.read_text().split("[records]")[0])
    assert _rows(season) == {}
    assert "No hours: no task" in run("hours", season).out


def test_a_week_over_new_year_is_one(season: Path) -> None:
    task = '[[task]]\nid = "{0}"\ndate = {0}\nwhat = "Watch"\nwho = "guard"\nhours = 1\n'
    season.write_text(season.read_text() + task.format("2026-12-31") + task.format("2027-01-03"))
    row = _rows(season)["2026-12-28"]
    assert (row["iso_week"], row["roles"]["guard"]) == ("2026-W53", 2.0)
    assert date(2026, 12, 28) + timedelta(days=6) == date(2027, 1, 3)
