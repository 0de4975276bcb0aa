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

from calendar_tui.handing_on.words.clash_text import cohort_texts, group_text
from calendar_tui.planning.clash_groups import clashes_once
from calendar_tui.planning.laying_out.early import askings, early_stages
from calendar_tui.planning.laying_out.light import place_light
from calendar_tui.planning.laying_out.nights import natural_days_h
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.tasks.by_chore import shared_tasks, task_id
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Season
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


@pytest.mark.slow
@pytest.mark.parametrize("work", [all_clashes, all_shared_tasks])
def test_twice_as_many_cohorts_are_twice_the_work(work: Callable[[Plan], None]) -> None:
    few, many = plan_of(100), plan_of(200)
    assert few.clashes, "worked out before the count, and for the others too"
    assert many.clashes
    assert lines_run(partial(work, many)) < 2.2 * lines_run(partial(work, few))


def one_house(cohorts: int) -> str:
    """The house of the small season with so many cohorts in it, of which every other is held back by the lamps of the rest."""
    assert A1 is not None
    copies = (
        A1[0].replace('"A1"', f'"X{n}"').replace("2027-02-10", "2027-01-10" if n % 2 else "2027-02-10")
        for n in range(cohorts)
    )
    return PLAIN + "\n" + "\n".join(copies)


def one_house_plan(cohorts: int) -> Plan:
    season = read_season(tomllib.loads(one_house(cohorts))).season
    assert season is not None
    return make_plan(season, date(2026, 12, 8))


def test_lamps_that_many_ask_for_on_the_same_nights_are_laid_once() -> None:
    few, many = one_house_plan(20).season, one_house_plan(200).season

    def light(season: Season) -> None:
        early = {c.id: early_stages(season, c) for c in season.cohorts.values()}
        asked = tuple(
            (c.id, span)
            for c in season.cohorts.values()
            for name, span in askings(season, c, early[c.id])
            if name == "H1"
        )
        natural = natural_days_h(season.site, season.first_day, season.last_day)
        spans.append(lines_run(partial(place_light, season, season.places["H1"], "H1", natural, asked)))

    spans: list[int] = []
    for season in (few, few, many):  # the first for what is worked out once
        light(season)
    assert spans[2] < spans[1] + 3 * 180


def test_of_very_many_clashes_a_cohort_is_shown_its_own_and_how_many_more_there_are() -> None:
    plan = one_house_plan(60)
    once = clashes_once(plan.clashes, plan.timelines)
    texts = {name: cohort_texts(once, name) for name in plan.timelines}
    (held,) = (group for group in once.alike if group.of == "held back")
    assert len(held.cohorts) == len(held.clashes) == 30
    assert " and 18 more, each: is held back " in group_text(held)
    assert not any("is held back" in text for told in texts.values() for text in told)
    assert texts["X0"][-1].endswith("; X1 X3 X5 X7 +26 held back")
    assert max(map(len, texts.values())) <= 4


def test_a_reason_names_some_of_very_many_cohorts_and_how_many_more() -> None:
    reason = one_house_plan(60).timelines["X1"].stages["trigger"].reason
    assert "is lit for A1, X0, X2" in reason
    assert reason.endswith("and 19 more")


def test_ids_of_tasks_do_not_run_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("calendar_tui.planning.tasks.by_chore._ID_LENGTH", 1)
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

    monkeypatch.setattr("calendar_tui.planning.changes.task_moves.task_id", refused)
    path = tmp_path / "s.toml"
    path.write_text(text_of(3), encoding="utf-8")
    assert "saved tasks differ from the plan" in run("check", str(path)).out
