"""Seasons of very many cohorts: twice as many are twice the work, for the commands that go through all of them."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path

import pytest
from small_season import PLAIN, run

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.tasks import shared_tasks, task_id
from calendar_tui.season.reading import read_season
from calendar_tui.season.work import Task
from tests.counting import lines_run

A1 = re.search(r"\[\[cohort\]\]\n(?:.+\n)+", PLAIN)
H1 = re.search(r"\[\[place\]\]\nid = \"H1\"\n(?:.+\n)+", PLAIN)
WATER = """
[[chore]]
id = "water"
what = "Water"
stage = "transplant"
repeat = "FREQ=WEEKLY"
until = "harvest"
together = "place"
"""


def text_of(cohorts: int) -> str:
    """The cohort and the house of the small season, so many times; two in each house."""
    assert A1 is not None
    assert H1 is not None
    copies = "".join(
        H1[0].replace('"H1"', f'"Z{n}"')
        + "\n"
        + "".join(A1[0].replace('"A1"', f'"{name}{n}"').replace('"H1"', f'"Z{n}"') for name in "XY")
        for n in range(cohorts)
    )
    return f"{PLAIN}{WATER}\n{copies}"


def plan_of(cohorts: int) -> Plan:
    season = read_season(tomllib.loads(text_of(cohorts))).season
    assert season is not None
    return make_plan(season, date(2026, 12, 8))


def all_clashes(plan: Plan) -> None:
    assert sum(len(plan.clashes_of(name)) for name in plan.timelines) > len(plan.timelines)


def all_shared_tasks(plan: Plan) -> None:
    assert len(list(shared_tasks(plan.season, plan.timelines, {*plan.season.places, ""}))) > len(
        plan.timelines
    )


@pytest.mark.parametrize("work", [all_clashes, all_shared_tasks])
def test_twice_as_many_cohorts_are_twice_the_work(work: Callable[[Plan], None]) -> None:
    few, many = plan_of(100), plan_of(200)
    assert few.clashes, "worked out before the count, and for the others too"
    assert many.clashes
    assert lines_run(partial(work, many)) < 2.2 * lines_run(partial(work, few))


def test_ids_of_tasks_do_not_run_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("calendar_tui.planning.tasks._ID_LENGTH", 1)
    taken: set[str] = set()
    for n in range(200):
        task = Task(id="", date=None, what="", chore="scout", cohort="A1", n=n)  # type: ignore[arg-type]
        taken.add(task_id(task, taken))
    assert len(taken) == 200


def test_check_counts_the_tasks_that_are_not_saved_without_an_id_for_each(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(task: Task, taken: object) -> str:
        raise AssertionError(f"an id for {task.what}")

    monkeypatch.setattr("calendar_tui.planning.replan.task_id", refused)
    path = tmp_path / "s.toml"
    path.write_text(text_of(3), encoding="utf-8")
    assert "saved tasks differ from the plan" in run("check", str(path)).out
