"""Counts of many cohorts in one command: as planned of each, with the exceptions typed beside them."""

from __future__ import annotations

from pathlib import Path

import pytest
import small_season
from small_season import Ran

from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Task
from tests.season_data import data_of
from tests.trial_season import trial_text

TODAY = "2027-06-04"
PLANTED = ("--planted", "2027-05-26")
RECORD = ("transplant", "2027-06-04", *PLANTED)


def run(*words: object) -> Ran:
    return small_season.run(*words, today=TODAY)


@pytest.fixture
def trial(tmp_path: Path) -> Path:
    path = tmp_path / "trial.toml"
    path.write_text(trial_text(54), encoding="utf-8")
    return path


def found(path: Path) -> list[Task]:
    return [task for task in read_season(data_of(path.read_text())).readable.tasks if task.fact]


@pytest.mark.slow
def test_eighteen_transplants_with_their_counts_are_one_command_and_one_undo(trial: Path) -> None:
    before = trial.read_bytes()
    facts = ("--fact", "=", "--fact", "C2F1a=23", "--fact", "a2h1a=0")
    shown = run("record", trial, *RECORD, *facts, "--dry-run")
    told = "A2F1a B2F1a D2F1a E2F1a +12: 24 plants each; C2F1a: 23; A2H1a: 0"
    assert told in " ".join(shown.out.split())
    assert trial.read_bytes() == before
    ran = run("record", trial, *RECORD, *facts, "--yes")
    assert (ran.status, ran.err) == (0, "")
    assert [task.fact for task in found(trial)] == [
        "A2F1a B2F1a D2F1a E2F1a F2F1a: 24 plants each; C2F1a: 23",
        "24 plants each",
        "A2H1a: 0; B2H1a C2H1a D2H1a E2H1a F2H1a: 24 plants each",
    ]
    assert run("undo", trial, "--yes").status == 0
    assert trial.read_bytes() == before


def test_eighteen_counts_are_ticked_with_one_command_each_with_its_own(trial: Path) -> None:
    before = trial.read_bytes()
    chosen = ("--work", "record count", *PLANTED)
    shown = run("done", trial, *chosen, "--fact", "as planned", "--fact", "C2F1a=23", "--dry-run")
    told = "would be done 18 tasks on Fri 4 Jun 2027; found: A2F1a A2G1a A2H1a B2F1a +13: 24 plants each; C2F1a: 23"
    assert told in " ".join(shown.out.split())
    assert trial.read_bytes() == before
    ran = run("done", trial, *chosen, "--fact", "as planned", "--fact", "C2F1a=23", "--yes")
    assert (ran.status, ran.err) == (0, "")
    assert {task.cohort: task.fact for task in found(trial)} == {
        f"{name}2{place}a": "23" if (name, place) == ("C", "F1") else "24 plants"
        for name in "ABCDEF"
        for place in ("F1", "G1", "H1")
    }
    assert run("undo", trial, "--yes").status == 0
    assert trial.read_bytes() == before


@pytest.mark.slow
def test_together_or_one_by_one_the_same_is_written_down(trial: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.toml"
    other.write_bytes(trial.read_bytes())
    tasks = [
        task
        for task in read_season(data_of(trial.read_text())).readable.tasks
        if task.chore == "record-planting" and task.cohort[1:4] == "2F1"
    ]
    assert len(tasks) == 6
    run("done", trial, *(t.id for t in tasks), "--fact", "=", "--fact", "C2F1a=23", "--yes")
    for task in tasks:
        run("done", other, task.id, "--fact", "23" if task.cohort == "C2F1a" else "=", "--yes")
    assert trial.read_bytes() == other.read_bytes()


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        (("24", "25"), '"24" and "25" are both for all; name the cohort of one, such as A2F1a="25"'),
        (("A1F1a=24",), "A1F1a=24: this work is not of A1F1a. It is of A2F1a B2F1a C2F1a D2F1a +14"),
        (("C22F1a=24",), 'C22F1a= names no cohort of this season; did you mean "C2F1a"?'),
    ],
)
def test_a_count_of_no_cohort_of_these_is_refused_whole(
    trial: Path, facts: tuple[str, ...], said: str
) -> None:
    before = trial.read_bytes()
    words = [word for fact in facts for word in ("--fact", fact)]
    for ran in (
        run("record", trial, *RECORD, *words, "--yes"),
        run("done", trial, "--work", "transplant by hand", *PLANTED, "--on", "today", *words, "--yes"),
    ):
        assert ran.status == 2, ran.said
        assert said in " ".join(ran.err.split())
    assert trial.read_bytes() == before


@pytest.mark.slow
def test_where_no_number_of_plants_is_set_as_planned_is_refused(trial: Path) -> None:
    text = trial.read_text()
    at = text.index('id = "C2F1a"')
    trial.write_text(text[:at] + text[at:].replace("plants = 24\n", "", 1))
    before = trial.read_bytes()
    ran = run("record", trial, *RECORD, "--fact", "=", "--yes")
    assert ran.status == 2
    assert (
        'C2F1a Transplant by hand; water in: no amount is planned, so "as planned" does not apply'
        in " ".join(ran.err.split())
    )
    assert trial.read_bytes() == before
    assert run("record", trial, *RECORD, "--fact", "=", "--fact", "C2F1a=20", "--yes").status == 0
