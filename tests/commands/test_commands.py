"""The commands that tell, tick, check, start and find a season: what each prints and what it leaves alone."""

from __future__ import annotations

import difflib
import json
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from small_season import ids, line_of, run

from tests.season_data import data_of

STATUSES = {"planned", "recorded", "projected"}


def rows(*words: object) -> Any:
    ran = run(*words, "--json")
    assert ran.status == 0, ran.said
    assert ran.err == ""
    return json.loads(ran.out)


# --- daylight


def test_daylight_gives_instants_in_utc_and_hours(season: Path) -> None:
    found = rows("daylight", season, "--from", "2026-12-20", "--to", "2026-12-22")
    assert [row["date"] for row in found] == ["2026-12-20", "2026-12-21", "2026-12-22"]
    for row in found:
        assert set(row) == {"date", "sunrise", "sunset", "natural_h", "civil_h"}
        rise, fall = (datetime.fromisoformat(row[key]) for key in ("sunrise", "sunset"))
        assert rise.utcoffset() == fall.utcoffset() == timedelta(0)
        assert (fall - rise).total_seconds() / 3600 == pytest.approx(row["natural_h"], abs=0.001)
        assert row["natural_h"] < row["civil_h"] < row["natural_h"] + 1.5
    # facts about the longest day at 34.3 S: 14 h 26 by the sunrise equation; value from memory, to the minute or two
    assert found[1]["natural_h"] == pytest.approx(14.43, abs=0.05)


def test_daylight_is_for_the_whole_season_unless_told(season: Path) -> None:
    found = rows("daylight", season)
    assert (found[0]["date"], found[-1]["date"]) == ("2026-09-01", "2027-06-30")
    assert len(found) == 303


def test_daylight_in_text_names_the_day_in_utc_where_it_is_another(season: Path) -> None:
    out = run("daylight", season, "--from", "2026-12-21", "--to", "2026-12-21").out
    # Montevideo is 3 h behind UTC all year; the JSON rows have the same instants.
    (row,) = rows("daylight", season, "--from", "2026-12-21", "--to", "2026-12-21")
    utc = [datetime.fromisoformat(row[key]) for key in ("sunrise", "sunset")]
    rise, fall = (f"{at - timedelta(hours=3):%H:%M}" for at in utc)
    assert "America/Montevideo" in out.splitlines()[0]
    assert out.splitlines()[2].startswith(f"21 Dec 2026  {rise}    {fall}    {utc[0]:%H:%M:%S}")
    assert "14 h 2" in out
    assert max(map(len, out.splitlines())) <= 80
    season.write_text(
        season.read_text()
        .replace("longitude = -56.7", "longitude = 170.0")
        .replace("America/Montevideo", "Pacific/Auckland")
    )
    line = run("daylight", season, "--from", "2026-12-21", "--to", "2026-12-21").out.splitlines()[2]
    assert "-1 d" in line


def test_polar_night_has_no_sunrise(season: Path) -> None:
    text = (
        season.read_text()
        .replace("latitude = -34.3", "latitude = 78.0")
        .replace("longitude = -56.7", "longitude = 15.0")
    )
    season.write_text(text.replace("America/Montevideo", "Europe/Oslo"))
    (row,) = rows("daylight", season, "--from", "2026-12-21", "--to", "2026-12-21")
    assert (row["sunrise"], row["sunset"], row["natural_h"]) == (None, None, 0)
    assert "none" in run("daylight", season, "--from", "2026-12-21", "--to", "2026-12-21").out


# --- dates


def test_dates_gives_every_stage_with_its_range_status_and_reason(season: Path) -> None:
    found = rows("dates", season)["dates"]
    assert {row["cohort"] for row in found} == {"A1", "B1", "D1"}
    for row in found:
        assert {"cohort", "stage", "earliest", "likely", "latest", "status", "reason"} <= set(row)
        assert row["earliest"] <= row["likely"] <= row["latest"]
        assert date.fromisoformat(row["likely"])
        assert row["status"] in STATUSES
        assert row["reason"] or row["status"] != "projected"
    a1 = {row["stage"]: row for row in found if row["cohort"] == "A1"}
    assert list(a1) == [
        *("seeding", "emergence", "transplant", "lights_on", "lights_off"),
        *("trigger", "induced", "flowering", "sampling", "harvest", "dried"),
    ]
    assert a1["seeding"]["status"] == "recorded"
    assert (a1["transplant"]["status"], a1["transplant"]["likely"]) == ("planned", "2026-10-30")
    assert a1["trigger"]["status"] == "projected"
    assert a1["trigger"]["likely"] == "2027-02-10"
    assert "h" in a1["trigger"]["reason"]
    assert "lamps off on 10 Feb" in a1["trigger"]["reason"]


def test_dates_of_the_cohorts_named_in_any_case_and_once(season: Path) -> None:
    assert {row["cohort"] for row in rows("dates", season, "b1", "A1", "B1")["dates"]} == {"A1", "B1"}
    text = run("dates", season, "D1").out
    assert text.startswith("D1  dayfree, from seed, F1\n")
    assert "A1" not in text


def test_a_cohort_written_just_so_comes_before_one_in_another_case(season: Path) -> None:
    season.write_text(season.read_text().replace('id = "B1"', 'id = "a1"', 1))
    assert {row["cohort"] for row in rows("dates", season, "A1")["dates"]} == {"A1"}
    assert {row["cohort"] for row in rows("dates", season, "a1")["dates"]} == {"a1"}


def test_dates_in_text_fit_80_columns_and_say_the_same(season: Path) -> None:
    out = run("dates", season, "A1").out
    assert max(map(len, out.splitlines())) <= 80
    assert "from seed, N1, then H1" in out
    assert "days of growth before induction (" in out
    assert "days of growth before flowering (" in run("dates", season, "D1").out


def test_one_plant_and_one_day_are_in_the_singular(season: Path) -> None:
    season.write_text(season.read_text().replace("plants = 120", "plants = 1"))
    assert "amber, 1 plant from seed" in run("dates", season, "A1").out


def test_dates_as_csv(season: Path) -> None:
    lines = run("dates", season, "B1", "--csv").out.splitlines()
    assert lines[0] == "cohort,stage,code,earliest,likely,latest,status,reason"
    assert lines[1].startswith("B1,sticking,,2026-11-20,2026-11-20,2026-11-20,planned,")


# --- week and done


def test_week_gives_overdue_each_day_and_what_comes(season: Path) -> None:
    found = rows("week", season)
    assert found["monday"] == "2026-11-09"
    assert [day["date"] for day in found["days"]] == [f"2026-11-{n:02}" for n in range(9, 16)]
    overdue = {task["what"]: task for task in found["overdue"]}
    assert overdue["Transplant by hand"]["date"] == "2026-10-30"
    assert all(task["date"] < "2026-11-09" for task in found["overdue"])
    assert [t["what"] for day in found["days"] for t in day["tasks"]] == ["Scout pests"]
    assert found["next_week"] == 1


def test_week_in_text(season: Path) -> None:
    out = run("week", season).out
    assert out.splitlines()[0] == "Week of Mon 9 Nov 2026 - Near Fields 2026-27"
    assert "Overdue: 2" in out
    assert "Mon 9 Nov  <- today  no tasks" in out
    assert "Next week: 1 task\n" in out
    assert out.index("Overdue") < out.index("Mon 9 Nov  <-") < out.index("Next week")
    assert "Caution: Heat: water and shade." in out
    assert max(map(len, out.splitlines())) <= 80


def test_week_of_a_task_with_a_long_id_and_no_cohort(season: Path) -> None:
    season.write_text(
        season.read_text() + '\n[[task]]\nid = "buy-twine-again"\ndate = 2026-11-10\nwhat = "Buy twine"\n'
    )
    assert "  buy-twine-again [ ] Buy twine\n" in run("week", season).out


def test_done_ticks_and_changes_the_line_of_each_task_alone(season: Path) -> None:
    before = season.read_text()
    one, two = ids(season)[:2]
    ran = run("done", season, one, two, one)
    assert ran.status == 0
    assert [line.split()[:2] for line in ran.out.splitlines()][:2] == [["done", one], ["done", two]]
    assert "A1 Transplant by hand" in ran.out
    after = season.read_text()
    changed = [
        line
        for line in difflib.unified_diff(before.splitlines(), after.splitlines(), lineterm="", n=0)
        if line[0] in "+-" and line[:3] not in ("+++", "---")
    ]
    assert [line[0] for line in changed].count("+") == len(changed) / 2 == 2
    task = next(t for t in data_of(after)["task"] if t["id"] == one)
    assert (task["state"], task["done_on"]) == ("done", date(2026, 11, 9))


def test_done_again_says_already_and_writes_nothing(season: Path) -> None:
    one = ids(season)[0]
    run("done", season, one)
    before = season.read_bytes()
    ran = run("done", season, one, today="2026-11-12")
    assert ran.status == 0
    assert ran.out.endswith("(already, on Mon 9 Nov 2026)\n")
    assert season.read_bytes() == before
    season.write_text(season.read_text().replace(", done_on = 2026-11-09", ""))
    assert run("done", season, one).out.endswith("(already)\n")


def test_an_id_may_be_typed_in_part_and_in_capitals(season: Path) -> None:
    all_ids = ids(season)
    one = next(i for i in all_ids if sum(other.startswith(i[:3]) for other in all_ids) == 1)
    ran = run("done", season, one[:3].upper())
    assert (ran.status, ran.out.split()[1]) == (0, one)


def test_an_id_of_capitals_written_by_hand_may_be_typed(season: Path) -> None:
    season.write_text(season.read_text() + '\n[[task]]\nid = "T1"\ndate = 2026-11-10\nwhat = "Buy twine"\n')
    ran = run("done", season, "T1")
    assert ran.status == 0, ran.said
    assert ran.out == "done  T1  Buy twine (due Tue 10 Nov) on Mon 9 Nov 2026\n"


def test_part_of_several_ids_is_told_with_those_it_fits(season: Path) -> None:
    first: dict[str, list[str]] = {}
    for name in ids(season):
        first.setdefault(name[0], []).append(name)
    letter, several = next((k, v) for k, v in first.items() if len(v) > 1)
    before = season.read_bytes()
    ran = run("done", season, letter)
    assert ran.status == 2
    assert f'"{letter}" fits {len(several)} tasks: {", ".join(several[:8])}' in ran.err
    assert ran.err.endswith("; type more of it\n")
    assert season.read_bytes() == before


# --- check


def test_check_of_a_season_in_order(season: Path) -> None:
    ran = run("check", season)
    assert (ran.status, ran.err) == (0, "")
    first, last = ran.out.splitlines()
    assert first.startswith(f"3 cohorts, {len(ids(season))} tasks, ")
    assert last == "0 problems."


def test_check_locates_a_problem(season: Path) -> None:
    season.write_text(season.read_text().replace("plants = 120", "plants = -1"))
    ran = run("check", season)
    assert ran.status == 1
    line = line_of(season.read_text(), "plants = -1")
    assert ran.out == f"{season}:{line}: plants is -1; write a whole number from 1 to 10000000\n1 problem.\n"
