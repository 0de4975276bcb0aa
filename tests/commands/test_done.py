"""Ticking a task that is the work of a stage: the date is asked for, and date and tick are one change."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from recording_farm import changes, data, recorded, task
from small_season import line_of, run

from calendar_tui.commands import ticking


@pytest.fixture
def someone(monkeypatch: pytest.MonkeyPatch) -> None:
    """A person sits at both ends."""
    monkeypatch.setattr(ticking, "at_terminal", lambda: True)


def test_a_tick_records_the_date_and_one_undo_takes_both_back(farm: Path) -> None:
    before, count = farm.read_bytes(), changes(farm)
    name = task(farm, "transplant")["id"]
    ran = run("done", farm, name, "--on", "8 nov", "--yes")
    assert ran.status == 0, ran.said
    assert recorded(farm)["transplant"] == date(2026, 11, 8)
    ticked = task(farm, "transplant")
    assert (ticked["state"], ticked["done_on"], ticked["date"]) == (
        "done",
        date(2026, 11, 8),
        date(2026, 10, 30),
    )
    assert changes(farm) == count + 1
    assert (
        f"A1 transplant recorded Sun 8 Nov 2026 (9 d late); lights off held on 10 Feb; ticked {name} Transplant"
        in " ".join(ran.out.split())
    )
    assert task(farm, "scout")["date"] == date(2026, 11, 15)
    assert run("undo", farm).status == 0
    assert farm.read_bytes() == before


def test_recording_the_stage_ticks_its_task_in_the_same_change(farm: Path) -> None:
    before, count = farm.read_bytes(), changes(farm)
    name = task(farm, "transplant")["id"]
    ran = run("record", farm, "A1", "transplant", "2026-11-08", "--yes")
    assert f"; ticked {name}" in ran.out
    assert (task(farm, "transplant")["state"], task(farm, "transplant")["done_on"]) == (
        "done",
        date(2026, 11, 8),
    )
    assert changes(farm) == count + 1
    run("undo", farm)
    assert farm.read_bytes() == before


def test_a_corrected_date_corrects_the_day_of_the_tick(farm: Path) -> None:
    run("record", farm, "A1", "transplant", "2026-11-08", "--yes")
    run("record", farm, "A1", "transplant", "2026-11-07", "--yes")
    assert task(farm, "transplant")["done_on"] == recorded(farm)["transplant"] == date(2026, 11, 7)


def test_a_slip_is_shown_with_both_answers_and_nothing_is_saved_unasked(farm: Path) -> None:
    before = farm.read_bytes()
    name = task(farm, "transplant")["id"]
    ran = run("done", farm, name)
    assert ran.status == 2
    assert "== hold lights off" in ran.out
    assert "== shift lights off" in ran.out
    assert "add --yes" in ran.err
    ran = run("done", farm, name, "--dry-run")
    assert (ran.status, farm.read_bytes()) == (0, before)
    ran = run("done", farm, name, typed="shift\n")
    assert ran.status == 0, ran.said
    assert data(farm)["cohort"][0]["replanned"]["lights_off"] == date(2027, 2, 20)
    assert recorded(farm)["transplant"] == date(2026, 11, 9)


def test_lights_off_may_be_told(farm: Path) -> None:
    name = task(farm, "transplant")["id"]
    run("done", farm, name, "--on", "today", "--lights-off", "shift", "--yes")
    assert data(farm)["cohort"][0]["replanned"]["lights_off"] == date(2027, 2, 20)
    ran = run("done", farm, task(farm, "scout")["id"], "--lights-off", "shift")
    assert (ran.status, ran.out) == (2, "")
    assert "none of these tasks records a date" in ran.err


@pytest.mark.usefixtures("someone")
def test_at_a_terminal_the_day_is_asked_for(farm: Path) -> None:
    name = task(farm, "transplant")["id"]
    ran = run("done", farm, name, typed="yesterday\nhold\n")
    assert "A1 transplant on which day? Enter for today, Mon 9 Nov 2026; due for Fri 30 Oct 2026:" in ran.out
    assert recorded(farm)["transplant"] == date(2026, 11, 8)


@pytest.mark.usefixtures("someone")
def test_at_a_terminal_enter_is_today_and_a_wrong_day_is_told(farm: Path) -> None:
    name = task(farm, "transplant")["id"]
    ran = run("done", farm, name, typed="31 feb\n")
    assert ran.status == 2
    assert "31 feb" in ran.err
    run("done", farm, name, typed="\nhold\n")
    assert recorded(farm)["transplant"] == date(2026, 11, 9)


@pytest.mark.usefixtures("someone")
def test_no_answer_saves_nothing(farm: Path) -> None:
    before = farm.read_bytes()
    for chore in ("transplant", "count"):
        ran = run("done", farm, task(farm, chore)["id"])
        assert ran.status == 2
        assert "nothing saved: no answer" in ran.err
    assert farm.read_bytes() == before


@pytest.mark.usefixtures("someone")
def test_what_a_task_asks_for_is_written_down_with_the_tick(farm: Path) -> None:
    before = farm.read_bytes()
    name = task(farm, "count")["id"]
    ran = run("done", farm, name, typed="112 of 120\n")
    assert "plants alive? Enter leaves it open:" in ran.out
    found = task(farm, "count")
    assert (found["state"], found["fact"]) == ("done", "112 of 120")
    run("undo", farm)
    assert farm.read_bytes() == before


def test_a_fact_may_be_told_with_the_tick_or_later(farm: Path) -> None:
    name = task(farm, "count")["id"]
    ran = run("done", farm, name, "--on", "2026-11-07")
    assert task(farm, "count")["done_on"] == date(2026, 11, 7)
    assert ran.out.endswith(
        f"{name} asks for plants alive, and nothing is noted yet; to note it:\n  calendar-tui done {name} --fact TEXT\n"
    )
    ran = run("done", farm, name, "--fact", "112 of 120")
    assert "found: 112 of 120" in " ".join(ran.out.split())
    assert (task(farm, "count")["fact"], task(farm, "count")["done_on"]) == ("112 of 120", date(2026, 11, 7))
    assert "found: 112 of 120" in run("week", farm, today="2026-11-06").out


def test_a_fact_with_several_tasks_is_noted_on_each(farm: Path) -> None:
    names = [task(farm, chore)["id"] for chore in ("count", "scout")]
    ran = run("done", farm, *names, "--fact", "112")
    assert ran.status == 0, ran.said
    assert [task(farm, chore)["fact"] for chore in ("count", "scout")] == ["112", "112"]
    assert ran.out.count("; found: 112\n") == 2
    assert ": 112; 112" not in run("history", farm).out


def test_ticks_without_what_they_ask_for_are_told_once_with_their_count(farm: Path) -> None:
    text = farm.read_text()
    farm.write_text(
        text.replace(
            'asks = "plants alive"', 'asks = "plants alive"\nrepeat = "FREQ=DAILY;COUNT=9"\nuntil = "harvest"'
        )
    )
    run("tasks", farm, "--yes", today="2026-11-01")
    names = [task(farm, "count", n)["id"] for n in range(1, 6)]
    ran = run("done", farm, *names, "--yes")
    assert ran.out.count("--fact TEXT") == 1
    said = "5 of these tasks ask for something, and nothing is noted yet; to note plants alive: "
    assert said in " ".join(ran.out.split())
    assert f"\n  calendar-tui done {names[0]} --fact TEXT\n" in ran.out
    assert max(map(len, ran.out.splitlines())) <= 80


def test_of_many_ticks_the_change_has_the_count_and_no_ids(farm: Path) -> None:
    names = [task(farm, "scout", n)["id"] for n in range(1, 5)]
    run("done", farm, *names, "--yes")
    out = run("history", farm, "--last", "1").out
    assert "ticked 4 tasks on Mon 9 Nov 2026" in out


def test_several_tasks_are_ticked_with_one_that_records(farm: Path) -> None:
    names = [task(farm, chore)["id"] for chore in ("count", "transplant", "scout")]
    ran = run("done", farm, *names, "--on", "today", "--yes")
    assert ran.status == 0, ran.said
    assert {task(farm, chore)["state"] for chore in ("count", "transplant", "scout")} == {"done"}
    assert recorded(farm)["transplant"] == date(2026, 11, 9)


def test_where_a_task_records_the_stage_no_other_says_that_it_is_not_recorded(farm: Path) -> None:
    assert "is not recorded yet" not in run("done", farm, task(farm, "note")["id"]).out


def test_a_task_whose_stage_is_recorded_is_only_ticked(farm: Path) -> None:
    text = farm.read_text()
    farm.write_text(
        text.replace(
            "recorded = { seeding = 2026-10-05 }",
            "recorded = { seeding = 2026-10-05, transplant = 2026-10-30 }",
        )
    )
    ran = run("done", farm, task(farm, "transplant")["id"])
    assert ran.status == 0, ran.said
    assert ran.out.startswith("done  ")


@pytest.mark.parametrize(
    ("words", "said"),
    [(("--on", "2026-11-12"), "is after today"), (("--on", "soon"), "--on"), (("--on", "32 nov"), "--on")],
)
def test_a_day_that_cannot_be_is_told(farm: Path, words: tuple[str, ...], said: str) -> None:
    before = farm.read_bytes()
    for chore in ("transplant", "count"):
        ran = run("done", farm, task(farm, chore)["id"], *words, "--yes")
        assert ran.status == 2
        assert said in ran.err
    assert farm.read_bytes() == before


def test_the_nearest_ids_are_told(farm: Path) -> None:
    name = task(farm, "count")["id"]
    ran = run("done", farm, name[:3] + "~")
    assert ran.status == 2
    assert f'"{name}"' in ran.err
    assert len(re.findall(r'"\w{4}"', ran.err.split("did you mean")[1])) <= 3
    assert "week` shows the ids" in run("done", farm, "~~~~").err


# --- what check notes


def test_a_chore_that_no_cohort_reaches_is_a_note_and_no_problem(farm: Path) -> None:
    text = (
        farm.read_text()
        + '\n[[chore]]\nid = "roots"\nwhat = "Look at the roots"\nstage = "rooted"\nstarts = ["seed"]\n'
    )
    farm.write_text(text)
    ran = run("check", farm)
    assert ran.status == 0, ran.said
    line = line_of(text, 'stage = "rooted"')
    assert (
        f"note: {farm}:{line}: chore roots makes no task: none of its cohorts has a date for rooted"
        in ran.out
    )


def test_chores_for_other_kinds_of_cohorts_are_not_noted(farm: Path) -> None:
    farm.write_text(
        farm.read_text()
        + '\n[[chore]]\nid = "hail"\nwhat = "Nets"\nstage = "rooted"\nplace_kinds = ["greenhouse"]\n'
    )
    assert "note:" not in run("check", farm).out


def test_the_week_tells_guesses_amounts_and_reasons(farm: Path) -> None:
    text = farm.read_text().replace(
        'id = "scout"\nwhat', 'id = "scout"\ntime = "09:00"\nmark = "practice"\nwhat'
    )
    text = text.replace("hours = 0.85", 'hours = 0.85\nshows = ["plants"]')
    farm.write_text(text + '\n[crew]\nwork_days = ["mon", "tue", "wed", "thu"]\n')
    run("tasks", farm, "--yes")
    out = " ".join(run("week", farm, today="2026-10-30").out.split())
    assert (
        "A1 H1 Transplant by hand (crew, ~1.02 h, 120 plants); Fri 30 Oct is no working day; it stays on its date"
        in out
    )
    out = " ".join(run("week", farm, today="2026-11-03").out.split())
    # 6 November 2026 is a Friday: Thursday is nearer than Monday.
    assert "A1 H1 09:00 Scout pests (scout, 0.5 h); moved from Fri 6 Nov, no working day" in out
    assert "~ hours are a guess" in run("week", farm, today="2026-10-30").out


def test_a_fact_told_with_the_tick_is_not_asked_for_again(farm: Path) -> None:
    name = task(farm, "count")["id"]
    ran = run("done", farm, name, "--fact", "112 of 120")
    assert "found: 112 of 120" in " ".join(ran.out.split())
    assert "it asks for" not in ran.out


def test_a_record_ticks_its_task_though_it_was_skipped_and_keeps_why(farm: Path) -> None:
    before = farm.read_bytes()
    name = task(farm, "transplant")["id"]
    run("skip", farm, name, "--why", "flood")
    ran = run("record", farm, "A1", "transplant", "2026-11-08", "--yes")
    assert f"{name} was skipped (flood); the record says that the work was done, and ticks it" in " ".join(
        ran.out.split()
    )
    assert f"{name} was skipped before; it is done now" in ran.err
    found = task(farm, "transplant")
    assert (found["state"], found["done_on"], found["note"]) == ("done", date(2026, 11, 8), "flood")
    run("undo", farm, "2")
    assert farm.read_bytes() == before


def test_a_task_opened_again_says_that_its_date_stays_recorded_and_is_only_ticked_then(farm: Path) -> None:
    name = task(farm, "transplant")["id"]
    run("done", farm, name, "--on", "8 nov", "--yes")
    ran = run("reopen", farm, name)
    assert "A1 transplant itself stays recorded on Sun 8 Nov 2026" in ran.out
    assert "calendar-tui record A1 transplant DATE" in ran.out
    ran = run("done", farm, name)
    assert ran.status == 0, ran.said
    assert task(farm, "transplant")["done_on"] == recorded(farm)["transplant"] == date(2026, 11, 8)


def test_a_dry_run_says_that_nothing_is_saved(farm: Path) -> None:
    run("record", farm, "A1", "transplant", "2026-11-08", "--yes")
    run("reopen", farm, task(farm, "transplant")["id"])
    before = farm.read_bytes()
    for chore in ("transplant", "count"):
        ran = run("done", farm, task(farm, chore)["id"], "--dry-run")
        assert ran.out.startswith("would be done  ")
        assert ran.out.endswith("\nNothing saved.\n")
    assert farm.read_bytes() == before


def test_work_for_a_cohort_that_the_season_has_no_more_is_not_ticked(farm: Path) -> None:
    text = farm.read_text()
    name = task(farm, "transplant")["id"]
    farm.write_text(before := re.sub(rf'(id = "{name}".*cohort = )"A1"', r'\1"Z3"', text))
    assert before != text
    line = line_of(before, f'id = "{name}"')
    for flags in ((), ("--dry-run",), ("--yes",), ("--on", "due")):
        ran = run("done", farm, name, *flags)
        assert ran.status == 2, ran.said
        assert (
            f'{farm}:{line}: task {name} records the transplant of "Z3", which is not a '
            "cohort of this season. Cohorts: A1, B1, D1. Put the right one in the file, or update the tasks to the "
            "plan: calendar-tui tasks"
        ) in " ".join(ran.err.split())
    assert farm.read_text() == before


def test_work_shared_with_a_cohort_that_the_season_has_no_more_is_not_ticked(farm: Path) -> None:
    text = farm.read_text()
    name = task(farm, "transplant")["id"]
    farm.write_text(before := re.sub(rf'(id = "{name}".*)cohort = "A1"', r'\1cohorts = ["A1", "Z3"]', text))
    assert before != text
    assert 'of "Z3", which is not a cohort' in " ".join(run("done", farm, name, "--yes").err.split())
    assert farm.read_text() == before


def test_work_that_records_nothing_is_ticked_for_a_cohort_that_the_season_has_no_more(farm: Path) -> None:
    text = farm.read_text()
    name = task(farm, "count")["id"]
    farm.write_text(re.sub(rf'(id = "{name}".*cohort = )"A1"', r'\1"Z3"', text))
    ran = run("done", farm, name)
    assert ran.status == 0, ran.said
    assert f"done  {name}  Z3 Count survivors" in ran.out


def test_where_a_cohort_does_not_read_its_work_is_refused_with_what_is_wrong_there(farm: Path) -> None:
    text = farm.read_text()
    name = task(farm, "transplant")["id"]
    farm.write_text(before := text.replace('id = "A1"', 'id = "A 1"', 1))
    ran = run("done", farm, name, "--yes")
    assert ran.status == 2, ran.said
    assert f"{farm}:{line_of(before, 'A 1')}: " in ran.err
    assert farm.read_text() == before
