"""`record` and `plan` for several cohorts: one preview, one question, one change, one undo, all or nothing."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import small_season
from small_season import Ran

from tests.trial_season import trial_text

TODAY = "2027-06-04"


def run(*words: object) -> Ran:
    return small_season.run(*words, today=TODAY)


@pytest.fixture
def trial(tmp_path: Path) -> Path:
    path = tmp_path / "trial.toml"
    path.write_text(trial_text(54), encoding="utf-8")
    return path


def _changes(path: Path) -> list[dict[str, object]]:
    entries: list[dict[str, object]] = json.loads(run("history", path, "--json").out)["entries"]
    return entries


@pytest.mark.slow
def test_a_planting_is_recorded_in_one_change_and_undone_in_one(trial: Path) -> None:
    before = trial.read_bytes()
    ran = run("record", trial, "transplant", "2027-06-04", "--planted", "2027-05-26", "--yes")
    assert (ran.status, ran.err) == (0, "")
    assert len(ran.out.splitlines()) <= 40
    assert trial.read_text().count("transplant = 2027-06-04") == 18
    assert len(_changes(trial)) == 1
    assert run("undo", trial, "--yes").status == 0
    assert trial.read_bytes() == before


def test_cohorts_are_named_one_after_the_other(trial: Path) -> None:
    ran = run("record", trial, "A2F1a", "b2f1a", "A2F1a", "transplant", "2027-06-04", "--yes")
    assert (ran.status, ran.err) == (0, "")
    assert "A2F1a B2F1a transplant recorded Fri 4 Jun 2027 (9 d late) transplant 9 d later" in " ".join(
        ran.out.split()
    )
    assert trial.read_text().count("transplant = 2027-06-04") == 2


@pytest.mark.slow
def test_a_plan_for_a_place_moves_each_from_its_own_date(trial: Path) -> None:
    ran = run("plan", trial, "transplant", "+3", "--place", "F1", "--variety", "amber", "--yes")
    assert (ran.status, ran.err) == (0, "")
    text = trial.read_text()
    assert all(f"transplant = {day}" in text for day in ("2027-05-08", "2027-05-29", "2027-06-19"))


@pytest.mark.slow
def test_a_dry_run_saves_nothing_and_json_has_everything(trial: Path) -> None:
    before = trial.read_bytes()
    words = ("record", trial, "transplant", "2027-06-04", "--planted", "2027-05-26", "--dry-run")
    short, long = run(*words), run(*words, "--all")
    assert len(long.out.splitlines()) > 500 > len(short.out.splitlines())
    answers = json.loads(run(*words, "--json").out)["answers"]
    assert [len(answer["stages"]) > 18 for answer in answers] == [True, True]
    assert trial.read_bytes() == before


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("A2F1a", "BX", "transplant", "2027-06-04"), '"BX" is not a cohort of this season'),
        (("A2F1a", "transpant", "2027-06-04"), '"transpant" is not a stage; did you mean "transplant"?'),
        (("A2F1a", "transplant", "2027-06-04", "--place", "F1"), "either name cohorts, or choose them"),
        (("transplant", "2027-06-04", "--part", "east"), "--part is of a place"),
        (("transplant", "2027-06-04", "--planted", "soonish"), '--planted "soonish" is not a date'),
        (
            ("transplant", "2027-06-04", "--place", "F1", "--planted", "2027-05-27"),
            "planting dates there: Wed 5 May",
        ),
        (("--place", "H1"), "give a COHORT, a STAGE and a DATE"),
    ],
)
def test_what_cannot_be_is_refused_whole(trial: Path, words: tuple[str, ...], message: str) -> None:
    before = trial.read_bytes()
    ran = run("record", trial, *words, "--yes")
    assert (ran.status, ran.out) == (2, "")
    assert message in ran.err
    assert trial.read_bytes() == before


def test_one_of_many_that_cannot_be_refuses_all_and_says_which(trial: Path) -> None:
    before = trial.read_bytes()
    ran = run("record", trial, "lights off", "2027-06-04", "--planted", "2027-05-26", "--yes")
    assert ran.status == 2
    assert "A2F1a has lights_off, but its place F1 has no lamps" in ran.err
    assert "A2H1a" not in ran.err
    assert ran.err.endswith("nothing saved.\n")
    assert trial.read_bytes() == before


@pytest.mark.slow
def test_lamps_that_failed_in_several_places_are_one_change(trial: Path) -> None:
    before = trial.read_bytes()
    words = ("H1", "g1", "outage", "2027-06-02", "2027-06-03")
    ran = run("record", trial, *words, "--yes")
    assert ran.status == 0, ran.err
    assert "H1 G1 outage recorded Wed 2 Jun 2027 to Thu 3 Jun 2027 (2 nights)" in ran.out
    assert trial.read_text().count("[[outage]]") == 2
    again = run("record", trial, *words, "--yes")
    assert (again.status, again.out) == (2, "")
    assert again.err.count("already has an outage") == 2
    assert run("undo", trial, "--yes").status == 0
    assert trial.read_bytes() == before


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("H1", "F1", "outage", "2027-06-02"), "F1 has no lamps to fail"),
        (("H1", "G9", "outage", "2027-06-02"), 'so "G9" is not a part of it'),
        (("H1", "outage", "2027-06-02", "--place", "G1"), "name the places before the word outage"),
    ],
)
def test_one_place_without_lamps_refuses_all(trial: Path, words: tuple[str, ...], message: str) -> None:
    before = trial.read_bytes()
    ran = run("record", trial, *words, "--yes")
    assert (ran.status, ran.out) == (2, "")
    assert message in ran.err
    assert trial.read_bytes() == before


@pytest.mark.slow
@pytest.mark.parametrize("name", ["harvest", "lights", "Stay"])
def test_a_cohort_may_be_called_as_a_stage_is(trial: Path, name: str) -> None:
    trial.write_text(trial.read_text().replace('"A2F1a"', f'"{name}"'))
    ran = run("record", trial, name, "B2F1a", "transplant", "2027-06-04", "--yes")
    assert (ran.status, ran.err) == (0, "")
    assert f"{name} B2F1a transplant recorded Fri 4 Jun 2027" in " ".join(ran.out.split())


def test_a_harvest_before_its_transplant_is_asked_about_and_enter_saves_nothing(trial: Path) -> None:
    before = trial.read_bytes()
    words = ("record", trial, "A2F1a", "harvest", "2027-06-04")
    ran = small_season.run(*words, today=TODAY, typed="\n")
    assert "transplant is not recorded yet, and comes before harvest" in " ".join(ran.out.split())
    assert "Save all the same? [y/N]" in ran.out
    assert trial.read_bytes() == before
