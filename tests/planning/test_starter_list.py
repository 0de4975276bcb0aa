"""What a later starter list changes for a season made with an earlier one, and taking it over: one change, one undo."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.changes.starter_list import keep_own, reminder, starter_changes, take_over
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.reading import read_starter
from tests.planning.farm import TODAY, farm_data, season_of

CUT = {"id": "cut", "what": "Cut", "stage": "harvest", "hours": 3.0, "per": "100 plants", "who": "crew"}
CLEAR = {"id": "clear", "what": "Clear", "stage": "dried", "offset_d": 7, "caution": "Backs."}
CHECK = {"id": "check", "what": "Check", "stage": "harvest", "offset_d": -7}
WALK = {
    "id": "walk",
    "what": "Walk",
    "stage": "transplant",
    "offset_d": -20,
    "repeat": "FREQ=WEEKLY",
    "until": "flowering",
}
OLD = (CUT, CLEAR, CHECK)
NEW = (
    CUT | {"hours": 5.0},
    {k: v for k, v in CLEAR.items() if k != "caution"} | {"together": "place", "once": "last"},
    WALK,
)


def plan_with(*chores, today=TODAY, **season_keys):
    data = farm_data() | {"chore": [dict(c) for c in chores]}
    data["season"] = data["season"] | season_keys
    plan = make_plan(season_of(data), today)
    data = apply_edits(data, refresh(plan).change.edits)
    return data, make_plan(season_of(data), today)


def changes(plan):
    return starter_changes(plan.season.chores, read_starter("chore", OLD), read_starter("chore", NEW))


def taken(plan, *names):
    found = [c for c in changes(plan) if not names or c.id in names]
    return take_over(plan, found, read_starter("chore", NEW), 2, whole=not names)


def test_a_season_of_the_old_list_is_told_what_is_new_changed_and_gone():
    _, plan = plan_with(*OLD)
    assert [(c.id, c.kind, c.edited) for c in changes(plan)] == [
        ("cut", "changed", False),
        ("clear", "changed", False),
        ("walk", "new", False),
        ("check", "dropped", False),
    ]
    by_id = {c.id: [(f.key, f.shipped, f.own, f.now) for f in c.fields] for c in changes(plan)}
    assert by_id["cut"] == [("hours", 3, 3, 5)]
    assert by_id["clear"] == [
        ("together", None, None, "place"),
        ("once", None, None, "last"),
        ("caution", "Backs.", "Backs.", None),
    ]


def test_a_season_of_the_new_list_is_told_nothing():
    _, plan = plan_with(*NEW)
    assert changes(plan) == ()


def test_a_figure_of_ones_own_is_told_beside_both():
    _, plan = plan_with(CUT | {"hours": 4.0}, CLEAR, CHECK | {"offset_d": -9})
    cut, check = (next(c for c in changes(plan) if c.id == name) for name in ("cut", "check"))
    assert cut.edited
    assert [(f.shipped, f.own, f.now) for f in cut.fields] == [(3, 4, 5)]
    assert check.edited


def test_what_the_list_did_not_change_is_ones_own():
    """A role, a switch and a date from which a chore counts are no difference of the lists."""
    mine = CUT | {"hours": 5.0, "who": "Ana", "active": False, "since": date(2026, 11, 1)}
    _, plan = plan_with(mine, NEW[1])
    assert [c.id for c in changes(plan)] == ["walk"]


def test_a_chore_that_was_taken_out_is_not_offered_again():
    _, plan = plan_with(CUT, CHECK)
    assert "clear" not in {c.id for c in changes(plan)}


def test_taking_all_gives_the_chores_of_the_new_list_as_one_change():
    data, plan = plan_with(*OLD)
    found = taken(plan)
    after = season_of(apply_edits(data, found.change.edits))
    assert {n: replace(c, since=None) for n, c in after.chores.items()} == dict(read_starter("chore", NEW))
    assert after.starter_list == 2
    assert found.change.what == "from starter list 2: cut, clear, walk, check"
    assert {t.id: t for t in found.plan.season.tasks} == {t.id: t for t in after.tasks}
    assert refresh(make_plan(after, TODAY)).tasks == ()
    assert {m.task.chore for m in found.tasks} == {"cut", "clear", "check", "walk"}


def test_taking_one_moves_its_tasks_alone_and_the_rest_stays_to_be_taken():
    data, plan = plan_with(*OLD)
    found = taken(plan, "cut")
    assert {m.task.chore for m in found.tasks} == {"cut"}
    after = make_plan(season_of(apply_edits(data, found.change.edits)), TODAY)
    assert [c.id for c in changes(after)] == ["clear", "walk", "check"]
    assert after.season.starter_list is None


def test_figures_that_the_list_did_not_change_stay_when_it_is_taken_over():
    data, plan = plan_with(CUT | {"who": "Ana"}, CLEAR)
    after = season_of(apply_edits(data, taken(plan, "cut").change.edits))
    assert (after.chores["cut"].who, after.chores["cut"].hours) == ("Ana", 5.0)


def test_dates_before_today_are_left_out_and_told():
    data, plan = plan_with(*OLD)
    planted = min(t.likely("transplant") for t in plan.timelines.values() if t.likely("transplant"))
    assert planted - timedelta(days=20) < TODAY
    found = taken(plan, "walk")
    assert all(m.new.date >= TODAY for m in found.tasks)
    assert any("before today" in note for note in found.notes)
    assert season_of(apply_edits(data, found.change.edits)).chores["walk"].since == TODAY


def test_work_that_is_done_stands():
    _, plan = plan_with(*OLD)
    done = tuple(replace(t, state="done") if t.chore == "check" else t for t in plan.season.tasks)
    plan = make_plan(replace(plan.season, tasks=done), TODAY)
    found = taken(plan)
    kept = [t for t in found.plan.season.tasks if t.chore == "check"]
    assert kept == [t for t in done if t.chore == "check"]


def test_ones_own_that_gives_way_is_named():
    _, plan = plan_with(CUT | {"hours": 4.0}, CLEAR, CHECK)
    assert any("cut hours 4" in note for note in taken(plan).notes)


def test_keeping_ones_own_ends_the_reminder():
    data, plan = plan_with(*OLD)
    assert "1 new chore, 2 changed and 1 dropped" in reminder(
        plan.season, changes(plan), read_starter("chore", OLD), 2
    )
    found = keep_own(plan, 2)
    assert found.tasks == ()
    after = season_of(apply_edits(data, found.change.edits))
    assert after.starter_list == 2
    assert after.chores == plan.season.chores
    assert reminder(after, changes(plan), read_starter("chore", OLD), 2) == ""


@pytest.mark.parametrize("chores", [(), ({"id": "cut", "what": "My own", "stage": "harvest"},)])
def test_a_season_that_never_took_from_the_list_is_not_reminded(chores):
    _, plan = plan_with(*chores)
    assert reminder(plan.season, changes(plan), read_starter("chore", OLD), 2) == ""


def test_a_stage_that_no_chore_records_any_more_is_told():
    strip = {"id": "strip", "what": "Strip", "stage": "dried", "records": "dried"}
    _, plan = plan_with(strip)
    latest = read_starter(
        "chore", [{k: v for k, v in strip.items() if k != "records"}, strip | {"id": "dried"}]
    )
    found = starter_changes(plan.season.chores, read_starter("chore", [strip]), latest)
    assert take_over(plan, found, latest, 2, whole=True).notes == ()
    alone = take_over(plan, found[:1], latest, 2, whole=False)
    assert alone.notes == ("no chore records dried then: take one over that does, such as dried",)
