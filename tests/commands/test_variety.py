"""The figures of a variety told, and one of them changed: shown first, saved when asked, undone to the byte."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from small_season import run


def _amber(season: Path) -> dict[str, object]:
    return next(v for v in tomllib.loads(season.read_text())["variety"] if v["id"] == "amber")


def test_each_figure_stands_with_its_unit_whose_it_is_and_its_mark(season: Path) -> None:
    ran = run("variety", season)
    assert ran.status == 0, ran.said
    lines = ran.out.splitlines()
    assert lines[0] == "amber  short-day; cohorts A1, B1"
    rows = {
        line[2:29].strip(): " ".join(line[30:].split()) for line in reversed(lines) if line.startswith("  ")
    }
    assert rows["critical day"] == "14 h 00 set practice"
    assert rows["full response day"] == "12 h 30 set no mark"
    assert rows["inductive days"] == "7, 8, 10 days set no mark"
    assert rows["drying"] == "7, 10, 14 days default read; part a guess"
    assert rows["induced to flowering"] == "10, 14, 20 days default placeholder: guess"
    assert rows["emergence to flowering"] == "25, 30, 38 days default not used"
    assert "dayfree  day-neutral; cohort D1" in lines
    assert "placeholder are guesses" in ran.out
    assert max(map(len, lines)) <= 80


def test_one_variety_and_one_figure_in_full(season: Path) -> None:
    assert "amber" not in run("variety", season, "dayfree").out
    out = " ".join(run("variety", season, "amber", "critical-day").out.split())
    assert out.startswith(
        "amber critical day 14 h 00, at or above this day the count goes back to 0; set in the file, "
    )
    assert 'calendar-tui variety amber critical day "14 h 00" --mark MARK' in out


def test_as_json_each_figure_is_a_row(season: Path) -> None:
    rows = json.loads(run("variety", season, "amber", "--json").out)
    assert rows[0] == {
        "variety": "amber",
        "key": "critical_day",
        "value": "14:00",
        "unit": "h:min [early, likely, late]",
        "own": True,
        "type": None,
        "mark": "practice",
        "guess": False,
        "used": True,
        "weighed": None,
        "means": "at or above this day the count goes back to 0",
    }
    assert {r["mark"] for r in rows if r["key"] == "full_response_day"} == {None}
    (row,) = json.loads(run("variety", season, "amber", "drying_d", "--json").out)
    assert (row["value"], row["mark"], row["guess"]) == ([7, 10, 14], "read, placeholder", True)


def test_a_change_is_shown_saved_and_undone_to_the_byte(season: Path) -> None:
    before = season.read_bytes()
    ran = run(
        "variety",
        season,
        "amber",
        "flowering_to_harvest_d",
        "[40,",
        "48,",
        "57]",
        "--mark",
        "own",
        typed="y\n",
    )
    assert ran.status == 0, ran.said
    said = " ".join(ran.out.split())
    assert "amber flowering to harvest 38, 45, 54 -> 40, 48, 57, marked own" in said
    assert "A1 harvest" in said
    assert "B1 harvest" in said
    assert "D1" not in said
    assert "Saved: amber flowering to harvest" in said
    assert _amber(season)["flowering_to_harvest_d"] == [40, 48, 57]
    assert _amber(season)["marks"] == {"critical_day": "practice", "flowering_to_harvest_d": "own"}
    assert run("check", season).status == 0
    assert run("tasks", season).out == "The saved tasks agree with the plan.\n"
    assert run("undo", season).status == 0
    assert season.read_bytes() == before


@pytest.mark.parametrize(("flags", "typed"), [(("--dry-run",), None), ((), "n\n"), ((), "\n")])
def test_nothing_is_saved_unasked(season: Path, flags: tuple[str, ...], typed: str | None) -> None:
    before = season.read_bytes()
    ran = run("variety", season, "amber", "critical_day", "13:50", *flags, typed=typed)
    assert ran.status == 0
    assert ran.out.endswith("Nothing saved.\n")
    assert season.read_bytes() == before


def test_a_change_without_a_mark_is_marked_a_guess_and_says_so(season: Path) -> None:
    ran = run("variety", season, "amber", "critical_day", "13:50", "--yes")
    assert "marked placeholder, a guess (it was practice)" in " ".join(ran.out.split())
    assert _amber(season)["marks"] == {"critical_day": "placeholder"}
    assert _amber(season)["critical_day"] == "13:50"


def test_a_change_of_the_mark_alone_moves_nothing(season: Path) -> None:
    ran = run("variety", season, "amber", "critical_day", "14:00", "--mark", "read", "--yes")
    assert "no date of a cohort moves" in ran.out
    assert _amber(season)["marks"] == {"critical_day": "read"}
    again = run("variety", season, "amber", "critical_day", "14:00", "--yes")
    assert "No change: already saved." in again.out


def test_as_json_a_change_needs_a_word_on_saving(season: Path) -> None:
    words = ("variety", season, "amber", "critical_day", "13:50", "--json")
    assert run(*words).status == 2
    (answer,) = json.loads(run(*words, "--dry-run").out)["answers"]
    assert answer["saved"] is False
    assert {"A1", "B1"} >= {row["cohort"] for row in answer["stages"]}
    assert answer["stages"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("amber", "critical_day", "25:00"), 'critical day "25:00": write hours and minutes up to 24 h'),
        (("amber", "critical_day", "12:00"), "full response day must be shorter than critical day"),
        (("amber", "drying_d", "-3"), 'drying "-3": it must be from 0 to 400'),
        (("amber", "drying_d", "9", "--mark", "guess"), 'mark is "guess"; it must be one of: read,'),
        (("amber", "--mark", "own"), "give ID FIGURE VALUE"),
        (("ambre",), 'is not a variety of this season; did you mean "amber"?'),
        (("amber", "critical"), "is not a figure of a variety"),
        (("amber", "id", "brown"), "is not a figure of a variety"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_written(
    season: Path, words: tuple[str, ...], says: str
) -> None:
    before = season.read_bytes()
    ran = run("variety", season, *words, *(("--yes",) if len(words) > 2 else ()))
    assert ran.status == 2, ran.said
    assert says in ran.err
    assert ran.out == ""
    assert season.read_bytes() == before


@pytest.mark.parametrize("typed", [("14h10",), ("14 h 10",), ("14", "h", "10"), ("14H10",), ("14:10",)])
def test_a_length_of_day_may_be_typed_as_it_is_shown(season: Path, typed: tuple[str, ...]) -> None:
    ran = run("variety", season, "amber", "critical_day", *typed, "--mark", "practice", "--yes")
    assert ran.status == 0, ran.said
    assert 'critical_day = "14:10"' in season.read_text()


def test_a_length_of_day_that_is_none_is_refused_without_talk_of_quotes(season: Path) -> None:
    ran = run("variety", season, "amber", "critical_day", "14h7", "--yes")
    assert ran.status == 2
    assert ran.err == 'critical day "14h7": write hours and minutes up to 24 h, such as 14:00\n'


def test_a_figure_that_is_kept_is_not_asked_about(season: Path) -> None:
    before = season.read_bytes()
    ran = run("variety", season, "amber", "critical_day", "14:00")
    assert (ran.status, season.read_bytes()) == (0, before), ran.said
    assert "amber: nothing changed" in ran.out
    assert ran.out.endswith("\nNo change: already saved.\n")
