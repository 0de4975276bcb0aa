"""Work that comes once a seed lot or clone line, or once a day, wherever its cohorts stand."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.changes.slips import HOLD, record_date
from calendar_tui.planning.changes.task_moves import task_moves
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import apply_edits
from tests.planning.acts import plan_date
from tests.planning.farm import TODAY, farm_data, season_of

ORDER = {
    "id": "order",
    "what": "Order seed or clones",
    "stage": "transplant",
    "without_nursery": "seeding",
    "offset_d": -30,
    "together": "variety",
    "hours": 2.0,
    "per": "place",
    "shows": ["plants"],
}
TEST = {**ORDER, "id": "test", "what": "Germination test", "once": "first", "starts": ["seed"]}
CREW = {
    "id": "crew",
    "what": "Confirm the planting crew",
    "stage": "transplant",
    "offset_d": -28,
    "together": "day",
}


def data_of(*chores, later=14, also=True):
    """The farm; A2 of amber seed in the field beside A1 in the house, planted so many days later."""
    data = farm_data()
    first = data["cohort"][0]
    if also:
        planned = {
            name: day + timedelta(days=later)
            for name, day in first["planned"].items()
            if name != "lights_off"
        }
        data["cohort"].append(
            {**first, "id": "A2", "place": "F1", "plants": 80, "planned": planned, "recorded": {}}
        )
    data["chore"] = list(chores)
    return data


def plan_of(*chores, **how):
    return make_plan(season_of(data_of(*chores, **how)), TODAY)


def tasks_of(plan):
    return [m.new for m in refresh(plan).tasks]


def saved(data):
    plan = make_plan(season_of(data), TODAY)
    data = apply_edits(data, refresh(plan).change.edits)
    return data, make_plan(season_of(data), TODAY)


def in_state(plan, state, *cohorts):
    """The plan with the tasks of these cohorts, or of all, in another state."""
    tasks = tuple(
        replace(t, **state) if not cohorts or set(cohorts) & set(t.about) else t for t in plan.season.tasks
    )
    return make_plan(replace(plan.season, tasks=tasks), TODAY)


def test_seed_is_ordered_once_a_lot_and_cuttings_of_the_variety_apart():
    """C1 is from cuttings of the variety of F1: another order."""
    found = {t.cohort: t for t in tasks_of(plan_of(ORDER))}
    assert {name: t.about for name, t in found.items()} == {
        "A1": ("A1", "A2"),
        "F1": ("F1",),
        "C1": ("C1",),
        "D1": ("D1",),
    }
    assert (found["A1"].date, found["A1"].hours, found["A1"].amount) == (
        date(2026, 10, 27),
        2.0,
        "200 plants",
    )
    assert (found["A1"].place, found["F1"].place) == ("N1", "N1")


def test_the_crew_is_confirmed_once_a_planting_day_over_all_places():
    found = tasks_of(plan_of(CREW, later=14))
    assert [(t.date, t.about) for t in found] == [
        (date(2026, 10, 29), ("A1", "F1", "C1")),
        (date(2026, 11, 12), ("A2",)),
    ]


def test_an_order_keeps_its_id_when_its_first_cohort_is_planted_after_the_other():
    data, plan = saved(data_of(ORDER, later=14))
    before = next(t for t in plan.season.tasks if t.cohort == "A1")
    moved = plan_date(plan, plan.season.cohorts["A1"], "transplant", date(2026, 12, 20))
    after = next(t for t in moved.plan.season.tasks if t.cohort == "A1")
    assert (after.id, after.about) == (before.id, ("A1", "A2"))
    assert (before.date, after.date) == (date(2026, 10, 27), date(2026, 11, 10))
    anew = make_plan(season_of(apply_edits(data, moved.change.edits)), TODAY)
    assert refresh(anew).tasks == ()


@pytest.mark.parametrize("chore", [ORDER, TEST, CREW])
def test_a_slip_of_a_cohort_elsewhere_leaves_the_list_in_step(chore):
    data, plan = saved(data_of(chore))
    cohort = plan.season.cohorts["A1"]
    late = record_date(plan, cohort, "transplant", date(2026, 12, 6), HOLD)
    anew = make_plan(season_of(apply_edits(data, late.change.edits)), TODAY)
    assert refresh(anew).tasks == ()


@pytest.mark.parametrize("state", [{"state": "done"}, {"state": "skipped"}, {"moved": True}])
def test_a_cohort_that_comes_after_an_order_is_ordered_for_again_but_not_tested_again(state):
    for chore, more in ((ORDER, [("A2",)]), (TEST, [])):
        _, plan = saved(data_of(chore, also=False))
        now = make_plan(replace(plan_of(chore).season, tasks=in_state(plan, state).season.tasks), TODAY)
        assert [m.new.about for m in refresh(now).tasks] == more


def test_orders_that_were_made_cohort_by_cohort_stand_and_the_open_ones_become_one():
    apart = {key: value for key, value in ORDER.items() if key != "together"}
    _, plan = saved(data_of(apart))
    plan = in_state(plan, {"state": "done"}, "F1")
    together = season_of(data_of(ORDER)).chores
    now = make_plan(replace(plan.season, chores=together), TODAY)
    moves = [(m.old.about if m.old else None, m.new.about if m.new else None) for m in refresh(now).tasks]
    assert sorted(moves, key=str) == [(("A1",), ("A1", "A2")), (("A2",), None)]
    slip = plan_date(now, now.season.cohorts["A2"], "transplant", date(2026, 12, 20))
    assert {t.about for t in slip.plan.season.tasks} == {("A1", "A2"), ("F1",), ("C1",), ("D1",)}
    assert not [m for m in slip.tasks if m.old is None]


def test_where_nothing_moves_nothing_is_laid_out():
    _, plan = saved(data_of(ORDER, CREW))
    assert task_moves(plan, set()) == ()


def test_an_order_not_made_keeps_the_date_it_was_due_when_the_earliest_of_its_cohorts_is_planted_late():
    """A2 is planted before A1, by which the task is known."""
    _, plan = saved(data_of(ORDER, later=-14))
    before = next(t for t in plan.season.tasks if t.cohort == "A1")
    assert before.date == date(2026, 10, 13)
    late = record_date(plan, plan.season.cohorts["A2"], "transplant", date(2026, 11, 16), HOLD)
    assert next(t for t in late.plan.season.tasks if t.id == before.id).date == before.date
