"""Ticks long after a task was due, or long before, and the day "due"."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from recording_farm import RECORDING, recorded, task
from small_season import run

from calendar_tui.commands import ticking

DRYING = """
[[chore]]
id = "cut"
what = "Cut"
stage = "harvest"
records = "harvest"

[[chore]]
id = "dry"
what = "Take down what is dry"
stage = "dried"
records = "dried"
"""
LATE = "A1 transplant was due Fri 30 Oct, 10 days ago: was it done today?"


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    path = tmp_path / "near-fields.toml"
    path.write_text(RECORDING + DRYING, encoding="utf-8")
    assert run("tasks", path, "--yes").status == 0
    return path


def test_a_stage_long_overdue_is_not_recorded_as_of_today_unasked(farm: Path) -> None:
    before, name = farm.read_bytes(), task(farm, "transplant")["id"]
    ran = run("done", farm, name, "--yes")
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == (f"{LATE} With --yes add the day: --on due for 2026-10-30, --on today, or --on DATE\n")
    assert farm.read_bytes() == before
    assert run("done", farm, name, "--on", "today", "--yes").status == 0
    assert recorded(farm)["transplant"] == date(2026, 11, 9)


def test_a_stage_a_week_overdue_is_recorded_as_of_today(farm: Path) -> None:
    name = task(farm, "transplant")["id"]
    assert run("done", farm, name, "--yes", today="2026-11-06").status == 0
    assert recorded(farm)["transplant"] == date(2026, 11, 6)


def test_a_stage_long_overdue_is_questioned_before_it_is_saved(farm: Path) -> None:
    name = task(farm, "transplant")["id"]
    assert f"! {LATE}" in run("done", farm, name, typed="\n").out
    assert f"! {LATE}" in run("done", farm, name, "--dry-run").out


def test_on_due_ticks_each_task_on_its_own_date(farm: Path) -> None:
    names = [task(farm, chore)["id"] for chore in ("transplant", "count", "scout")]
    days = [task(farm, chore)["date"] for chore in ("transplant", "count", "scout")]
    ran = run("done", farm, *names, "--on", "due", "--yes")
    assert ran.status == 0, ran.said
    assert [task(farm, c)["done_on"] for c in ("transplant", "count", "scout")] == days
    assert recorded(farm)["transplant"] == days[0]


def test_on_due_is_never_after_today(farm: Path) -> None:
    scout = task(farm, "scout", 2)
    assert scout["date"] > date(2026, 11, 9)
    assert run("done", farm, scout["id"], "--on", "due", "--yes").status == 0
    assert task(farm, "scout", 2)["done_on"] == date(2026, 11, 9)


def test_at_a_terminal_due_answers_the_day(farm: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ticking, "at_terminal", lambda: True)
    ran = run("done", farm, task(farm, "transplant")["id"], typed="due\ny\n")
    assert ran.status == 0, ran.said
    assert recorded(farm)["transplant"] == date(2026, 10, 30)


def test_a_tick_of_work_far_ahead_is_questioned(farm: Path) -> None:
    before, name = farm.read_bytes(), task(farm, "scout", 5)["id"]
    due = task(farm, "scout", 5)["date"]
    said = f"Mon 9 Nov 2026 is {(due - date(2026, 11, 9)).days} days before {name} is due"
    for words in ((), ("--on", "today")):
        ran = run("done", farm, name, *words)
        assert (ran.status, ran.out.startswith(said)) == (2, True)
    assert run("done", farm, name, "--dry-run").err.startswith(said)
    assert farm.read_bytes() == before
    ran = run("done", farm, name, "--yes")
    assert (ran.status, ran.err.startswith(said)) == (0, True)


def test_of_many_ticks_far_ahead_the_first_are_named_and_the_rest_counted(farm: Path) -> None:
    names = [task(farm, "scout", n)["id"] for n in range(4, 10)]
    ran = run("done", farm, *names, "--yes")
    assert (ran.status, ran.err.count(" is due ("), ran.err.count("and 3 more like that")) == (
        0,
        3,
        1,
    )


def test_work_of_a_stage_far_ahead_is_questioned_with_what_moves(farm: Path) -> None:
    ran = run("done", farm, task(farm, "transplant")["id"], "--dry-run", today="2026-10-10")
    name = task(farm, "transplant")["id"]
    assert f"! Sat 10 Oct 2026 is 20 days before {name} is due (30 Oct 2026)" in ran.out


def test_harvest_and_dried_on_one_day_are_questioned(farm: Path) -> None:
    names = [task(farm, chore)["id"] for chore in ("cut", "dry")]
    ran = run("done", farm, *names, "--on", "2027-04-20", "--dry-run", today="2027-04-22")
    assert "! A1 harvest and dried are both on Tue 20 Apr: were they on one day?" in " ".join(ran.out.split())
    one = run("done", farm, names[0], "--on", "2027-04-20", "--dry-run", today="2027-04-22")
    assert "on one day" not in one.out
