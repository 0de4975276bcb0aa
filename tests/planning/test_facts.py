"""What is found of several cohorts in one act: each its own, as planned, or the same for all."""

from __future__ import annotations

import random
from datetime import timedelta
from typing import Any

import pytest

from calendar_tui.planning.changes.facts import (
    AS_PLANNED,
    Facts,
    fact_with,
    found_text,
    offered_text,
    own_amount,
    typed_facts,
)
from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.changes.slips import record_dates, tick_tasks
from calendar_tui.planning.changes.ticks import StageDay, Tick, tick_change
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Task
from calendar_tui.season.refusal import Refusal
from tests.trial_season import PLANTED, trial_data

TODAY = PLANTED + timedelta(days=1)
PLANT = {
    "id": "plant",
    "what": "Transplant",
    "stage": "transplant",
    "records": "transplant",
    "shows": ["plants"],
}
SOW = {"id": "sow", "what": "Sow", "stage": "seeding", "records": "seeding", "shows": ["seeds"]}
COUNT = {"id": "count", "what": "Count", "stage": "transplant", "asks": "count"}


def plan_of(**plant: Any) -> Plan:
    """Twelve cohorts of 24 plants, but A2H1a of 30 and B2H1a of no known number, with their work."""
    data = trial_data(54, tasks=False)
    data["cohort"] = [c for c in data["cohort"] if c["id"][1:4] in ("2H1", "2F1")]
    for cohort in data["cohort"]:
        if cohort["id"] == "A2H1a":
            cohort["plants"] = 30
        if cohort["id"] == "B2H1a":
            del cohort["plants"]
    data["chore"] = [{**PLANT, **plant}, SOW, COUNT]
    season = read_season(data).season
    assert season is not None
    data = apply_edits(data, refresh(make_plan(season, TODAY)).change.edits)
    season = read_season(data).season
    assert season is not None
    return make_plan(season, TODAY)


@pytest.fixture(scope="module")
def alone() -> Plan:
    return plan_of()


def tasks(plan: Plan, chore: str) -> dict[str, Task]:
    """The tasks of a chore by the first of their cohorts."""
    return {t.about[0]: t for t in plan.season.tasks if t.chore == chore}


@pytest.mark.parametrize(
    ("texts", "others", "one"),
    [
        (["24"], "24", "24"),
        (["="], AS_PLANNED, AS_PLANNED),
        ([" As  Planned "], AS_PLANNED, AS_PLANNED),
        (["= A2F1a=23"], AS_PLANNED, "23"),
        (["=", "a2f1a = 23 alive "], AS_PLANNED, "23 alive"),
        (["A2F1a=23 C2F1a=0"], "", "23"),
        (["A2F1a==", "24 of them"], "24 of them", AS_PLANNED),
        (["pH=6.1, n=3"], "pH=6.1, n=3", "pH=6.1, n=3"),
        (["AFa=3"], "AFa=3", "AFa=3"),
        (["all (A2F1a=3)"], "all (A2F1a=3)", "all (A2F1a=3)"),
        ([""], "", ""),
        ([], "", ""),
    ],
)
def test_what_was_found_may_be_typed_for_all_and_for_one(
    alone: Plan, texts: list[str], others: str, one: str
) -> None:
    facts = typed_facts(texts, alone.season, list(alone.season.cohorts))
    assert (facts.of("B2F1a"), facts.of("A2F1a")) == (others, one)


@pytest.mark.parametrize(
    ("texts", "said"),
    [
        (["24", "25"], '"24" and "25" are both for all; name the cohort of one, such as A2F1a="25"'),
        (["=", "24"], '"as planned" and "24" are both for all'),
        (["A2F1a=23", "A2F1a=24"], 'A2F1a is given twice, "23" and "24"; write one of them'),
        (["A2H1a=23"], "A2H1a=23: this work is not of A2H1a. It is of A2F1a B2F1a"),
        (["A22F1a=23"], 'A22F1a= names no cohort of this season; did you mean "A2F1a"?'),
        (["= A2F1a="], "A2F1a= has nothing behind it; write what was found, such as A2F1a=23"),
    ],
)
def test_what_is_typed_twice_or_of_another_cohort_is_refused(
    alone: Plan, texts: list[str], said: str
) -> None:
    with pytest.raises(Refusal) as refused:
        typed_facts(texts, alone.season, ["A2F1a", "B2F1a"])
    assert str(refused.value).startswith(said)


def test_what_was_planned_of_a_cohort_is_what_its_work_shows_else_its_plants(alone: Plan) -> None:
    names = ("A2F1a", "A2H1a", "B2H1a")
    assert [own_amount(alone.season, tasks(alone, "plant")[n], n) for n in names] == [
        "24 plants",
        "30 plants",
        "",
    ]
    assert [own_amount(alone.season, tasks(alone, "count")[n], n) for n in names] == [
        "24 plants",
        "30 plants",
        "",
    ]
    sown = own_amount(alone.season, tasks(alone, "sow")["A2F1a"], "A2F1a")
    assert sown == tasks(alone, "sow")["A2F1a"].amount
    assert sown.endswith(" seeds")
    shared = plan_of(together="day")
    (task,) = tasks(shared, "plant").values()
    assert [own_amount(shared.season, task, n) for n in names] == ["24 plants", "30 plants", ""]


def test_where_nothing_was_planned_that_is_told(alone: Plan) -> None:
    with pytest.raises(Refusal, match='B2H1a Count: no amount is planned, so "as planned" does not apply'):
        fact_with(alone.season, tasks(alone, "count")["B2H1a"], Facts(AS_PLANNED))
    with pytest.raises(Refusal, match="B2H1a Transplant: no amount is planned"):
        record_dates(alone, [StageDay("B2H1a", "transplant", TODAY, AS_PLANNED)])


@pytest.mark.parametrize(
    ("facts", "text"),
    [
        (Facts("all stand"), "all stand"),
        (Facts(), ""),
        (Facts(AS_PLANNED), "24 plants each"),
        (Facts(AS_PLANNED, {"C2F1a": "23"}), "A2F1a B2F1a D2F1a E2F1a F2F1a: 24 plants each; C2F1a: 23"),
        (Facts("", {"C2F1a": "23", "A2F1a": "0"}), "A2F1a: 0; C2F1a: 23"),
        (Facts("", {"C2F1a": "23", "A2F1a": "23"}), "A2F1a C2F1a: 23 each"),
        (Facts("24", {"C2F1a": "23"}), "A2F1a B2F1a D2F1a E2F1a F2F1a: 24 each; C2F1a: 23"),
    ],
)
def test_a_task_of_several_cohorts_has_each_ones_own_alike_ones_together(facts: Facts, text: str) -> None:
    plan = plan_of(together="place")
    task = tasks(plan, "plant")["A2F1a"]
    assert fact_with(plan.season, task, facts) == text
    proposal = record_dates(plan, [StageDay(n, "transplant", TODAY, facts.of(n)) for n in task.about])
    (done,) = (t for t in proposal.plan.season.tasks if t.id == task.id)
    assert (done.state, done.fact) == ("done", text)
    ticked = tick_tasks(plan, [Tick(task, TODAY, text)]).plan.season
    assert ticked.tasks == proposal.plan.season.tasks


@pytest.mark.parametrize("seed", range(6))
def test_cohorts_recorded_together_with_their_counts_are_as_recorded_one_by_one(
    alone: Plan, seed: int
) -> None:
    chance = random.Random(seed)
    names = [n for n in chance.sample(list(alone.season.cohorts), 6) if n != "B2H1a"]
    records = [
        StageDay(name, "transplant", TODAY, chance.choice(["", "23", "24 plants", AS_PLANNED, AS_PLANNED]))
        for name in names
    ]
    together, singly = record_dates(alone, records).plan.season, alone
    for record in records:
        singly = record_dates(singly, [record]).plan
    assert together.tasks == singly.season.tasks
    assert together.cohorts == singly.season.cohorts
    by_cohort = {name: task.fact for name, task in tasks(make_plan(together, TODAY), "plant").items()}
    for record in records:
        planned = own_amount(alone.season, tasks(alone, "plant")[record.cohort], record.cohort)
        assert by_cohort[record.cohort] == (planned if record.fact == AS_PLANNED else record.fact)


def test_what_was_found_is_told_alike_once() -> None:
    plan = plan_of()
    count = tasks(plan, "count")
    ticks = [
        Tick(count[n], TODAY, fact_with(plan.season, count[n], Facts(AS_PLANNED)))
        for n in ("A2F1a", "B2F1a", "A2H1a")
    ]
    assert tick_change(ticks[:2]).what.endswith(": 24 plants each")
    assert tick_change(ticks[:1]).what.endswith(": 24 plants")
    assert tick_change(ticks).what.endswith(": A2F1a B2F1a: 24 plants each; A2H1a: 30 plants")
    records = [StageDay(n, "transplant", TODAY, AS_PLANNED) for n in ("A2F1a", "B2F1a", "A2H1a")]
    assert record_dates(plan, records).change.what.endswith(": A2F1a B2F1a: 24 plants each; A2H1a: 30 plants")
    assert found_text([]) == ""


def test_what_is_offered_is_told_alike_once_with_its_cohorts() -> None:
    assert offered_text(["24 plants", "24 plants"]) == "24 plants"
    assert offered_text(["24 plants", "30 plants", "24 plants", ""]) == "24 plants (2), 30 plants (1)"
    assert offered_text(["", ""]) == ""
