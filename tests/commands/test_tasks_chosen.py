"""Tasks chosen by their work and their cohorts, in place of ids: one list, one question, one change, one undo."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import small_season
from small_season import Ran

from tests.trial_season import trial_text

TODAY = "2027-06-04"
WEEDING = ("--work", "weeding", "--place", "F1")


def run(*words: object, typed: str | None = None) -> Ran:
    return small_season.run(*words, typed=typed, today=TODAY)


@pytest.fixture
def trial(tmp_path: Path) -> Path:
    path = tmp_path / "trial.toml"
    path.write_text(trial_text(54), encoding="utf-8")
    return path


def _count(path: Path, state: str) -> int:
    return path.read_text().count(f'state = "{state}"')


@pytest.mark.parametrize(
    ("words", "saved"),
    [
        (("skip", "--why", "wet"), "Saved: skipped 18 tasks: wet"),
        (("move", "+2"), "Saved: moved 18 tasks to "),
        (("note", "hoe only"), "Saved: noted on 18 tasks: hoe only"),
    ],
)
def test_what_is_chosen_is_listed_asked_once_and_changed_as_one(
    trial: Path, words: tuple[str, ...], saved: str
) -> None:
    before = trial.read_bytes()
    ran = run(words[0], trial, *words[1:], *WEEDING, typed="y\ny\n")
    assert (ran.status, ran.err) == (0, ""), ran.err
    assert ran.out.startswith(
        "18 tasks: 18 x Second weeding; due dates from Sat 22 May 2027 to Sat 3 Jul 2027;"
    )
    assert saved in ran.out
    assert len(json.loads(run("history", trial, "--json").out)["entries"]) == 1
    assert run("undo", trial, "--yes").status == 0
    assert trial.read_bytes() == before


@pytest.mark.parametrize("words", [("skip",), ("move", "+2"), ("note", "hoe only"), ("done",)])
def test_a_no_saves_nothing(trial: Path, words: tuple[str, ...]) -> None:
    before = trial.read_bytes()
    ran = run(words[0], trial, *words[1:], *WEEDING, typed="n\n")
    assert (ran.status, ran.err) == (2, "nothing saved.\n")
    dry = run(words[0], trial, *words[1:], *WEEDING, "--dry-run")
    assert dry.out.endswith("Nothing saved.\n")
    assert trial.read_bytes() == before


def test_only_what_is_due_by_today_is_ticked_unless_another_day_is_given(trial: Path) -> None:
    ran = run("done", trial, *WEEDING, "--yes")
    assert ran.out.splitlines()[-1] == "done  6 tasks on Fri 4 Jun 2027"
    assert _count(trial, "done") == 6
    run("done", trial, *WEEDING, "--until", "2027-06-12", "--on", "due", "--yes")
    assert _count(trial, "done") == 12


def test_what_records_a_stage_is_asked_once_with_what_moves(trial: Path) -> None:
    ran = run(
        "done", trial, "--work", "Transplant by hand", "--planted", "2027-05-26", "--on", "due", typed="y\n"
    )
    assert ran.status == 0, ran.err
    assert ran.out.count("[y/N]") == 0 or ran.out.count("Save? [y/N]") == 1
    assert trial.read_text().count("transplant = 2027-05-26") == 36  # planned and recorded
    assert _count(trial, "done") == 3  # one for each place, of six cohorts


def test_what_was_settled_is_chosen_to_be_opened_again(trial: Path) -> None:
    run("skip", trial, "--why", "wet", *WEEDING, "--yes")
    ran = run("reopen", trial, *WEEDING, "--yes")
    assert "Saved: opened again 18 tasks" in ran.out
    assert "18 keep their notes" in ran.out
    assert _count(trial, "skipped") == 0


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("skip", "--work", "wedding", "--place", "F1"), 'no open task with "wedding" in what is done'),
        (("done", "--until", "2027-06-01"), "--until goes with --work"),
        (("skip", "k66g", "--place", "F1"), "either name tasks, or choose them"),
        (("done", "--work", "weeding", "--place", "F9"), '"F9" is not a place of this season'),
        (("move", "--work", "weeding"), "name the tasks and then the date"),
        (("skip",), 'or choose them, such as: --work "weeding" --place F1'),
    ],
)
def test_a_choice_that_cannot_be_is_refused(trial: Path, words: tuple[str, ...], message: str) -> None:
    before = trial.read_bytes()
    ran = run(words[0], trial, *words[1:])
    assert (ran.status, ran.out) == (2, "")
    assert message in ran.err
    assert trial.read_bytes() == before
