"""Tasks chosen by their work and their cohorts, in place of ids: one list, one question, one change, one undo."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
import small_season
from small_season import Ran

from calendar_tui.commands import tasks_by_id, ticking
from tests.season_data import data_of
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


@pytest.mark.slow
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
    assert ran.out.count("[y/N]") == 1
    assert "Save all the same? [y/N]" in ran.out, "the seeding of none of them is recorded"
    assert trial.read_text().count("transplant = 2027-05-26") == 36  # planned and recorded
    assert _count(trial, "done") == 3  # one for each place, of six cohorts


@pytest.mark.slow
def test_what_was_settled_is_chosen_to_be_opened_again(trial: Path) -> None:
    run("skip", trial, "--why", "wet", *WEEDING, "--yes")
    ran = run("reopen", trial, *WEEDING, "--yes")
    assert "Saved: opened again 18 tasks" in ran.out
    assert "18 keep their notes" in ran.out
    assert _count(trial, "skipped") == 0


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (
            ("skip", "--work", "wedding", "--place", "F1"),
            'no open task of these cohorts has "wedding" in its work; see the week\n',
        ),
        (
            ("done", "--work", "wedding"),
            'no open task has "wedding" in its work and is due by Fri 4 Jun 2027; see the week\n',
        ),
        (("reopen", "--place", "F1"), "these cohorts have no done or skipped task; see the week\n"),
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


def test_a_move_of_many_is_shown_by_group_before_it_is_saved(trial: Path) -> None:
    ran = run("move", trial, "+2", *WEEDING, "--dry-run")
    assert ran.out == (
        "18 tasks: 18 x Second weeding; due dates from Sat 22 May 2027 to Sat 3 Jul 2027;\n"
        "  A1F1a B1F1a C1F1a D1F1a +14\n"
        "would move  18 x Second weeding  2 d later: 22 May - 3 Jul -> 24 May - 5 Jul;\n"
        "  A1F1a B1F1a C1F1a D1F1a +14\n"
        "Nothing saved.\n"
    )
    asked = run("move", trial, "+2", *WEEDING, typed="n\n")
    assert asked.out.startswith(ran.out.removesuffix("Nothing saved.\n"))
    assert asked.err == "nothing saved.\n"


def test_a_move_to_one_day_tells_who_moves_by_how_much(trial: Path) -> None:
    lines = run("move", trial, "2027-06-14", *WEEDING, "--dry-run").out.splitlines()[2:-1]
    assert " ".join(line.strip() for line in lines) == (
        "would move  6 x Second weeding  23 d later: 22 May -> 14 Jun; A1F1a B1F1a C1F1a D1F1a +2 "
        "would move  6 x Second weeding  2 d later: 12 Jun -> 14 Jun; A2F1a B2F1a C2F1a D2F1a +2 "
        "would move  6 x Second weeding  19 d earlier: 3 Jul -> 14 Jun; A3F1a B3F1a C3F1a D3F1a +2"
    )


@pytest.mark.parametrize(
    "words", [("move", "+2"), ("skip",), ("note", "hoe only"), ("done", "--until", "2027-12-01")]
)
def test_all_lists_every_task(trial: Path, words: tuple[str, ...]) -> None:
    short = run(words[0], trial, *words[1:], *WEEDING, "--dry-run").out.splitlines()
    long = run(words[0], trial, *words[1:], *WEEDING, "--dry-run", "--all").out.splitlines()
    assert len(short) < 7
    assert (
        len([line for line in long if re.search(r"B2F1a Second weeding|Second weeding \(B2F1a\)", line)]) == 1
    )
    assert len([line for line in long if "Second weeding" in line]) == 19


@pytest.mark.slow
def test_all_lists_every_date_of_ticks_that_record_one(trial: Path) -> None:
    words = (
        "done",
        trial,
        "--work",
        "Transplant by hand",
        "--planted",
        "2027-05-26",
        "--on",
        "today",
        "--dry-run",
    )
    assert len(run(*words).out.splitlines()) < 60 < 500 < len(run(*words, "--all").out.splitlines())


@pytest.mark.parametrize(
    "words", [("move", "2027-06-02"), ("done", "--until", "2027-12-01"), ("done", "--on", "yesterday")]
)
def test_what_is_chosen_is_asked_about_once_with_its_doubts(trial: Path, words: tuple[str, ...]) -> None:
    ran = run(words[0], trial, *words[1:], *WEEDING, typed="y\n")
    assert ran.status == 0, ran.err
    assert ran.out.count("[y/N]") == 1
    assert len(json.loads(run("history", trial, "--json").out)["entries"]) == 1


def test_skipped_work_of_stages_is_told_once_for_all(trial: Path) -> None:
    planted = ("--work", "Transplant by hand", "--planted", "2027-05-26")
    ran = run("skip", trial, *planted, "--yes")
    assert ran.out.count("itself stays planned") == 1
    told = " ".join(ran.out.split())
    assert (
        "A2F1a B2F1a C2F1a D2F1a +14 transplant itself stays planned; for another date: calendar-tui plan COHORT ... "
        "transplant DATE"
    ) in told
    run("undo", trial, "--yes")
    told = " ".join(run("move", trial, *planted, "2027-06-06", "--yes").out.split())
    assert told.endswith(
        "A2F1a B2F1a C2F1a D2F1a +14 transplant itself stays where it is planned; with all that follows it moves by: "
        "calendar-tui plan COHORT ... transplant 2027-06-06"
    )


@pytest.mark.slow
@pytest.mark.parametrize("words", [("skip",), ("move", "+2")])
def test_a_task_ticked_by_another_while_those_chosen_are_asked_about_is_left_as_it_is(
    trial: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    task = next(
        t
        for t in data_of(trial.read_text())["task"]
        if (t["what"], t.get("place")) == ("Second weeding", "F1")
    )

    def meanwhile(question: str) -> bool:
        assert run("done", trial, task["id"], "--yes").status == 0
        return True

    monkeypatch.setattr(tasks_by_id, "confirmed", meanwhile)
    ran = run(words[0], trial, *words[1:], *WEEDING)
    assert ran.status == 2
    assert f"{task['id']} is done; to {words[0]} it all the same, open it again first" in ran.err
    assert (_count(trial, "done"), _count(trial, "skipped")) == (1, 0)


@pytest.fixture
def someone(monkeypatch: pytest.MonkeyPatch) -> None:
    """A person sits at both ends."""
    monkeypatch.setattr(ticking, "at_terminal", lambda: True)


@pytest.mark.slow
@pytest.mark.usefixtures("someone")
def test_the_day_of_all_that_is_chosen_is_asked_once(trial: Path) -> None:
    ran = run(
        "done", trial, "--work", "Transplant by hand", "--planted", "2027-05-26", typed="27 may\nhold\n"
    )
    assert ran.status == 0, ran.err
    assert ran.out.count("on which day?") == 1
    assert (
        "A2F1a B2F1a C2F1a D2F1a +14 transplant on which day? Enter for today, Fri 4 Jun 2027; due for Wed 26 May 2027:"
        in ran.out
    )
    assert trial.read_text().count("transplant = 2027-05-27") == 18


@pytest.mark.slow
@pytest.mark.usefixtures("someone")
def test_each_task_that_is_named_is_asked_for_its_own_day(trial: Path) -> None:
    tasks = [t for t in data_of(trial.read_text())["task"] if t["what"].startswith("Transplant by hand")]
    names = [t["id"] for t in tasks if str(t["date"]) == "2027-05-26"][:2]
    ran = run("done", trial, *names, typed="27 may\n28 may\nhold\n")
    assert ran.status == 0, ran.err
    assert ran.out.count("on which day?") == 2
    text = trial.read_text()
    assert [text.count(f"transplant = 2027-05-{day}") for day in (27, 28)] == [6, 6]


@pytest.mark.usefixtures("someone")
def test_of_what_is_chosen_nothing_found_is_asked_for_but_how_to_note_it_is_told(trial: Path) -> None:
    text = trial.read_text()
    trial.write_text(text.replace('what = "Second weeding"\n', 'what = "Second weeding"\nasks = "weeds"\n'))
    assert trial.read_text() != text
    ran = run("done", trial, *WEEDING, typed="y\n")
    assert ran.status == 0, ran.err
    assert _count(trial, "done") == 6
    assert "6 of these tasks ask for something, and nothing is noted yet; to note weeds:" in ran.out


def test_a_move_of_work_of_many_days_to_one_is_told_in_a_line(trial: Path) -> None:
    ran = run("move", trial, "2027-06-14", "--work", "Scout pests and diseases", "--place", "F1", "--dry-run")
    assert ran.status == 0, ran.said
    moved = " ".join(ran.out.split()).split("would move  "[:-1])[1:]
    assert len(moved) <= 2
    assert re.match(
        r"\d+ x Scout pests and diseases \d+ d later to \d+ d earlier: .* -> 14 Jun; A1F1a", moved[0]
    )
