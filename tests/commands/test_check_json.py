"""check: every problem in one run, and as JSON for editors."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from small_season import PLAIN, run

KEYS = ["file", "line", "column", "severity", "message", "fix"]


def rows(path: Path, *words: str, status: int = 0) -> list[dict[str, object]]:
    ran = run("check", path, "--json", *words)
    assert ran.status == status, ran.said
    found = json.loads(ran.out)
    assert all(list(row) == KEYS for row in found)
    return found


def errors(path: Path) -> list[tuple[object, object, object]]:
    return [
        (row["line"], row["column"], row["fix"]) for row in rows(path, status=1) if row["severity"] == "error"
    ]


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


def test_nothing_to_say_is_an_empty_list(season: Path) -> None:
    assert rows(season) == []


def test_all_problems_come_in_one_run_with_their_places(season: Path) -> None:
    text = season.read_text(encoding="utf-8")
    text = text.replace("area_m2 = 180", '  area_m2 = "wide"').replace(
        "lamps = { target_h", "lamps = { traget_h"
    )
    text = text.replace('id = "D1"\nvariety = "dayfree"', 'id = "D1"\nvariety = "dayfre"')
    text = text.replace('place = "H1"\nfrom', 'place = "f1"\nfrom')
    season.write_text(text, encoding="utf-8")
    found = errors(season)
    assert (line_of(text, "area_m2"), 3, None) in found
    assert (line_of(text, "traget_h"), 11, "target_h") in found
    assert (line_of(text, 'variety = "dayfre"'), 1, "dayfree") in found
    assert (line_of(text, 'place = "f1"\nfrom'), 1, "F1") in found
    assert found == sorted(found, key=lambda one: one[0])
    ran = run("check", season)
    assert ran.status == 1
    assert ran.out.splitlines()[-1].endswith("problems.")
    assert len(ran.out.splitlines()) == len(found) + 1


NOT_TOML: dict[str, tuple[Callable[[str], str], str, int | None]] = {
    "a key without =": (lambda t: t.replace("latitude = ", "latitude "), "latitude ", 10),
    "a text left open": (lambda t: t.replace('"Near Fields 2026-27"', '"Near Fields'), 'name = "Near', 20),
    "a list left open": (lambda t: t + "last = [1,\n", "last = [", None),
}


@pytest.mark.parametrize(("broken", "part", "column"), NOT_TOML.values(), ids=NOT_TOML.keys())
def test_what_is_not_toml_has_its_line(
    tmp_path: Path, broken: Callable[[str], str], part: str, column: int | None
) -> None:
    path = tmp_path / "season.toml"
    text = broken(PLAIN)
    path.write_text(text, encoding="utf-8")
    (row,) = rows(path, status=1)
    assert (row["line"], row["column"], row["severity"]) == (line_of(text, part), column, "error")
    assert str(row["message"]).startswith("not TOML")


def test_problems_of_the_stations_file_bear_its_name(season: Path) -> None:
    text = season.read_text(encoding="utf-8")
    station = '[station]\nfile = "days.csv"\nunit = "C"\n\n[[place]]'
    season.write_text(text.replace("[[place]]", station, 1).replace('"dayfree"\nstart', '"dayfre"\nstart'))
    days = season.with_name("days.csv")
    days.write_text("date,low,high\n2026-10-01,8,warm\n")
    found = rows(season, status=1)
    assert [(Path(str(row["file"])).name, row["line"]) for row in found if row["severity"] == "error"] == [
        ("near-fields.toml", line_of(season.read_text(), '"dayfre"')),
        ("days.csv", 2),
    ]


def test_tasks_that_differ_from_the_plan_are_a_warning_and_a_cohort_that_never_flowers_an_error(
    season: Path,
) -> None:
    text = season.read_text(encoding="utf-8")
    season.write_text(text.replace("lights_off = 2027-02-10", "lights_off = 2027-03-01"), encoding="utf-8")
    (row,) = rows(season)
    assert (row["line"], row["severity"]) == (None, "warning")
    assert "from the plan" in str(row["message"])
    never = text.replace('critical_day = "14:00"', 'critical_day = "09:00"')
    season.write_text(never.replace('full_response_day = "12:30"', 'full_response_day = "08:00"'))
    found = [row for row in rows(season, status=1) if row["severity"] == "error"]
    assert {row["line"] for row in found} >= {line_of(text, '[[cohort]]\nid = "A1"')}


@pytest.mark.parametrize(("form", "severity", "status"), [(1, "warning", 0), (4, "error", 1)])
def test_another_format_is_told_at_its_line(season: Path, form: int, severity: str, status: int) -> None:
    text = season.read_text(encoding="utf-8").replace("format = 3", f"format = {form}")
    season.write_text(text, encoding="utf-8")
    (row,) = rows(season, status=status)
    assert (row["line"], row["column"], row["severity"]) == (2, 1, severity)
    assert f"this file is format {form}; this program writes 3" in str(row["message"])


def test_a_file_that_cannot_be_read_is_a_problem_too(tmp_path: Path) -> None:
    (row,) = rows(tmp_path / "none.toml", status=1)
    assert (row["line"], row["column"]) == (None, None)
    (tmp_path / "latin.toml").write_bytes(b"a = 1\nb = '\xe9'\n")
    (row,) = rows(tmp_path / "latin.toml", status=1)
    assert row["line"] == 2


LOTS = """
[[lot]]
id = "A1-east"
cohort = "A1"
plants = {east}
area_m2 = {area}

[[lot]]
id = "A1-west"
cohort = "A1"
plants = 60
area_m2 = 54
"""


@pytest.mark.parametrize(
    ("east", "area", "told"),
    [
        (60, 54, []),
        (70, 54, ["lot A1-west: the lots of cohort A1 have 130 plants together, and it has 120"]),
        (60, 64, ["lot A1-west: the lots of cohort A1 have 118 m2 together, and its plants stand on 108 m2"]),
    ],
)
def test_lots_of_more_plants_or_area_than_their_cohort_has_are_a_warning_at_the_last_of_them(
    season: Path, east: int, area: int, told: list[str]
) -> None:
    text = season.read_text(encoding="utf-8") + LOTS.format(east=east, area=area)
    season.write_text(text, encoding="utf-8")
    about = [row for row in rows(season) if "the lots of cohort" in str(row["message"])]
    assert [row["message"] for row in about] == told
    at = text[: text.index('id = "A1-west"')].count("\n")
    assert all((row["line"], row["severity"]) == (at, "warning") for row in about)
