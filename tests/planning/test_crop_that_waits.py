"""A crop that waits behind its projected harvest is watered, scouted and sampled until it is recorded as cut.

That what stands needs water, and bags each week until it is cut, is common practice, no source.
"""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from calendar_tui.planning.changes.replan import differing_tasks, refresh
from calendar_tui.planning.changes.slips import StageDay, record_dates
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.sampling.planned import bags_of_cohort
from calendar_tui.planning.tasks.chore_dates import chore_dates
from calendar_tui.planning.tasks.running_out import RunningOut, running_out, running_out_texts
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.reading import read_season
from tests.planning.sampled_farm import CUT, sampled, sampled_data

DAY = timedelta(days=1)
WATER = {
    **CUT,
    "id": "water",
    "what": "Water",
    "repeat": "FREQ=DAILY",
    "shows": ["plants"],
    "until_offset_d": 6,
}
FEED = {**WATER, "id": "feed", "what": "Feed", "until_offset_d": -14}
HARVESTING = {"id": "cut", "what": "Cut", "stage": "harvest"}
BOOK = {**WATER, "id": "book", "what": "Write the book", "together": "season", "shows": ["bags"]}
CHORES = [CUT, WATER, FEED, HARVESTING, BOOK]
HARVEST = sampled().timelines["A1"].likely("harvest")
# A Tuesday, ten days or more behind it: the end of next week is a Sunday.
LATE = HARVEST + timedelta(days=10 + (1 - HARVEST.weekday() - 10) % 7)
NEXT_SUNDAY = LATE + timedelta(days=12)


def on(today: date, **more) -> Plan:
    return sampled(chore=CHORES, today=today, **more)


def days_of(plan: Plan, chore: str) -> tuple[date, ...]:
    return chore_dates(plan.season.chores[chore], plan.timelines["A1"])


def kept_up(*days: date) -> Plan:
    """The farm with its tasks as they were saved on each of these days, on the last of them."""
    data = sampled_data(chore=CHORES)
    for today in days:
        change = refresh(make_plan(read_season(data).season, today)).change
        data = apply_edits(data, change.edits)
    return make_plan(read_season(data).season, days[-1])


def of_a1(plan: Plan) -> list:
    return [move for move in differing_tasks(plan) if "A1" in move.task.about]


def test_work_and_bags_go_on_to_the_end_of_next_week() -> None:
    plan = on(LATE)
    assert days_of(plan, "water")[-1] == NEXT_SUNDAY
    assert NEXT_SUNDAY.isoweekday() == 7
    days = {bag.day for bag in bags_of_cohort(plan.season, plan.timelines["A1"])}
    assert {LATE, LATE + 7 * DAY} <= days
    assert max(days) <= NEXT_SUNDAY


def test_up_to_the_day_of_the_harvest_and_for_what_ends_before_it_nothing_is_longer() -> None:
    before = on(HARVEST)
    assert before.timelines["A1"].waits_to is None
    assert days_of(before, "water")[-1] == HARVEST + 5 * DAY
    assert days_of(on(LATE), "feed") == days_of(before, "feed")


@pytest.mark.parametrize("stage", ["harvest", "dried"])
def test_what_is_recorded_as_cut_has_no_more_of_it(stage: str) -> None:
    data = sampled_data(chore=CHORES)
    data["cohort"][0]["recorded"] |= (
        {"harvest": HARVEST} if stage == "harvest" else {stage: HARVEST + 10 * DAY}
    )
    assert make_plan(read_season(data).season, LATE).timelines["A1"].waits_to is None


def test_a_last_pass_ends_it_and_one_that_leaves_something_does_not() -> None:
    one = {"id": "A1-1", "lot": "A1", "date": HARVEST, "part": "tops", "fresh_kg": {"top": 10}}
    assert days_of(on(LATE, **{"pass": [one]}), "water")[-1] == NEXT_SUNDAY
    assert on(LATE, **{"pass": [one | {"last": True}]}).timelines["A1"].waits_to is None


def test_it_ends_with_the_season() -> None:
    plan = on(date(2029, 1, 1))
    assert days_of(plan, "water")[-1] == plan.season.last_day
    assert not [move for move in of_a1(kept_up(HARVEST)) if move.old is None]


def test_a_crop_of_which_no_flowering_is_recorded_is_not_taken_to_stand() -> None:
    data = sampled_data(chore=CHORES)
    del data["cohort"][0]["recorded"]["flowering"]
    plan = make_plan(read_season(data).season, date(2027, 6, 29))
    assert plan.timelines["A1"].likely("harvest") < plan.today
    assert plan.timelines["A1"].waits_to is None


def test_saved_tasks_are_kept_up_from_today_and_the_days_gone_by_are_told() -> None:
    saved = kept_up(HARVEST)
    late = make_plan(saved.season, LATE)
    new = [move.task for move in of_a1(late) if move.old is None]
    assert new
    assert min(move.task.date for move in differing_tasks(late) if move.old is None) >= LATE
    assert max(task.date for task in new) == NEXT_SUNDAY
    assert {task.chore for task in new} == {"samples", "water"}
    last = max(t.date for t in saved.season.tasks if t.chore == "water" and "A1" in t.about)
    (note,) = refresh(late).notes
    assert note.startswith(f"A1 B1: {(LATE - last).days - 1} days before today, from ")


def test_once_saved_they_agree_and_nothing_more_is_told_that_week() -> None:
    season = kept_up(HARVEST, LATE).season
    for today in (LATE, LATE + 5 * DAY):
        assert refresh(make_plan(season, today)).tasks == ()
    monday = refresh(make_plan(season, LATE + 6 * DAY))
    assert len({move.task.date for move in monday.tasks}) == 7
    assert monday.notes == ()


def test_recording_the_harvest_makes_no_task_for_days_gone_by() -> None:
    late = make_plan(kept_up(HARVEST).season, LATE)
    proposal = record_dates(late, [StageDay("A1", "harvest", LATE)])
    assert [move for move in proposal.tasks if move.old is None and move.task.date < LATE] == []


def test_the_week_tells_from_the_saved_tasks_that_the_work_of_a_crop_that_waits_ends() -> None:
    saved = kept_up(HARVEST).season
    last = max(t.date for t in saved.tasks if t.chore == "water")
    assert [*running_out(saved, LATE)] == [RunningOut("A1", last), RunningOut("B1", last)]
    (text,) = running_out_texts(running_out(saved, LATE))
    assert text.startswith("A1 B1: not recorded as cut, and their work ends on ")
    again = kept_up(HARVEST, LATE).season
    assert [*running_out(again, LATE + 5 * DAY)] == []
    assert [one.cohort for one in running_out(again, LATE + 6 * DAY)] == ["A1", "B1"]
    assert [*running_out(saved, saved.last_day)] == []


def test_before_its_harvest_is_late_a_week_with_little_work_tells_nothing() -> None:
    saved = kept_up(HARVEST).season
    assert [*running_out(saved, HARVEST)] == []
    done = replace(
        saved, tasks=tuple(replace(t, state="done") if t.chore == "cut" else t for t in saved.tasks)
    )
    assert [*running_out(done, LATE)] == []


def test_what_was_asked_for_on_days_gone_by_stands_as_it_was() -> None:
    """B1 is in another place and flowers later: its overdue trips are not joined by A1, and do not fall away for it."""
    late, data = LATE + 21 * DAY, sampled_data(chore=CHORES)
    data["cohort"][1]["recorded"]["flowering"] += 35 * DAY
    change = refresh(make_plan(read_season(data).season, HARVEST)).change
    season = read_season(apply_edits(data, change.edits)).season
    before = [t for t in season.tasks if t.chore == "samples" and t.date < late]
    assert any(t.about == ("B1",) for t in before)
    after = refresh(make_plan(season, late))
    assert not [m for m in after.tasks if m.task.date < late]
    assert [m.new.about for m in after.tasks if m.new and m.new.chore == "samples"][:1] == [("A1", "B1")]
