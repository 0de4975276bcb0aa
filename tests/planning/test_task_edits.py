"""Tasks skipped, moved and noted by hand: pure edits, several tasks in one change."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.handing_on.words.done_text import DEEDS
from calendar_tui.planning.changes.task_edits import (
    move_change,
    near_season,
    note_change,
    plan_keeps,
    reopen_change,
    settled_before,
    skip_change,
    stage_stays,
    task_name,
)
from calendar_tui.planning.changes.ticks import Tick, tick_change
from calendar_tui.season.edits import Edit, apply_edits, outcome
from calendar_tui.season.records import Task
from calendar_tui.season.refusal import Refusal

DAY = date(2026, 12, 8)
SCOUT = Task(id="psrs", date=DAY, what="Scout pests", cohort="A1", place="H1")
TURN = Task(id="k66g", date=DAY, what="Turn trays", cohorts=("A1", "B2"), place="N1", why="Sun 6 Dec is off")


def _data(*tasks: Task) -> dict:
    keys = ("id", "date", "what", "state", "moved", "note", "why", "done_on")
    return {"task": [{k: getattr(t, k) for k in keys if getattr(t, k) not in ("", None)} for t in tasks]}


def _after(change, *tasks: Task) -> dict[str, dict]:
    return {row["id"]: row for row in apply_edits(_data(*tasks), change.edits)["task"]}


def test_several_are_skipped_in_one_change_with_the_reason():
    change = skip_change([SCOUT, TURN], "  rain\nall day ")
    assert change.what == "skipped 2 tasks (psrs, k66g): rain all day"
    after = _after(change, SCOUT, TURN)
    assert {(r["state"], r["note"]) for r in after.values()} == {("skipped", "rain all day")}


def test_a_change_names_a_task_by_its_cohorts_or_else_its_place():
    assert task_name(TURN) == "k66g Turn trays (A1 B2)"
    assert task_name(Task(id="wlk2", date=DAY, what="Walk", place="H1")) == "wlk2 Walk (H1)"
    assert task_name(Task(id="twin", date=DAY, what="Buy twine")) == "twin Buy twine"


def test_a_moved_task_stays_by_hand_and_loses_why_it_was_not_on_its_day():
    after = _after(move_change([(TURN, date(2026, 12, 11))]), TURN)["k66g"]
    assert (after["date"], after["moved"]) == (date(2026, 12, 11), True)
    assert "why" not in after


def test_a_move_to_its_own_date_changes_nothing():
    assert move_change([(SCOUT, DAY)]).edits == ()


def test_moves_to_several_dates_are_named_from_first_to_last():
    change = move_change([(SCOUT, date(2026, 12, 12)), (TURN, date(2026, 12, 10))])
    assert change.what == "moved 2 tasks (psrs, k66g) to dates from Thu 10 Dec 2026 to Sat 12 Dec 2026"


@pytest.mark.parametrize(("verb", "state"), [("skip", "done"), ("move", "done"), ("move", "skipped")])
def test_what_is_settled_is_not_skipped_or_moved(verb, state):
    settled = replace(SCOUT, state=state)
    with pytest.raises(Refusal, match=f"psrs is {state}; to {verb} it all the same, open it again first"):
        skip_change([settled], "") if verb == "skip" else move_change([(settled, date(2026, 12, 9))])


def test_a_skipped_task_takes_another_reason():
    skipped = replace(SCOUT, state="skipped", note="rain")
    assert [e.field for e in skip_change([skipped], "hail").edits] == [("note",)]
    assert skip_change([skipped], "").edits == ()


def test_a_reason_does_not_write_over_a_note():
    noted = replace(SCOUT, note="two trays short")
    assert _after(skip_change([noted], "rain"), noted)["psrs"]["note"] == "two trays short; rain"
    assert _after(skip_change([noted], ""), noted)["psrs"]["note"] == "two trays short"


def test_a_note_replaces_the_one_before_and_can_be_taken_off():
    noted = replace(SCOUT, note="two trays short")
    assert _after(note_change([noted], "three short"), noted)["psrs"]["note"] == "three short"
    assert "note" not in _after(note_change([noted], " "), noted)["psrs"]
    assert note_change([SCOUT], "").edits == ()


def test_opening_again_leaves_the_open_alone():
    done = replace(SCOUT, state="done", done_on=DAY)
    after = _after(reopen_change([done, TURN]), done, TURN)
    assert "state" not in after["psrs"]
    assert "done_on" not in after["psrs"]


def test_only_the_work_of_a_stage_leaves_its_date_behind():
    works = {"plant": "transplant", "scout": ""}
    plant, scout = replace(SCOUT, chore="plant"), replace(SCOUT, chore="scout")
    later = date(2026, 12, 9)
    kept = list(plan_keeps(works, [(plant, later), (scout, later), (replace(plant, date=later), later)]))
    assert kept == [
        "A1 transplant itself stays where it is planned; with all that follows it moves by: "
        "calendar-tui plan A1 transplant 2026-12-09"
    ]


def test_of_shared_work_every_cohort_is_told_with_its_stage():
    works = {"plant": "lights_off"}
    shared = replace(SCOUT, chore="plant", cohort="", cohorts=("A1", "B1"))
    (kept,) = plan_keeps(works, [(shared, date(2026, 12, 9))])
    assert kept.startswith("A1 B1 lights off itself stays")
    assert kept.endswith(": calendar-tui plan A1 B1 lights_off 2026-12-09")
    assert [
        text.split(";")[0] for text in stage_stays(works, {"A1": {"lights_off": DAY}}, [shared], "skip")
    ] == ["B1 lights off itself stays planned"]


@given(st.lists(st.sampled_from([SCOUT, TURN]), unique=True, min_size=1), st.text("ab \t", max_size=6))
def test_edits_name_only_the_tasks_asked_for(tasks, words):
    for change in (skip_change(tasks, words), note_change(tasks, words), reopen_change(tasks)):
        assert {e.ident[0] for e in change.edits} <= {t.id for t in tasks}
        assert {e.kind for e in change.edits} <= {"task"}


def test_what_was_settled_otherwise_by_the_time_of_the_save_is_told():
    skipped = {"task": [{"id": "psrs", "state": "skipped"}, {"id": "k66g"}, {"id": "dv7b", "state": "done"}]}
    edits = [Edit("set", "task", (name,), ("state",), "done") for name in ("psrs", "k66g", "dv7b")]
    back = outcome(skipped, edits).back
    assert list(settled_before(edits, back)) == ["psrs was skipped before; it is done now"]


def test_several_tasks_on_one_date_are_named_with_that_date():
    day = date(2026, 12, 12)
    change = move_change([(SCOUT, day), (TURN, day)])
    assert change.what == "moved 2 tasks (psrs, k66g) to Sat 12 Dec 2026"
    assert move_change([(SCOUT, day)]).what == "moved psrs Scout pests (A1) to Sat 12 Dec 2026"


@pytest.mark.parametrize(("year", "near"), [(2024, False), (2025, True), (2028, True), (2029, False)])
def test_a_task_is_put_into_the_years_of_the_season_or_those_beside_them(year, near):
    first, last, day = date(2026, 9, 1), date(2027, 6, 30), date(year, 7, 1)
    if near:
        assert near_season(day, first, last) == day
    else:
        with pytest.raises(Refusal, match=f"{day.year} is far from the season, 1 Sep 2026 to 30 Jun 2027"):
            near_season(day, first, last)


def test_a_skipped_work_leaves_its_stage_planned_and_an_opened_one_leaves_it_recorded():
    works, plant = {"plant": "transplant"}, replace(SCOUT, chore="plant")
    no_date, recorded = {"A1": {}}, {"A1": {"transplant": DAY}}
    (skipped,) = stage_stays(works, no_date, [plant], "skip")
    assert skipped.startswith("A1 transplant itself stays planned; ")
    assert skipped.endswith(": calendar-tui plan A1 transplant DATE")
    (opened,) = stage_stays(works, recorded, [plant], "reopen")
    assert opened.startswith("A1 transplant itself stays recorded on Tue 8 Dec 2026; ")
    assert opened.endswith(": calendar-tui record A1 transplant DATE")


def test_of_other_work_no_stage_is_told():
    works, plant = {"plant": "transplant"}, replace(SCOUT, chore="plant")
    recorded = {"A1": {"transplant": DAY}}
    quiet = [replace(SCOUT, chore="scout"), replace(plant, cohort="")]
    assert list(stage_stays(works, recorded, quiet, "reopen")) == []
    assert list(stage_stays(works, {}, quiet, "skip")) == []
    # One opened again whose stage was never recorded leaves nothing behind.
    assert list(stage_stays(works, {}, [plant], "reopen")) == []


def test_each_change_of_tasks_begins_with_a_deed_and_each_deed_begins_one():
    task = SCOUT
    done, noted = replace(task, state="done"), replace(task, note="wet")
    changes = (
        skip_change([task], ""),
        move_change([(task, date(2026, 12, 9))]),
        reopen_change([done]),
        note_change([task], "wet"),
        note_change([noted], ""),
        tick_change([Tick(task, task.date)]),
        tick_change([Tick(done, task.date, "3")]),
    )
    assert {change.what.split()[0] for change in changes} == DEEDS
