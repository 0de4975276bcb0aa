"""Ticking several tasks at once, and the day that is given with a tick."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from recording_farm import changes, data, recorded, task
from small_season import run

from calendar_tui.commands import ticking
from calendar_tui.season.wording import full_day_text


@pytest.fixture
def someone(monkeypatch: pytest.MonkeyPatch) -> None:
    """A person sits at both ends."""
    monkeypatch.setattr(ticking, "at_terminal", lambda: True)


def test_of_several_tasks_all_are_done_or_none(farm: Path) -> None:
    before, count = farm.read_bytes(), changes(farm)
    names = [task(farm, chore)["id"] for chore in ("count", "transplant", "scout")]
    ran = run("done", farm, *names, "--on", "2026-09-20", "--yes")
    assert ran.status == 2
    assert "transplant on 20 Sep 2026 is before seeding" in ran.err
    ran = run("done", farm, *names, "zzzz")
    assert (ran.status, ran.out) == (2, "")
    assert (farm.read_bytes(), changes(farm)) == (before, count)
    ran = run("done", farm, *names, "--on", "today", "--yes")
    assert ran.status == 0, ran.said
    assert (changes(farm), ran.out.count("Saved: ")) == (count + 1, 1)
    assert run("undo", farm).status == 0
    assert farm.read_bytes() == before


def test_two_stages_of_a_cohort_are_recorded_in_one_change_and_lights_off_shifts_once(farm: Path) -> None:
    text = farm.read_text().replace(
        'id = "count"',
        'id = "sow"\nwhat = "Sow"\nstage = "seeding"\nrecords = "seeding"\n\n[[chore]]\nid = "count"',
    )
    farm.write_text(text.replace("recorded = { seeding = 2026-10-05 }\n", ""))
    run("tasks", farm, "--yes")
    before, count = farm.read_bytes(), changes(farm)
    names = [task(farm, chore)["id"] for chore in ("transplant", "sow")]
    ran = run("done", farm, *names, "--on", "+2", "--lights-off", "shift", "--yes", today="2026-11-02")
    assert ran.status == 0, ran.said
    assert recorded(farm) == {"seeding": date(2026, 10, 7), "transplant": date(2026, 11, 1)}
    assert data(farm)["cohort"][0]["replanned"]["lights_off"] == date(2027, 2, 12)
    assert {task(farm, chore)["state"] for chore in ("sow", "transplant")} == {"done"}
    assert changes(farm) == count + 1
    run("undo", farm)
    assert farm.read_bytes() == before


def test_lights_off_is_refused_where_no_cohort_of_the_tasks_has_one(farm: Path) -> None:
    farm.write_text(farm.read_text().replace(", lights_off = 2027-02-10", ""))
    run("tasks", farm, "--yes")
    before = farm.read_bytes()
    names = [task(farm, chore)["id"] for chore in ("transplant", "scout")]
    ran = run("done", farm, *names, "--on", "today", "--lights-off", "shift", "--yes")
    assert ran.status == 2
    assert "--lights-off does not apply: A1 has no lights-off date" in ran.err
    assert farm.read_bytes() == before


@pytest.mark.usefixtures("someone")
def test_what_several_tasks_ask_for_is_asked_first_and_saved_once(farm: Path) -> None:
    before, count = farm.read_bytes(), changes(farm)
    names = [task(farm, chore)["id"] for chore in ("count", "scout", "transplant")]
    ran = run("done", farm, *names, typed="yesterday\n112\n")
    assert "nothing saved: no answer" in ran.err
    assert farm.read_bytes() == before
    ran = run("done", farm, *names, typed="yesterday\n112\nhold\n")
    assert ran.status == 0, ran.said
    assert f"{names[0]}  A1 Count survivors: plants alive? Enter leaves it open:" in ran.out
    assert (task(farm, "count")["fact"], recorded(farm)["transplant"]) == ("112", date(2026, 11, 8))
    assert changes(farm) == count + 1


def test_done_says_the_day_that_it_saved(farm: Path) -> None:
    name = task(farm, "scout")["id"]
    assert (
        "A1 Scout pests (due Fri 6 Nov) on Sun 8 Nov 2026\n"
        in run("done", farm, name, "--on", "yesterday").out
    )
    assert "(already, on Sun 8 Nov 2026)" in run("done", farm, name).out


def test_a_day_of_a_tick_that_may_be_mistyped_is_questioned(farm: Path) -> None:
    before, name = farm.read_bytes(), task(farm, "scout")["id"]
    said = f"Thu 1 Oct 2026 is before A1 was sown (5 Oct 2026) and 36 days before {name} is due (6 Nov 2026)."
    ran = run("done", farm, name, "--on", "1 oct")
    assert (ran.status, ran.out) == (2, f"{said} Save it? [y/N] \n")
    assert farm.read_bytes() == before
    assert run("done", farm, name, "--on", "1 oct", typed="y\n").status == 0
    assert task(farm, "scout")["done_on"] == date(2026, 10, 1)
    run("undo", farm)
    ran = run("done", farm, name, "--on", "1 oct", "--yes")
    assert (ran.status, ran.err) == (0, said + "\n")


def test_a_dry_run_of_several_says_once_that_nothing_is_saved(farm: Path) -> None:
    before = farm.read_bytes()
    names = [task(farm, chore)["id"] for chore in ("count", "transplant")]
    ran = run("done", farm, *names, "--dry-run")
    assert (ran.status, ran.out.count("Nothing saved.")) == (0, 1)
    assert f"would be done  {names[0]}" in ran.out
    assert farm.read_bytes() == before


def test_all_dates_of_a_change_that_may_be_mistyped_are_questioned_with_what_moves(farm: Path) -> None:
    names = [task(farm, chore)["id"] for chore in ("scout", "transplant")]
    ran = run("done", farm, *names, "--on", "2026-11-10", "--dry-run", today="2027-01-20")
    assert ran.out.count("! Tue 10 Nov 2026 is 71 days before today") == 2  # hold and shift, once in each


def test_each_task_whose_day_cannot_be_is_named_with_its_reason(farm: Path) -> None:
    before = farm.read_bytes()
    names = [task(farm, chore)["id"] for chore in ("count", "transplant")]
    ran = run("done", farm, *names, "--on", "+8", "--yes")
    due = task(farm, "count")["date"] + timedelta(days=8)
    assert (ran.status, ran.out) == (2, "")
    assert (
        ran.err
        == f"{names[0]}: --on {full_day_text(due)} is after today, Mon 9 Nov 2026; tick what has been done\nnothing saved.\n"
    )
    assert farm.read_bytes() == before


def test_what_a_long_change_saved_and_what_was_undone_is_wrapped(farm: Path) -> None:
    names = [task(farm, chore)["id"] for chore in ("count", "transplant", "scout")]
    for ran, begin in (
        (run("done", farm, *names, "--on", "today", "--yes"), "Saved: "),
        (run("undo", farm), "Undone: "),
    ):
        lines = ran.out.splitlines()
        at = next(n for n, line in enumerate(lines) if line.startswith(begin))
        assert max(map(len, lines[at : at + 2])) <= 80
        assert lines[at + 1].startswith("  ")


def test_of_several_cohorts_each_harvest_that_moves_is_named(farm: Path) -> None:
    second = data(farm)["cohort"][0]
    text = farm.read_text()
    start = text.index("[[cohort]]")
    block = text[start : text.index("[[", start + 2)]
    farm.write_text(text.replace(block, block + block.replace('id = "A1"', 'id = "A2"'), 1))
    run("tasks", farm, "--yes")
    names = [
        t["id"]
        for t in data(farm)["task"]
        if t["chore"] == "transplant" and t["cohort"] in (second["id"], "A2")
    ]
    ran = run("done", farm, *names, "--on", "8 nov", "--dry-run")
    heads = [line for line in ran.out.splitlines() if line.startswith("== ")]
    assert len(heads) == 2
    assert not any("no flowering" in head for head in heads)
    assert heads[0] == "== hold lights off: no harvest moves =="
    assert heads[1].startswith("== shift lights off: A1 harvest ")
    assert ", A2 harvest " in heads[1]


def test_what_is_wrong_alike_with_all_tasks_is_told_once(farm: Path) -> None:
    names = [task(farm, chore)["id"] for chore in ("count", "scout")]
    ran = run("done", farm, *names, "--on", "soon")
    assert ran.status == 2
    assert ran.err.startswith('--on "soon" is not a date; write ')
    assert ran.err.splitlines()[1:] == ["nothing saved."]
