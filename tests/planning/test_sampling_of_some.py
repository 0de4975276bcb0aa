"""A sampling plan of some cohorts: the others are sampled by their chore, and keep those tasks whatever is changed."""

from dataclasses import replace

import pytest

from calendar_tui.planning.changes.replan import differing_tasks
from calendar_tui.planning.changes.task_moves import everyone, task_moves
from calendar_tui.planning.plan import make_plan
from tests.planning.sampled_farm import TODAY, sampled


def with_its_tasks(plan):
    tasks = tuple(move.new for move in task_moves(plan, everyone(plan)))
    return make_plan(replace(plan.season, tasks=tasks), TODAY)


@pytest.mark.parametrize("touched", [{"B1"}, {"A1"}, {"A1", "B1"}])
def test_a_change_of_one_cohort_leaves_the_sampling_of_those_that_no_plan_names(touched):
    plan = with_its_tasks(sampled({"id": "weekly", "weekday": "tue", "laboratory": "lab", "cohorts": ["B1"]}))
    own = [task for task in plan.season.tasks if task.cohort == "A1"]
    trips = [task for task in plan.season.tasks if task.cohorts]
    assert own
    assert trips
    assert not differing_tasks(plan)
    assert task_moves(plan, touched) == ()


def test_a_cohort_taken_into_the_plan_loses_the_tasks_of_its_chore():
    before = with_its_tasks(
        sampled({"id": "weekly", "weekday": "tue", "laboratory": "lab", "cohorts": ["B1"]})
    )
    samplings = {name: replace(one, cohorts=("A1", "B1")) for name, one in before.season.samplings.items()}
    plan = make_plan(replace(before.season, samplings=samplings), TODAY)
    moves = task_moves(plan, everyone(plan))
    fallen = {m.old.id for m in moves if m.new is None}
    assert {t.id for t in before.season.tasks if t.cohort == "A1"} <= fallen
    assert {m.new.cohorts for m in moves if m.new} == {("A1", "B1")}
