"""The type of a variety by its command: compared, given, taken back; and what cannot be, with nothing written."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from small_season import run


def _amber(season: Path) -> dict[str, object]:
    return next(v for v in tomllib.loads(season.read_text())["variety"] if v["id"] == "amber")


def test_what_each_type_would_give_stands_cohort_by_cohort(season: Path) -> None:
    before = season.read_bytes()
    ran = run("variety", season, "amber", "type")
    assert ran.status == 0, ran.said
    lines = ran.out.splitlines()
    assert lines[0].startswith("amber  no type; ")
    assert any(line.startswith("A1, seeding") for line in lines)
    assert sum(line.startswith("  oil-zhang ") for line in lines) == 3  # two cohorts, and the list of types
    assert "  oil-unknown        oil, nothing known (the default)" in lines
    assert lines[-1] == "To give one: calendar-tui variety amber type TYPE alone"
    assert max(map(len, lines)) <= 80
    rows = json.loads(run("variety", season, "amber", "type", "--json").out)
    assert {row["cohort"] for row in rows} == {"A1", "B1"}
    assert season.read_bytes() == before


def test_a_type_is_given_and_taken_back_to_the_byte(season: Path) -> None:
    before = season.read_bytes()
    ran = run("variety", season, "amber", "type", "oil-zhang", "alone", "--yes")
    assert ran.status == 0, ran.said
    assert "amber type none -> oil-zhang, critical day 14 h 00 -> none" in " ".join(ran.out.split())
    assert _amber(season)["type"] == "oil-zhang"
    assert not {"critical_day", "full_response_day", "inductive_days"} & _amber(season).keys()
    out = " ".join(run("variety", season, "amber").out.split())
    assert "amber short-day, type oil-zhang; cohorts A1, B1" in out
    assert "critical day 13:52, 14:15, 14:38 h type read" in out
    in_full = " ".join(run("variety", season, "amber", "critical_day").out.split())
    assert "of its type oil-zhang, marked read" in in_full
    assert run("check", season).status == 0
    assert run("undo", season).status == 0
    assert season.read_bytes() == before


def test_figures_in_the_file_stay_above_a_type_and_that_is_told(season: Path) -> None:
    ran = run("variety", season, "amber", "type", "oil-zhang", "--yes")
    assert (
        "written in the file, and stand above the type; to have them taken away, give: oil-zhang alone"
        in " ".join(ran.out.split())
    )
    assert _amber(season)["critical_day"] == "14:00"


@pytest.mark.parametrize(
    ("words", "right"),
    [
        (("amber", "type", "oil-zang"), "it must be one of: oil-unknown, "),
        (("amber", "type", "oil-zhang", "--mark", "own"), "a type has the marks of its own figures"),
        (("amber", "type", "alone"), 'type "alone": it must be one of'),
        (("amber", "type", "oil-zhang", "oil-fitted"), 'type "oil-zhang oil-fitted": it must be one of'),
        (("amber", "critical_day", "[14:30,14:00,13:30]"), "early, likely and late in rising order"),
        (("amber", "juvenile_d", "30,20,10"), "early, likely and late days in rising order"),
    ],
)
def test_what_cannot_be_is_told_and_nothing_is_written(
    season: Path, words: tuple[str, ...], right: str
) -> None:
    before = season.read_bytes()
    ran = run("variety", season, *words, "--yes")
    assert ran.status == 2
    assert right in " ".join(ran.said.split())
    assert season.read_bytes() == before


def test_a_critical_day_of_a_variety_that_flowers_by_age_plays_no_part_and_that_is_told(season: Path) -> None:
    assert run("variety", season, "dayfree", "type", "day-neutral", "--yes").status == 0
    ran = run("variety", season, "dayfree", "critical_day", "14:00", "--dry-run")
    assert "critical day plays no part in the dates of dayfree: it is day-neutral" in " ".join(
        ran.out.split()
    )


def test_while_no_response_is_recorded_the_variety_and_the_reasons_tell_what_another_type_would_give(
    season: Path,
) -> None:
    told = "Its response is not recorded yet: A1 induced"
    assert told in " ".join(run("variety", season, "amber").out.split())
    assert told in " ".join(run("why", season, "A1", "induced").out.split())
    assert told not in " ".join(run("why", season, "A1", "emergence").out.split())


def test_a_variety_is_added_with_the_type_that_is_asked_for_and_taken_back_to_the_byte(season: Path) -> None:
    before = season.read_bytes()
    ran = run("variety", season, "--add", "cedar", typed="oak\noil-fitted\ny\n")
    assert ran.status == 0, ran.said
    lines = ran.out.splitlines()
    (at,) = (n for n, line in enumerate(lines) if line.startswith("  oil-unknown "))
    assert lines[at - 2].startswith("Types, and the likely induction of plants sown in ")
    assert [line.split()[0] for line in lines[at : at + 6]][-1] == "day-neutral"
    assert '"oak" is not a type of variety' in ran.out
    assert "Saved: variety cedar added: type oil-fitted" in ran.out
    added = next(v for v in tomllib.loads(season.read_text())["variety"] if v["id"] == "cedar")
    assert added == {"id": "cedar", "response": "short-day", "type": "oil-fitted"}
    assert run("check", season).status == 0
    assert run("undo", season).status == 0
    assert season.read_bytes() == before


@pytest.mark.parametrize(
    ("flags", "kind"), [((), "oil-unknown"), (("--type", "fibre northern"), "fibre-northern")]
)
def test_a_variety_added_unasked_has_the_type_given_or_the_default(
    season: Path, flags: tuple[str, ...], kind: str
) -> None:
    ran = run("variety", season, "--add", "cedar", *flags, "--yes")
    assert ran.status == 0, ran.said
    assert "Type of cedar" not in ran.out
    assert tomllib.loads(season.read_text())["variety"][-1]["type"] == kind


@pytest.mark.parametrize(
    ("words", "right"),
    [
        (("--add", "Amber"), 'there is a variety "amber" already'),
        (("--add", "a b"), "an id has 1 to 24 letters"),
        (("--add", "cedar", "--type", "oil"), '"oil" is not a type of variety'),
        (("--add", "cedar", "--mark", "own"), "a type has the marks of its own figures"),
        (("--add", "cedar", "amber"), "not understood: amber"),
        (("amber", "--type", "oil-zhang"), "to change the type of a variety that is there: ID type TYPE"),
    ],
)
def test_a_variety_that_cannot_be_added_is_told_and_nothing_is_written(
    season: Path, words: tuple[str, ...], right: str
) -> None:
    before = season.read_bytes()
    ran = run("variety", season, *words, "--yes")
    assert ran.status == 2
    assert right in " ".join(ran.said.split())
    assert season.read_bytes() == before


def test_the_reasons_name_the_figures_that_are_of_the_type(season: Path) -> None:
    assert "Of the type" not in run("why", season, "A1", "induced").out
    assert run("variety", season, "amber", "type", "oil-zhang", "--yes").status == 0
    told = " ".join(run("why", season, "A1", "induced").out.split())
    assert "Of the type oil-zhang: juvenile time." in told
    assert run("variety", season, "amber", "type", "oil-zhang", "alone", "--yes").status == 0
    told = " ".join(run("why", season, "A1", "induced").out.split())
    assert "Of the type oil-zhang: critical day, full response day, inductive days, juvenile time." in told


def test_a_dry_run_of_adding_a_variety_asks_nothing_and_writes_nothing(season: Path) -> None:
    before = season.read_bytes()
    ran = run("variety", season, "--add", "cedar", "--dry-run")
    assert ran.status == 0, ran.said
    assert "Type of cedar" not in ran.out
    assert "variety cedar added: type oil-unknown" in ran.out
    assert season.read_bytes() == before
