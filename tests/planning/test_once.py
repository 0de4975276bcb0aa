"""Work that comes once a place or season, with the first or the last cohort, and work in a nursery that plants have left."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.changes.slips import SHIFT, record_date
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import apply_edits
from tests.planning.acts import plan_date
from tests.planning.farm import TODAY, season_of
from tests.planning.together import plan_of, saved_plan, tasks_of

# F1, C1 and D1 stand in the field F1; A1 alone in the house H1; A1, F1 and C1 pass through the nursery N1.
CLEAR = {
    "id": "clear",
    "what": "Lift mulch and drip",
    "stage": "dried",
    "offset_d": 7,
    "at": "place",
    "together": "place",
    "once": "last",
}
SOIL = {
    "id": "soil",
    "what": "Test the soil",
    "stage": "transplant",
    "without_nursery": "seeding",
    "offset_d": -60,
    "at": "place",
    "together": "place",
    "once": "first",
}
WASH = {
    "id": "wash",
    "what": "Wash the benches",
    "stage": "transplant",
    "offset_d": 1,
    "at": "nursery",
    "together": "place",
}


def dried(plan, *cohorts):
    return [plan.timelines[name].likely("dried") for name in cohorts]


def test_a_place_is_cleared_once_after_the_last_of_its_cohorts():
    _, plan = plan_of(CLEAR, later=20)
    found = {t.place: t for t in tasks_of(CLEAR, later=20)}
    assert len(found) == len(tasks_of(CLEAR, later=20)) == 2
    field = found["F1"]
    assert (field.cohort, field.cohorts, field.n) == ("", ("F1", "C1", "D1"), 1)
    assert field.date == max(dried(plan, "F1", "C1", "D1")) + timedelta(days=7)
    assert found["H1"].cohorts == ("A1",)


def test_the_soil_of_a_place_is_tested_once_before_the_first_of_its_cohorts():
    """D1 is sown in the field on 1 November, before the others are planted there."""
    field = [t for t in tasks_of(SOIL) if t.place == "F1"]
    assert [(t.date, t.cohorts) for t in field] == [(date(2026, 9, 2), ("F1", "C1", "D1"))]


def test_clearing_a_place_keeps_its_id_when_a_cohort_slips():
    data, plan = saved_plan(CLEAR)
    before = next(t for t in plan.season.tasks if t.place == "F1")
    moved = plan_date(plan, plan.season.cohorts["C1"], "harvest", date(2027, 5, 20))
    after = next(t for t in moved.plan.season.tasks if t.place == "F1")
    assert after.id == before.id
    assert after.date > before.date
    assert after.date == max(dried(moved.plan, "F1", "C1", "D1")) + timedelta(days=7)
    anew = make_plan(season_of(apply_edits(data, moved.change.edits)), TODAY)
    assert refresh(anew).tasks == ()


@pytest.mark.parametrize("state", [{"state": "done"}, {"state": "skipped"}, {"moved": True}])
def test_a_place_that_was_cleared_is_cleared_again_after_a_cohort_that_came_later(state):
    data, plan = plan_of(CLEAR)
    data["cohort"] = [c for c in data["cohort"] if c["id"] != "C1"]
    plan = make_plan(season_of(data), TODAY)
    tasks = tuple(replace(m.new, **state) for m in refresh(plan).tasks)
    late = plan_of(CLEAR, later=60)[1].season
    plan = make_plan(replace(late, tasks=tasks), TODAY)
    found = [m.new for m in refresh(plan).tasks]
    assert [(t.place, t.cohorts, t.n) for t in found] == [("F1", ("C1",), 2)]
    assert found[0].date == dried(plan, "C1")[0] + timedelta(days=7)
    saved = make_plan(replace(plan.season, tasks=(*tasks, *found)), TODAY)
    assert refresh(saved).tasks == ()


def test_a_soil_test_that_is_done_stands_for_cohorts_that_come_later():
    data, plan = plan_of(SOIL)
    data["cohort"] = [c for c in data["cohort"] if c["id"] != "C1"]
    plan = make_plan(season_of(data), TODAY)
    tasks = tuple(replace(m.new, state="done") for m in refresh(plan).tasks)
    later = plan_of(SOIL, later=60)[1].season
    assert refresh(make_plan(replace(later, tasks=tasks), TODAY)).tasks == ()


def test_clearing_that_was_moved_by_hand_stays_where_it_was_put():
    _, plan = saved_plan(CLEAR)
    by_hand = tuple(replace(t, date=date(2027, 6, 20), moved=True) for t in plan.season.tasks)
    plan = make_plan(replace(plan.season, tasks=by_hand), TODAY)
    moved = plan_date(plan, plan.season.cohorts["C1"], "transplant", date(2026, 12, 20))
    assert moved.tasks == ()


@pytest.mark.parametrize(("once", "pick"), [("first", min), ("last", max)])
def test_work_of_the_season_comes_with_its_first_or_its_last_cohort(once, pick):
    """Whatever the stage: the key says it."""
    for stage in ("transplant", "dried"):
        chore = {"id": "x", "what": "x", "stage": stage, "together": "season", "once": once}
        _, plan = plan_of(chore, later=9)
        dates = [day for t in plan.timelines.values() if (day := t.likely(stage))]
        assert [t.date for t in tasks_of(chore, later=9)] == [pick(dates)]


def test_a_cohort_that_is_sown_in_place_has_no_work_in_a_nursery():
    trays = {**WASH, "stage": "seeding"}
    assert [(t.place, t.about) for t in tasks_of(trays)] == [("N1", ("A1", "F1"))]


def test_repeated_work_of_the_season_that_was_not_done_keeps_its_dates_when_the_planting_is_recorded_late():
    ask = {"id": "ask", "what": "Ask", "stage": "transplant", "offset_d": -21, "repeat": "FREQ=WEEKLY"}
    _, plan = saved_plan(ask | {"until": "transplant", "together": "season"})
    before = [t.date for t in plan.season.tasks]
    late = plan
    for name in ("A1", "F1", "C1"):
        late = record_date(late, late.season.cohorts[name], "transplant", date(2026, 11, 29), SHIFT).plan
    assert [t.date for t in late.season.tasks][: len(before)] == before


def test_benches_that_came_free_are_washed_in_the_nursery_after_the_plants_have_left_it():
    tasks = tasks_of(WASH, later=5)
    assert [(t.place, t.date, t.about) for t in tasks] == [
        ("N1", date(2026, 11, 27), ("A1", "F1")),
        ("N1", date(2026, 12, 2), ("C1",)),
    ]


def test_lamps_that_were_hung_cohort_by_cohort_are_not_hung_again_when_the_cohort_slips():
    """The chore comes once a place from now on; what was done for a cohort of the place stands for it."""
    apart = {k: v for k, v in SOIL.items() if k not in ("together", "once")}
    _, plan = saved_plan(apart)
    done = tuple(replace(t, state="done") if t.cohort == "A1" else t for t in plan.season.tasks)
    chore = replace(plan.season.chores["soil"], together="place", once="first")
    plan = make_plan(replace(plan.season, tasks=done, chores={"soil": chore}), TODAY)
    late = plan_date(plan, plan.season.cohorts["A1"], "transplant", date(2026, 12, 20))
    assert [m.new for m in late.tasks if m.old is None and m.task.place == "H1"] == []


PAPER = {"id": "paper", "what": "Licence", "stage": "transplant", "offset_d": -60, "together": "season"}


@pytest.mark.parametrize("chore", [SOIL, PAPER])
def test_work_that_was_not_done_before_the_first_planting_keeps_its_date_when_that_is_recorded_late(chore):
    """It was due on the day that everybody was told, and not so many days before the late planting."""
    _, plan = saved_plan(chore)
    before = [t for t in plan.season.tasks if t.place in ("H1", "")]
    assert len(before) == 1
    late = plan
    for name in ("A1", "F1", "C1"):
        if name in late.season.cohorts:
            late = record_date(late, late.season.cohorts[name], "transplant", date(2026, 12, 5), SHIFT).plan
    after = [t for t in late.season.tasks if t.place in ("H1", "")]
    assert [t.date for t in after] == [t.date for t in before]


def test_work_that_is_counted_back_from_a_planting_to_come_moves_with_it():
    _, plan = saved_plan(SOIL)
    later = plan_date(plan, plan.season.cohorts["A1"], "transplant", date(2026, 12, 20))
    (moved,) = later.tasks
    assert (moved.new.date - moved.old.date).days == 24
