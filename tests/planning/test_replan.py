"""Re-planning: what a late transplant moves, and what stands."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.changes.slips import HOLD, SHIFT, asks_for_lights_off, record_date, record_dates
from calendar_tui.planning.changes.task_moves import task_moves
from calendar_tui.planning.changes.ticks import StageDay, Tick, tick_edits
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.finders import stage_named
from calendar_tui.season.records import Task
from calendar_tui.season.refusal import Refusal
from tests.planning.acts import plan_date
from tests.planning.farm import TODAY, farm, farm_data, season_of

LATE = date(2026, 12, 5)  # nine days after the plan


def planned_farm():
    """The farm with its tasks saved, and its data."""
    data = farm_data()
    data = apply_edits(data, refresh(make_plan(season_of(data), TODAY)).change.edits)
    return data, make_plan(season_of(data), TODAY)


def test_nine_days_late_held_and_shifted():
    _, plan = planned_farm()
    cohort = plan.season.cohorts["A1"]
    assert asks_for_lights_off(plan, cohort, "transplant", LATE)
    held = record_date(plan, cohort, "transplant", LATE, HOLD)
    shifted = record_date(plan, cohort, "transplant", LATE, SHIFT)
    moved = {m.stage: (m.new.likely - m.old.likely).days for m in shifted.stages if m.cohort == "A1"}
    induced = plan.timelines["A1"].likely("induced")
    before = (induced - plan.timelines["A1"].likely("transplant")).days
    assert held.growth_d == (before, before - 9)
    assert shifted.growth_d == (before, before - 9 + moved["induced"])
    assert moved["lights_off"] == moved["trigger"] == 9
    assert {m.stage: m.new.likely for m in held.stages}["lights_off"] == date(2027, 1, 10)


def test_every_stage_of_the_edited_cohort_is_shown():
    _, plan = planned_farm()
    held = record_date(plan, plan.season.cohorts["A1"], "transplant", LATE, HOLD)
    assert [m.stage for m in held.stages if m.cohort == "A1"] == list(plan.timelines["A1"].stages)


def test_the_planned_date_is_never_overwritten():
    data, plan = planned_farm()
    change = record_date(plan, plan.season.cohorts["A1"], "transplant", LATE, SHIFT).change
    cohort = season_of(apply_edits(data, change.edits)).cohorts["A1"]
    assert cohort.planned["lights_off"] == date(2027, 1, 10)
    assert cohort.replanned["lights_off"] == date(2027, 1, 19)
    assert cohort.planned["transplant"] == date(2026, 11, 26)


def test_saving_a_proposal_gives_the_plan_it_showed():
    data, plan = planned_farm()
    for answer in (HOLD, SHIFT, date(2027, 1, 20)):
        proposal = record_date(plan, plan.season.cohorts["A1"], "transplant", LATE, answer)
        after = make_plan(season_of(apply_edits(data, proposal.change.edits)), TODAY)
        for name, timeline in after.timelines.items():
            assert dict(timeline.stages) == dict(proposal.plan.timelines[name].stages)
        assert refresh(after).tasks == ()


def test_open_tasks_move_and_done_skipped_and_hand_moved_ones_stand():
    _, plan = planned_farm()
    scouts = [t for t in plan.season.tasks if t.cohort == "A1" and t.chore == "scout"]
    kept = {
        scouts[0].id: replace(scouts[0], state="done"),
        scouts[1].id: replace(scouts[1], state="skipped"),
        scouts[2].id: replace(scouts[2], moved=True),
    }
    tasks = tuple(kept.get(t.id, t) for t in plan.season.tasks)
    plan = make_plan(replace(plan.season, tasks=tasks), TODAY)
    moves = record_date(plan, plan.season.cohorts["A1"], "transplant", LATE, SHIFT).tasks
    ids = {m.task.id for m in moves}
    assert not ids & set(kept)
    fourth = next(m for m in moves if m.task.id == scouts[3].id)
    assert fourth.new.date - fourth.old.date == timedelta(days=9)


def test_a_task_of_the_growers_own_stands():
    _, plan = planned_farm()
    own = Task(id="own1", date=date(2026, 12, 9), what="Fix the door", cohort="A1")
    plan = make_plan(replace(plan.season, tasks=(*plan.season.tasks, own)), TODAY)
    moves = record_date(plan, plan.season.cohorts["A1"], "transplant", LATE, SHIFT).tasks
    assert "own1" not in {m.task.id for m in moves}


def test_only_the_tasks_of_cohorts_that_move_are_touched():
    _, plan = planned_farm()
    moves = record_date(plan, plan.season.cohorts["A1"], "transplant", LATE, SHIFT).tasks
    assert {m.task.cohort for m in moves} == {"A1"}


def test_planning_again_keeps_the_first_plan_beside_it():
    data, plan = planned_farm()
    change = plan_date(plan, plan.season.cohorts["A1"], "transplant", date(2026, 12, 15)).change
    season = season_of(apply_edits(data, change.edits))
    assert season.cohorts["A1"].planned["transplant"] == date(2026, 11, 26)
    assert make_plan(season, TODAY).timelines["A1"].likely("transplant") == date(2026, 12, 15)


def test_task_ids_are_short_and_the_same_in_two_copies():
    one, two = (refresh(make_plan(season_of(farm_data()), TODAY)).tasks for _ in range(2))
    assert [m.new.id for m in one] == [m.new.id for m in two]
    assert {len(m.new.id) for m in one} == {4}
    assert len({m.new.id for m in one}) == len(one)


def test_ticking_sets_state_and_date():
    data, plan = planned_farm()
    task = plan.season.tasks[0]
    after = season_of(apply_edits(data, tick_edits([task], TODAY))).tasks[0]
    assert (after.state, after.done_on) == ("done", TODAY)


@pytest.mark.slow
@given(st.integers(-10, 60), st.sampled_from([HOLD, SHIFT]))
def test_a_plan_taken_over_in_part_equals_one_made_anew(days, answer):
    """What is taken over from the plan before must not differ from what would be worked out."""
    _, plan = planned_farm()
    plan = make_plan(plan.season, date(2027, 6, 1), plan)
    day = date(2026, 11, 26) + timedelta(days=days)
    proposal = record_date(plan, plan.season.cohorts["A1"], "transplant", day, answer)
    anew = make_plan(proposal.plan.season, plan.today)
    assert {n: dict(t.stages) for n, t in anew.timelines.items()} == {
        n: dict(t.stages) for n, t in proposal.plan.timelines.items()
    }
    assert anew.clashes == proposal.plan.clashes
    assert task_moves(anew, set(anew.timelines)) == task_moves(proposal.plan, set(anew.timelines))


def test_lights_off_cannot_be_moved_before_the_plants_come():
    _, plan = planned_farm()
    with pytest.raises(Refusal, match="before the plants come on 2026-12-05"):
        record_date(plan, plan.season.cohorts["A1"], "transplant", LATE, date(2026, 12, 1))


def test_a_held_lights_off_that_a_late_transplant_leaves_no_room_for_is_told():
    _, plan = planned_farm()
    plan = make_plan(plan.season, date(2027, 2, 1), plan)
    held = record_date(plan, plan.season.cohorts["A1"], "transplant", date(2027, 1, 20), HOLD)
    assert any("lights off is planned for 10 Jan, which cannot be" in text for text in held.new_clashes)


def test_a_record_far_before_its_earliest_date_is_questioned():
    _, plan = planned_farm()
    slip = record_date(plan, plan.season.cohorts["A1"], "harvest", TODAY)
    assert any("is it the right cohort and stage?" in text for text in slip.doubts)
    assert any("transplant is not recorded yet" in text for text in slip.doubts)
    plain = record_date(plan, plan.season.cohorts["A1"], "transplant", LATE)
    assert not any("right cohort" in text or "not recorded yet" in text for text in plain.doubts)


def test_the_day_of_a_tick_beside_a_record_is_questioned_too():
    _, plan = planned_farm()
    early = TODAY - timedelta(days=61)
    ticks = [Tick(plan.season.tasks[0], early)]
    found = record_dates(plan, [StageDay("A1", "transplant", LATE)], ticks=ticks)
    assert any("61 days before today" in text for text in found.doubts)
    assert not record_dates(plan, [StageDay("A1", "transplant", LATE)]).doubts


def test_a_harvest_before_the_work_it_needs_is_told():
    """No harvest before the official sample: 7 CFR 990.24 and 990.26 (read)."""
    data = farm_data()
    data["chore"].append(
        {
            "id": "sample",
            "what": "Official sample",
            "stage": "harvest",
            "offset_d": -14,
            "needed_for": "harvest",
        }
    )
    data = apply_edits(data, refresh(make_plan(season_of(data), TODAY)).change.edits)
    late = date(2027, 4, 1)
    plan = make_plan(season_of(data), late)
    assert not any(
        c.kind == "sample before harvest" and c.cohorts == ("A1",)
        for c in make_plan(plan.season, TODAY).clashes
    )
    early = record_date(plan, plan.season.cohorts["A1"], "harvest", date(2027, 3, 25))
    task = next(t for t in plan.season.tasks if t.chore == "sample" and t.cohort == "A1")
    assert any("harvest must not come before: Official sample" in c.text for c in early.plan.clashes_of("A1"))
    done = tuple(replace(t, state="done") if t is task else t for t in plan.season.tasks)
    ticked = make_plan(replace(plan.season, tasks=done), late)
    assert not any(c.kind == "sample before harvest" and "A1" in c.cohorts for c in ticked.clashes)


def sampled_farm():
    """A farm with an official sample 14 days before each harvest, its tasks saved."""
    data = farm_data()
    sample = {"id": "sample", "what": "Official sample", "stage": "harvest", "offset_d": -14}
    data["chore"].append(sample | {"needed_for": "harvest"})
    return apply_edits(data, refresh(make_plan(season_of(data), TODAY)).change.edits)


def sample_of(season, cohort):
    return next(t for t in season.tasks if t.chore == "sample" and t.cohort == cohort)


def test_open_work_before_a_recorded_stage_keeps_the_date_it_was_due():
    """The sample was due, and was not taken: a harvest that comes early makes no other date of it."""
    plan = make_plan(season_of(sampled_farm()), date(2027, 3, 20))
    due = sample_of(plan.season, "A1").date
    early = record_date(plan, plan.season.cohorts["A1"], "harvest", date(2027, 3, 19))
    assert early.plan.timelines["A1"].likely("harvest") < plan.timelines["A1"].likely("harvest")
    assert sample_of(early.plan.season, "A1") == sample_of(plan.season, "A1")
    assert not any(m.task.chore == "sample" and m.task.cohort == "A1" for m in early.tasks)
    (told,) = (c.text for c in early.plan.clashes_of("A1") if c.kind == "sample before harvest")
    assert f"is due {due.day} {due:%b}" in told or f"was due {due.day} {due:%b}" in told
    assert not any(m.task.chore == "sample" and m.task.cohort == "A1" for m in refresh(early.plan).tasks)


def test_open_work_before_a_stage_that_is_only_planned_again_moves_with_it():
    plan = make_plan(season_of(sampled_farm()), date(2027, 3, 20))
    due, harvest = sample_of(plan.season, "A1").date, plan.timelines["A1"].likely("harvest")
    later = plan_date(plan, plan.season.cohorts["A1"], "harvest", harvest + timedelta(days=7))
    assert sample_of(later.plan.season, "A1").date == due + timedelta(days=7)


def test_work_before_a_recorded_stage_still_takes_other_details():
    data = sampled_farm()
    plan = make_plan(season_of(data), date(2027, 3, 20))
    early = record_date(plan, plan.season.cohorts["A1"], "harvest", date(2027, 3, 19))
    data = apply_edits(data, early.change.edits)
    data["chore"][-1]["who"] = "authorised agent"
    plan = make_plan(season_of(data), date(2027, 3, 20))
    (move,) = (m for m in refresh(plan).tasks if m.task.chore == "sample" and m.task.cohort == "A1")
    assert (move.new.who, move.new.date) == ("authorised agent", move.old.date)


def test_a_record_says_how_late_it_is_and_what_it_ticks_and_nothing_where_there_is_neither():
    data = farm_data()
    data["chore"].append({"id": "move", "what": "Plant out", "stage": "transplant", "records": "transplant"})
    data = apply_edits(data, refresh(make_plan(season_of(data), TODAY)).change.edits)
    plan = make_plan(season_of(data), TODAY)
    task = next(t for t in plan.season.tasks if (t.chore, t.cohort) == ("move", "F1"))
    what = record_date(plan, plan.season.cohorts["F1"], "transplant", date(2026, 11, 28)).change.what
    assert what == f"F1 transplant recorded Sat 28 Nov 2026 (2 d late); ticked {task.id} Plant out (F1)"
    seen = record_date(plan, plan.season.cohorts["F1"], "emergence", date(2026, 11, 6)).change.what
    assert seen == "F1 emergence recorded Fri 6 Nov 2026"


@pytest.mark.parametrize(("days", "text"), [(9, "9 d later"), (-3, "3 d earlier")])
def test_a_date_that_is_planned_again_says_by_how_much(days, text):
    _, plan = planned_farm()
    day = date(2027, 1, 10) + timedelta(days=days)
    again = plan_date(plan, plan.season.cohorts["A1"], "lights_off", day).plan
    found = again.timelines["A1"].stages["lights_off"]
    assert found.status_text == f"planned: {text} than first planned, 10 Jan"
    assert plan.timelines["A1"].stages["lights_off"].status_text == "planned"
    back = plan_date(again, again.season.cohorts["A1"], "lights_off", date(2027, 1, 10)).plan
    assert back.timelines["A1"].stages["lights_off"].status_text == "planned"


@pytest.mark.parametrize("typed", ["lights off", "lights-off", " Lights_Off "])
def test_a_stage_is_known_by_its_name_in_each_of_its_forms(typed):
    assert stage_named(typed) == "lights_off"


def test_a_word_that_is_no_stage_is_refused():
    with pytest.raises(Refusal, match='"lamps" is not a stage'):
        stage_named("lamps")


def spraying_farm(since):
    """A farm with work 20 days before each transplant and the days up to it, of which what is due before `since` is left
    out.
    """
    data = farm_data()
    data["season"]["since"] = since
    before = {"stage": "transplant", "offset_d": -20}
    data["chore"] += [
        {"id": "spray", "what": "Calibrate the sprayer"} | before,
        {"id": "once", "what": "Order stakes", "together": "season", "once": "first"} | before,
        {"id": "walk", "what": "Walk the field", "repeat": "FREQ=WEEKLY", "until": "transplant"} | before,
        {"id": "beds", "what": "Shape beds", "together": "place"} | before,
    ]
    return data


@pytest.mark.slow
@given(
    st.integers(-40, 30),
    st.integers(-15, 15),
    st.sampled_from(["A1", "F1", "C1"]),
    st.integers(0, 30),
)
def test_a_record_adds_no_work_of_before_today_that_comes_before_what_is_recorded(since, late, name, after):
    """What `since` left out stays out when a late transplant carries it past that day."""
    day = date(2026, 11, 26) + timedelta(days=late)
    data = spraying_farm(date(2026, 11, 26) + timedelta(days=since))
    data = apply_edits(data, refresh(make_plan(season_of(data), TODAY)).change.edits)
    plan = make_plan(season_of(data), day + timedelta(days=after))
    found = record_date(plan, plan.season.cohorts[name], "transplant", day)
    chores = plan.season.chores
    added = [m.task for m in found.tasks if m.old is None]
    assert not [
        t for t in added if t.date < plan.today and chores[t.chore].offset_d < 0 and t.about == (name,)
    ]
    assert not [
        m.task for m in refresh(found.plan).tasks if m.old is None and m.task.chore in ("spray", "walk")
    ]


def test_what_since_left_out_stays_out_when_a_late_transplant_carries_it_past_that_day():
    """Due on 6 November, left out from the 10th on; twenty days before the 5th of December would be the 15th."""
    data = spraying_farm(date(2026, 11, 10))
    data = apply_edits(data, refresh(make_plan(season_of(data), TODAY)).change.edits)
    plan = make_plan(season_of(data), TODAY)
    assert not [t for t in plan.season.tasks if t.chore == "spray"]
    found = record_date(plan, plan.season.cohorts["A1"], "transplant", LATE)
    assert not [m for m in found.tasks if m.old is None and m.task.chore in ("spray", "once", "walk", "beds")]


def test_lights_off_shifts_once_for_two_stages_recorded_together():
    """Seeding and transplant are both 4 days late; lights off is planned for 10 Jan."""
    plan = make_plan(farm(recorded={}), LATE)
    records = [
        StageDay("A1", stage, plan.season.cohorts["A1"].planned[stage] + timedelta(days=4))
        for stage in ("transplant", "seeding")
    ]
    after = record_dates(plan, records, SHIFT).plan.season.cohorts["A1"]
    assert after.intended("lights_off") == date(2027, 1, 14)
