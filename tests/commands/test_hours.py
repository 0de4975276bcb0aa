"""The load of hours: person-hours by ISO week and role, and over-full weeks with the tasks behind them."""

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


def _rows(season: Path) -> dict[str, dict[str, Any]]:
    """By the Monday of a week, and by role, its row."""
    ran = run("load", season, "hours", "--json")
    assert ran.status == 0, ran.said
    rows: dict[str, dict[str, Any]] = {}
    for row in json.loads(ran.out)["weeks"]:
        assert row["kind"] == "hours"
        rows.setdefault(row["week"], {})[row["of"]] = row
    return rows


def test_hours_are_summed_by_week_and_role_as_pandas_sums_them(season: Path) -> None:
    season.write_text(season.read_text() + FULL)
    tasks = pd.DataFrame(data_of(season.read_text())["task"])
    tasks = tasks[tasks["hours"] > 0]
    week = pd.to_datetime(tasks["date"]).dt.to_period("W-SUN")
    sums = tasks.groupby([week, "who"])["hours"].sum()
    found = {
        (week, role): h
        for week, roles in _rows(season).items()
        for role, row in roles.items()
        for h in [row["amount"]]
    }
    expected = {(str(w.start_time.date()), who): h for (w, who), h in sums.items()}
    assert found == pytest.approx(expected)
    assert len(found) > 20


def test_a_week_tells_its_iso_name_what_a_role_has_and_what_is_a_guess(season: Path) -> None:
    (row,) = _rows(season)["2026-11-09"].values()
    assert {key: row[key] for key in ("iso_week", "of", "amount", "unit", "has", "guessed", "over")} == {
        "iso_week": "2026-W46",
        "of": "scout",
        "amount": 0.5,
        "unit": "h",
        "has": None,
        "guessed": True,
        "over": 0.0,
    }
    assert "\n2026-W46  9 Nov   hours    scout ~0.5 h\n" in run("load", season, "hours").out
    for monday, roles in _rows(season).items():
        year, number, day = date.fromisoformat(monday).isocalendar()
        assert ({row["iso_week"] for row in roles.values()}, day) == ({f"{year}-W{number:02d}"}, 1)


def test_an_over_full_week_is_told_with_its_tasks_the_largest_first(season: Path) -> None:
    """A blocked day takes a fifth of the five days' hours; the hours are the grower's own, so no guess."""
    season.write_text(season.read_text() + FULL)
    row = _rows(season)["2026-11-16"]
    assert {role: of["has"] for role, of in row.items()} == {"crew": 8.0, "scout": 0.4}
    assert row["crew"]["over"] == pytest.approx(7.5 + 1.25 - 8.0)
    assert [(t["id"], t["hours"], t["cohorts"], t["guessed"]) for t in row["crew"]["tasks"]] == [
        ("big1", 7.5, ["A1", "B1"], False),
        ("sml1", 1.25, [], False),
    ]
    lines = run("load", season, "hours").out.splitlines()
    at = lines.index("2026-W47  Mon 16 Nov  hours crew 8.75 of 8 h !, 0.75 h over")
    assert lines.index("Over-full weeks") < at
    assert lines[at + 1] == "    cohorts: A1, B1"
    assert lines[at + 2 : at + 4] == [
        "      7.5 h  big1  Wed 18 Nov  A1 B1 F1  Lay drip lines",
        "     1.25 h  sml1  Mon 16 Nov  Mend the fence",
    ]


def test_weeks_gone_by_are_not_told_as_over_full(season: Path) -> None:
    season.write_text(season.read_text() + FULL)
    assert "0.75 h over" in run("load", season, "hours", today="2026-11-22").out
    assert "0.75 h over" not in run("load", season, "hours", today="2026-11-23").out
    assert "crew 8.75 of 8 h !" in run("load", season, "hours", today="2026-11-23").out


def test_only_the_largest_tasks_are_named_and_the_rest_summed(season: Path) -> None:
    many = "".join(
        f'[[task]]\nid = "m{n:02}"\ndate = 2026-11-16\nwhat = "Hoe"\nwho = "crew"\nhours = 1\n'
        for n in range(12)
    )
    season.write_text(season.read_text() + FULL + many)
    out = run("load", season, "hours").out
    assert "    and 6 more, 6 h\n" in out


@pytest.mark.parametrize("width", [30, 40, 80])
def test_no_line_is_wider_than_asked_and_ids_are_whole(season: Path, width: int) -> None:
    season.write_text(season.read_text() + FULL)
    lines = run("load", season, "hours", "--width", str(width)).out.splitlines()
    assert max(map(len, lines)) <= width
    assert any("big1" in line.split() for line in lines)


def test_over_full_weeks_stand_with_the_clashes_of_the_cohorts_behind_them(season: Path) -> None:
    season.write_text(season.read_text() + FULL)
    assert "crew has 8 h in the week of Mon 16 Nov" in " ".join(run("dates", season, "B1").out.split())


def test_roles_may_have_any_name_and_no_hours_are_told(season: Path) -> None:
    season.write_text(
        season.read_text().replace('who = "scout"', 'who = "hours"').replace('"crew"', '"week"')
    )
    assert {role: row["amount"] for role, row in _rows(season)["2026-11-09"].items()} == {"hours": 0.5}
    season.write_text(season.read_text().split("[records]")[0])
    assert _rows(season) == {}
    assert "No hours are set on any saved task." in run("load", season, "hours").out


def test_a_week_over_new_year_is_one(season: Path) -> None:
    task = '[[task]]\nid = "{0}"\ndate = {0}\nwhat = "Watch"\nwho = "guard"\nhours = 1\n'
    season.write_text(season.read_text() + task.format("2026-12-31") + task.format("2027-01-03"))
    row = _rows(season)["2026-12-28"]
    assert (row["guard"]["iso_week"], row["guard"]["amount"]) == ("2026-W53", 2.0)
    assert date(2026, 12, 28) + timedelta(days=6) == date(2027, 1, 3)


def test_kinds_of_load_are_asked_for_by_name(season: Path) -> None:
    both = json.loads(run("load", season, "samples", "HOURS", "--json").out)
    assert {row["kind"] for row in both["weeks"]} == {"hours", "samples"}
    assert [*both["missing"]] == ["hours", "samples"]
    assert " room " not in run("load", season, "hours").out
    ran = run("load", season, "hour")
    assert (ran.status, ran.out) == (2, "")
    assert '"hour" is not a kind of load; did you mean "hours"? Kinds: hours, dryer' in ran.err
