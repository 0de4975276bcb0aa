"""A change leaves the saved tasks in step, and one that moves no date leaves them as they are but for what it ticks."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.record_change import set_fields
from calendar_tui.planning.changes.replan import propose, refresh
from calendar_tui.planning.changes.slips import HOLD, record_date
from calendar_tui.planning.changes.task_moves import task_moves
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.tasks.amounts import SEED_FIGURES
from calendar_tui.planning.tasks.by_chore import task_key
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.refusal import Refusal
from tests.planning.acts import record_outage
from tests.planning.farm import season_of
from tests.planning.test_shared_tasks import BEDS, LICENCE, REPORT, SCOUT, plan_of

LATER = date(2027, 6, 1)
CHORES = (
    SCOUT,
    BEDS,
    LICENCE,
    REPORT,
    {"id": "sow", "what": "Sow", "stage": "seeding", "records": "seeding", "shows": ["seeds"]},
    {"id": "plant", "what": "Plant", "stage": "transplant", "records": "transplant"},
    {"id": "dark", "what": "Switch off", "stage": "lights_off", "lamps": True, "shows": ["kWh"]},
    {
        "id": "mulch",
        "what": "Mulch",
        "stage": "transplant",
        "offset_d": -3,
        "together": "place",
        "once": "first",
    },
    {"id": "clear", "what": "Clear", "stage": "harvest", "offset_d": 3, "together": "place", "once": "last"},
    {
        "id": "walk",
        "what": "Walk the farm",
        "stage": "transplant",
        "repeat": "FREQ=WEEKLY;INTERVAL=4",
        "until": "harvest",
        "together": "season",
    },
)


def saved_plan(states=()):
    """The farm with its tasks saved; states: numbers of tasks, each with what became of it."""
    data, plan = plan_of(*CHORES)
    data = apply_edits(data, refresh(plan).change.edits)
    for at, state in states:
        task = data["task"][at % len(data["task"])]
        task |= {"moved": True} if state == "moved" else {"state": state}
    return data, make_plan(season_of(data), LATER)


def season_wide(season):
    return sorted((t.chore, t.n, t.state) for t in season.tasks if not t.cohort and not t.place)


def test_a_night_without_lamps_that_moves_no_date_adds_no_task():
    data, plan = saved_plan()
    proposal = record_outage(plan, "H1", date(2026, 12, 1), date(2026, 12, 1))
    assert proposal.stages == ()
    assert proposal.tasks == ()
    assert season_wide(season_of(apply_edits(data, proposal.change.edits))) == season_wide(plan.season)


def test_a_figure_that_moves_ranges_and_no_likely_date_adds_no_task():
    data, plan = saved_plan([(0, "done")])
    proposal = figure(data, plan, "amber", "critical day", "14:44")
    assert proposal.stages
    assert all(move.old.likely == move.new.likely for move in proposal.stages)
    assert proposal.tasks == ()


def test_of_no_cohorts_no_task_differs():
    _, plan = saved_plan()
    assert task_moves(plan, set()) == ()
    assert propose(plan, plan.season, "nothing", ()).change.edits == ()


def test_a_figure_of_the_seed_changes_the_amounts_and_no_date():
    data, plan = saved_plan()
    proposal = figure(data, plan, "amber", "germination", "0.5")
    assert proposal.stages == ()
    (move,) = proposal.tasks
    assert (move.old.chore, move.old.cohort, move.old.date) == ("sow", "A1", move.new.date)
    assert (move.old.amount, move.new.amount) == ("153 seeds", "275 seeds")


def doubled_plan(**first):
    """The farm with every task of the whole season in its file twice; first: fields of the first ones."""
    data, _ = saved_plan()
    wide = [t for t in data["task"] if not t.get("cohort") and not t.get("place")]
    twice = [{**t, "id": f"two{n}"} for n, t in enumerate(wide)]
    data["task"] = [{**t, **first} if t in wide else t for t in data["task"]] + twice
    return data, make_plan(season_of(data), LATER), {t["id"] for t in twice}


@pytest.mark.parametrize("first", [{"state": "done"}, {"state": "skipped"}, {"moved": True}, {}])
def test_of_a_task_that_is_in_the_file_twice_the_open_second_one_falls_away(first):
    data, plan, twice = doubled_plan(**first)
    proposal = refresh(plan)
    assert {m.old.id for m in proposal.tasks} == twice
    assert all(m.new is None for m in proposal.tasks)
    assert any(f"{len(twice)} of these tasks are in the file twice" in note for note in proposal.notes)
    mended = make_plan(season_of(apply_edits(data, proposal.change.edits)), LATER)
    assert refresh(mended).tasks == ()


@pytest.mark.parametrize("second", [{"state": "done", "done_on": date(2026, 12, 1)}, {"note": "rang them"}])
def test_of_a_task_that_is_in_the_file_twice_the_one_that_was_worked_on_stays(second):
    data, _, twice = doubled_plan()
    data["task"] = [{**t, **second} if t["id"] in twice else t for t in data["task"]]
    proposal = refresh(make_plan(season_of(data), LATER))
    assert len(proposal.tasks) == len(twice)
    assert twice.isdisjoint(m.old.id for m in proposal.tasks)
    assert all(m.new is None for m in proposal.tasks)


def test_a_task_that_was_ticked_twice_stands_twice():
    data, _, _ = doubled_plan()
    data["task"] = [{**t, "state": "done"} for t in data["task"]]
    assert refresh(make_plan(season_of(data), LATER)).tasks == ()


FIGURES = st.one_of(
    st.tuples(
        st.sampled_from(["critical_day", "full_response_day"]), st.sampled_from(["13:00", "14:00", "14:40"])
    ),
    st.tuples(
        st.sampled_from(["juvenile_d", "inductive_days", "drying_d"]), st.sampled_from(["3", "8", "7, 8, 12"])
    ),
    st.tuples(st.just("flowering_to_harvest_d"), st.sampled_from(["45", "38, 45, 54", "30, 40, 60"])),
    st.tuples(st.sampled_from(["germination", "survival"]), st.sampled_from(["0.5", "0.9"])),
)
CHANGES = st.one_of(
    st.tuples(st.just("outage"), st.sampled_from(["H1", "N1"]), st.integers(0, 120), st.integers(0, 20)),
    st.tuples(st.just("figure"), st.sampled_from(["amber", "plain", "byage"]), FIGURES),
    st.tuples(
        st.just("record"),
        st.sampled_from(["A1", "F1", "C1", "D1"]),
        st.sampled_from(["seeding", "sticking", "emergence", "rooted", "transplant", "flowering", "harvest"]),
        st.integers(-5, 20),
    ),
)


def moved(move):
    return not (move.old and move.new and move.old.range == move.new.range)


STATES = st.lists(st.tuples(st.integers(0, 400), st.sampled_from(["done", "skipped", "moved"])), max_size=8)


def figure(data, plan, name, key, typed):
    return set_fields(HeldSeason(plan, data), "variety", (name,), {key: typed}, "own")


def proposed(data, plan, change):
    """The proposal of a change; None where it is refused."""
    kind, name, *more = change
    try:
        if kind == "outage":
            first = date(2026, 10, 15) + timedelta(days=more[0])
            return record_outage(plan, name, first, first + timedelta(days=more[1]))
        if kind == "figure":
            key, typed = more[0]
            return figure(data, plan, name, key, typed)
        cohort, stage = plan.season.cohorts[name], more[0]
        likely = plan.timelines[name].likely(stage)
        return (
            None
            if likely is None
            else record_date(plan, cohort, stage, likely + timedelta(days=more[1]), HOLD)
        )
    except Refusal:
        return None


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(CHANGES, STATES)
@example(("figure", "amber", ("germination", "0.5")), [])
@example(("figure", "plain", ("juvenile_d", "3")), [(0, "done")])
@example(("outage", "H1", 60, 20), [])
def test_a_change_leaves_the_saved_tasks_in_step_and_each_of_them_once(change, states):
    data, plan = saved_plan(states)
    proposal = proposed(data, plan, change)
    if proposal is None:
        return
    season = season_of(apply_edits(data, proposal.change.edits))
    assert {t.id: t for t in season.tasks} == {t.id: t for t in proposal.plan.season.tasks}
    assert refresh(make_plan(season, LATER)).tasks == ()
    keys = [task_key(t) for t in season.tasks]
    assert len(keys) == len(set(keys))


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(CHANGES, STATES)
@example(("record", "F1", "seeding", 0), [(171, "done")])
@example(("record", "F1", "seeding", 0), [])
def test_a_change_that_moves_no_date_only_ticks(change, states):
    data, plan = saved_plan(states)
    proposal = proposed(data, plan, change)
    shows_seeds = change[0] == "figure" and change[2][0] in SEED_FIGURES
    if proposal is None or shows_seeds or any(moved(m) for m in proposal.stages):
        return
    after = {t.id: t for t in proposal.plan.season.tasks}
    for task in plan.season.tasks:
        now = after.pop(task.id)
        assert now in (task, replace(task, state="done", done_on=now.done_on))
    assert after == {}
