"""Work that cohorts have together: one task for a place or a season, its rhythm, its hours, what re-planning does."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.changes.slips import HOLD, SHIFT, record_date, record_dates
from calendar_tui.planning.changes.task_moves import task_moves
from calendar_tui.planning.changes.ticks import StageDay
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.tasks.chore_dates import in_nursery, spells
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Chore
from tests.planning.acts import plan_date
from tests.planning.farm import TODAY, farm_data, season_of
from tests.planning.together import plan_of, saved_plan, tasks_of
from tests.trial_season import trial_data

# F1, C1 and D1 stand in the field F1; A1 alone in the house H1; A1, F1 and C1 pass through the nursery N1.
SCOUT = {
    "id": "scout",
    "what": "Scout",
    "stage": "transplant",
    "offset_d": 7,
    "repeat": "FREQ=WEEKLY",
    "until": "harvest",
    "hours": 0.5,
    "together": "place",
    "per": "place",
}
BEDS = {
    "id": "beds",
    "what": "Beds",
    "stage": "transplant",
    "offset_d": -14,
    "at": "place",
    "together": "place",
}
LICENCE = {
    "id": "paper",
    "what": "Ask for the licence",
    "stage": "transplant",
    "offset_d": -60,
    "together": "season",
}
REPORT = {"id": "report", "what": "Report", "stage": "dried", "offset_d": 14, "together": "season"}


def test_a_place_is_scouted_once_for_all_its_cohorts():
    tasks = tasks_of(SCOUT)
    field = [t for t in tasks if t.place == "F1"]
    assert len({t.date for t in field}) == len(field)
    assert field[0].date == date(2026, 12, 3)
    assert (field[0].cohort, field[0].cohorts) == ("", ("F1", "C1"))
    assert all((b.date - a.date).days == 7 for a, b in pairwise(field))
    assert [t.n for t in field] == list(range(1, len(field) + 1))


def test_a_cohort_that_comes_later_joins_the_place_s_rhythm_and_names_itself():
    _, plan = plan_of(SCOUT, later=10)
    field = [m.new for m in refresh(plan).tasks if m.new.place == "F1"]
    assert [t.cohorts for t in field[:3]] == [("F1",), ("F1",), ("F1", "C1")]
    harvest = plan.timelines["F1"].likely("harvest"), plan.timelines["C1"].likely("harvest")
    for task in field:
        assert ("F1" in task.cohorts) == (task.date < harvest[0])
        assert ("C1" in task.cohorts) == (date(2026, 12, 13) <= task.date < harvest[1])


def test_a_place_that_stands_empty_for_a_while_has_no_work_and_keeps_its_count():
    data = farm_data()
    data["chore"] = [{**SCOUT, "until": "transplant", "until_offset_d": 21}]
    data["cohort"][2]["planned"]["transplant"] = date(2027, 2, 4)
    data["cohort"] = data["cohort"][1:3]
    tasks = [m.new for m in refresh(make_plan(season_of(data), TODAY)).tasks]
    assert [(t.n, t.date, t.cohorts) for t in tasks] == [
        (1, date(2026, 12, 3), ("F1",)),
        (2, date(2026, 12, 10), ("F1",)),
        (11, date(2027, 2, 11), ("C1",)),
        (12, date(2027, 2, 18), ("C1",)),
    ]


def test_work_through_the_transplant_is_in_the_nursery_and_then_in_the_field():
    water = {**SCOUT, "stage": "seeding", "offset_d": 0, "repeat": "FREQ=DAILY", "starts": ["seed"]}
    tasks = tasks_of(water)
    nursery = [t for t in tasks if t.place == "N1"]
    assert (nursery[0].date, nursery[-1].date) == (date(2026, 11, 1), date(2026, 11, 25))
    assert {t.cohorts for t in nursery} == {("A1", "F1")}
    house = [t for t in tasks if t.place == "H1"]
    assert house[0].date == date(2026, 11, 26)
    # D1 is sown in place, so the field has work from the first day, and F1 joins it.
    field = [t for t in tasks if t.place == "F1"]
    assert (field[0].date, field[0].cohorts) == (date(2026, 11, 1), ("D1",))
    assert next(t for t in field if "F1" in t.cohorts).date == date(2026, 11, 26)


def test_work_that_comes_once_is_one_task_for_cohorts_of_one_date():
    tasks = tasks_of(BEDS)
    assert [(t.place, t.cohort, t.cohorts) for t in tasks] == [
        ("H1", "A1", ()),
        ("F1", "F1", ("F1", "C1")),
    ]
    apart = tasks_of(BEDS, later=3)
    assert [(t.place, t.cohort, t.cohorts) for t in apart] == [
        ("H1", "A1", ()),
        ("F1", "F1", ()),
        ("F1", "C1", ()),
    ]


@pytest.mark.parametrize("state", [{"state": "done"}, {"state": "skipped"}, {"moved": True}])
def test_a_cohort_does_not_join_work_that_is_done_and_so_lose_its_own(state):
    """C1 comes to the date on which F1's beds were made before it was there: it needs its own."""
    _, plan = saved_plan(BEDS, later=3)
    tasks = tuple(replace(t, **state) if t.cohort == "F1" else t for t in plan.season.tasks)
    plan = make_plan(replace(plan.season, tasks=tasks), TODAY)
    back = plan_date(plan, plan.season.cohorts["C1"], "transplant", date(2026, 11, 26)).plan.season
    assert [(t.cohort, t.cohorts, t.state) for t in back.tasks if t.place == "F1"] == [
        ("F1", (), state.get("state", "open")),
        ("C1", (), "open"),
    ]


def test_a_cohort_whose_work_was_done_with_others_has_it_done():
    _, plan = saved_plan(BEDS)
    tasks = tuple(replace(t, state="done") for t in plan.season.tasks)
    plan = make_plan(replace(plan.season, tasks=tasks), TODAY)
    later = plan_date(plan, plan.season.cohorts["C1"], "transplant", date(2026, 12, 10))
    assert later.tasks == ()


def test_work_of_the_season_comes_once():
    paper, report = tasks_of(LICENCE, REPORT, later=9)
    assert (paper.date, paper.cohort, paper.cohorts, paper.place) == (date(2026, 9, 27), "", (), "")
    _, plan = plan_of(REPORT, later=9)
    assert report.date == max(t.likely("dried") for t in plan.timelines.values()) + timedelta(days=14)


def test_work_of_the_season_may_repeat():
    tasks = tasks_of({**LICENCE, "repeat": "FREQ=MONTHLY", "until": "transplant"})
    assert [(t.n, t.date) for t in tasks] == [(1, date(2026, 9, 27)), (2, date(2026, 10, 27))]
    assert {t.about for t in tasks} == {()}


@pytest.mark.parametrize(
    ("per", "hours"),
    [("place", 2.0), ("cohort", 4.0), ("100 plants", 8.0), ("100 m2", 20.0)],
)
def test_hours_together(per, hours):
    """2 h for each: one place, two cohorts, 100 and 300 plants, 1000 m2."""
    data = farm_data()
    data["chore"] = [{**SCOUT, "hours": 2, "per": per}]
    data["place"][2]["area_m2"] = 1000
    for cohort, plants in zip(data["cohort"][1:3], (100, 300), strict=True):
        cohort["plants"] = plants
    tasks = [m.new for m in refresh(make_plan(season_of(data), TODAY)).tasks if m.new.place == "F1"]
    assert tasks[0].cohorts == ("F1", "C1")
    assert tasks[0].hours == hours


def test_ids_are_kept_when_cohorts_come_and_go():
    data, plan = saved_plan(SCOUT)
    field = [t for t in plan.season.tasks if t.place == "F1"]
    moved = plan_date(plan, plan.season.cohorts["C1"], "transplant", date(2026, 12, 17))
    after = season_of(apply_edits(data, moved.change.edits))
    kept = {t.id: t for t in after.tasks if t.place == "F1"}
    assert [kept[t.id].date for t in field if t.id in kept] == [t.date for t in field if t.id in kept]
    first, second = kept[field[0].id], kept[field[3].id]
    assert first.cohorts == ("F1",)
    assert second.cohorts == ("F1", "C1")


def test_only_places_of_cohorts_that_move_are_touched():
    _, plan = saved_plan(SCOUT, BEDS)
    moves = record_date(plan, plan.season.cohorts["A1"], "transplant", date(2026, 12, 5), SHIFT).tasks
    assert moves
    assert {m.task.place for m in moves} == {"H1"}


def test_a_done_task_of_a_place_stands():
    _, plan = saved_plan(SCOUT)
    first = next(t for t in plan.season.tasks if t.place == "F1")
    tasks = tuple(replace(t, state="done") if t is first else t for t in plan.season.tasks)
    plan = make_plan(replace(plan.season, tasks=tasks), TODAY)
    moves = plan_date(plan, plan.season.cohorts["F1"], "transplant", date(2026, 11, 30)).tasks
    assert first.id not in {m.task.id for m in moves}


def test_a_chore_put_together_in_mid_season_does_not_ask_again_for_what_was_done():
    apart = {**SCOUT}
    del apart["together"]
    _, plan = saved_plan(apart)
    done = tuple(replace(t, state="done") if t.date <= date(2026, 12, 17) else t for t in plan.season.tasks)
    chore = replace(plan.season.chores["scout"], together="place")
    season = replace(plan.season, tasks=done, chores={"scout": chore})
    moves = refresh(make_plan(season, TODAY)).tasks
    added = [m.new for m in moves if m.old is None]
    assert min(t.date for t in added if t.place == "F1") == date(2026, 12, 24)
    gone = [m.old for m in moves if m.new is None]
    assert gone
    assert {t.state for t in gone} == {"open"}


def test_a_cohort_taken_out_of_the_file_leaves_the_place_s_tasks():
    _, plan = saved_plan(SCOUT)
    cohorts = {name: c for name, c in plan.season.cohorts.items() if name != "C1"}
    moves = refresh(make_plan(replace(plan.season, cohorts=cohorts), TODAY)).tasks
    changed = [m.new for m in moves if m.new is not None]
    assert changed
    assert all(t.cohorts == ("F1",) for t in changed)


CHORES = (
    SCOUT,
    BEDS,
    LICENCE,
    REPORT,
    {**BEDS, "id": "soil", "once": "first"},
    {**REPORT, "id": "clear", "together": "place", "once": "last"},
    {**BEDS, "id": "wash", "offset_d": 1, "at": "nursery"},
    {"id": "plant", "what": "Plant", "stage": "transplant", "records": "transplant"},
    {
        "id": "feed",
        "what": "Feed",
        "stage": "transplant",
        "repeat": "FREQ=DAILY;INTERVAL=3",
        "until": "flowering",
    },
)
CREW = {"work_days": ["mon", "tue", "wed", "thu", "fri"], "blocked": [date(2026, 12, 25), date(2027, 1, 1)]}


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from(["A1", "F1", "C1"]),
    st.integers(-10, 40),
    st.sampled_from([HOLD, SHIFT]),
    st.lists(
        st.tuples(st.integers(0, 400), st.sampled_from(["done", "skipped", "moved", "open"])), max_size=12
    ),
    st.booleans(),
)
def test_re_planning_keeps_what_people_did_and_puts_the_rest_in_step(cohort, days, answer, touched, crew):
    """After any slip: done, skipped and hand-moved tasks stand as they were, and nothing is left out of step."""
    _, plan = plan_of(*CHORES, crew=CREW if crew else None)
    tasks = [m.new for m in refresh(plan).tasks]
    for at, state in touched:
        old = tasks[at % len(tasks)]
        tasks[at % len(tasks)] = replace(old, moved=True) if state == "moved" else replace(old, state=state)
    plan = make_plan(replace(plan.season, tasks=tuple(tasks)), date(2027, 6, 1))
    day = plan.season.cohorts[cohort].planned["transplant"] + timedelta(days=days)
    proposal = plan_date(plan, plan.season.cohorts[cohort], "transplant", day, answer)
    after = {t.id: t for t in proposal.plan.season.tasks}
    for task in tasks:
        if task.state != "open" or task.moved:
            assert after[task.id] == task
    anew = make_plan(proposal.plan.season, plan.today)
    assert task_moves(anew, set(anew.timelines)) == ()
    assert len({t.id for t in proposal.plan.season.tasks}) == len(proposal.plan.season.tasks)


@pytest.mark.slow
@given(
    st.sampled_from(["transplant", "harvest", "dried", "flowering", "seeding", "lights_on", "lights_off"]),
    st.integers(-60, 60),
    st.sampled_from(["plants", "place", "nursery"]),
)
def test_work_said_not_to_be_in_the_nursery_is_not(stage, offset, at):
    """The short way past cohorts that only pass through the nursery leaves out no work there."""
    chore = Chore(id="x", what="x", stage=stage, offset_d=offset, at=at, repeat="FREQ=DAILY", until="dried")
    _, plan = plan_of()
    for timeline in plan.timelines.values():
        found = {s.place for s in spells(plan.season, chore, timeline)}
        assert in_nursery(chore, timeline) == ("N1" in found)


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from(["A1", "F1", "C1"]),
    st.integers(-10, 40),
    st.sampled_from([HOLD, SHIFT]),
    st.sampled_from(["open", "done", "skipped", "moved"]),
)
def test_recording_a_stage_ticks_its_work_whatever_became_of_it(cohort, days, answer, state):
    """Its task is done on the day, skipped or not; all others are in step, and edits and plan agree."""
    data, plan = saved_plan(*CHORES)
    own = next(t for t in plan.season.tasks if (t.chore, t.cohort) == ("plant", cohort))
    stood = replace(own, moved=True) if state == "moved" else replace(own, state=state)
    tasks = tuple(stood if t is own else t for t in plan.season.tasks)
    data["task"] = [
        t | {"state": state} if t["id"] == own.id and state != "moved" else t for t in data["task"]
    ]
    plan = make_plan(replace(plan.season, tasks=tasks), date(2027, 6, 1))
    day = plan.season.cohorts[cohort].planned["transplant"] + timedelta(days=days)
    proposal = record_date(plan, plan.season.cohorts[cohort], "transplant", day, answer, "fact")
    after = next(t for t in proposal.plan.season.tasks if t.id == own.id)
    assert (after.state, after.done_on, after.fact, after.date) == ("done", day, "fact", own.date)
    anew = make_plan(proposal.plan.season, plan.today)
    assert task_moves(anew, set(anew.timelines)) == ()
    if state != "moved":
        saved = season_of(apply_edits(data, proposal.change.edits))
        assert {t.id: t for t in saved.tasks} == {t.id: t for t in proposal.plan.season.tasks}


# --- rhythm


def _house(cohorts: int, today: date, dates: str = "123"):
    """The trial's house on a day, its scouting saved; dates: of its planting days, by number."""
    data = trial_data(cohorts, tasks=False)
    data["cohort"] = [c for c in data["cohort"] if c["place"] == "H1" and c["id"][1] in dates]
    data["chore"] = [{**SCOUT, "offset_d": 2}]
    plan = make_plan(read_season(data).season, today)
    return make_plan(read_season(apply_edits(data, refresh(plan).change.edits)).season, today)


def _late(plan, names, by: int):
    days = [plan.season.cohorts[name].planned["transplant"] + timedelta(days=by) for name in names]
    records = [StageDay(name, "transplant", day) for name, day in zip(names, days, strict=True)]
    return record_dates(plan, records).plan


def _dates(plan) -> dict[str, date]:
    return {t.id: t.date for t in plan.season.tasks if t.place == "H1"}


def test_others_keep_their_days_when_the_first_planting_slips():
    plan = _house(54, date(2027, 5, 20))
    first = [name for name in plan.season.cohorts if name[1] == "1"]
    assert len(first) > 1
    before, after = _dates(plan), _dates(_late(plan, first, 9))
    assert after.items() < before.items()
    assert len(before) - len(after) == 2  # the two weeks in which nothing stands there yet


def test_one_planting_alone_slips_with_its_rhythm():
    plan = _house(54, date(2027, 5, 20), "1")
    after = _dates(_late(plan, list(plan.season.cohorts), 8))
    assert min(after.values()) == date(2027, 5, 5) + timedelta(days=8 + 2)


@pytest.mark.slow
@given(st.sampled_from(["A1H1a", "B1H1a", "A2H1a", "C3H1a"]), st.integers(1, 20))
def test_the_slip_of_one_cohort_moves_no_date_of_a_shared_rhythm(name: str, by: int):
    plan = _house(54, date(2027, 7, 20))
    assert _dates(_late(plan, [name], by)).items() <= _dates(plan).items()


def test_saved_work_that_is_counted_from_the_day_of_a_late_planting_stays_on_its_dates():
    """As it was saved when the late day was still the planned one."""
    planned = _house(54, date(2027, 5, 20)).season
    first = [name for name in planned.cohorts if name[1] == "1"]
    day = planned.cohorts[first[0]].planned["transplant"] + timedelta(days=9)

    def with_first(table: str):
        cohorts = planned.cohorts | {
            name: replace(own, **{table: {**getattr(own, table), "transplant": day}})
            for name in first
            for own in [planned.cohorts[name]]
        }
        return replace(planned, cohorts=cohorts, tasks=())

    late = make_plan(with_first("planned"), date(2027, 5, 20))
    saved = tuple(move.new for move in refresh(late).tasks)
    now = make_plan(replace(with_first("recorded"), tasks=saved), date(2027, 5, 20))
    assert len(saved) > 5
    assert refresh(now).tasks == ()
