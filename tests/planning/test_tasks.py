"""Tasks from chores: anchors, offsets, repeats, places and hours."""

from dataclasses import replace
from datetime import date

import pytest

from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.tasks.by_chore import chore_tasks, task_id
from calendar_tui.planning.tasks.chore_dates import chore_dates
from calendar_tui.season.records import Chore, Cohort, Task, Variety
from tests.planning.farm import TODAY, farm


def timeline_of(first, last):
    """A cohort transplanted on the first day and harvested on the last."""
    stages = {
        name: StageDate(name, day, day, day, "planned", "planned")
        for name, day in (("transplant", first), ("harvest", last))
    }
    cohort = Cohort(id="A1", variety="amber", start="seed", place="F1")
    return Timeline(cohort, Variety(id="amber", response="short-day"), stages, ())


def september(*days):
    return [date(1997, 9, d) for d in days]


# RFC 5545 section 3.8.5.3, the standard's own examples; all start on Tuesday 2 September 1997.
RFC_5545 = [
    ("FREQ=DAILY;COUNT=10", september(*range(2, 12))),
    ("FREQ=DAILY;INTERVAL=10;COUNT=5", [*september(2, 12, 22), date(1997, 10, 2), date(1997, 10, 12)]),
    ("FREQ=WEEKLY;COUNT=5", september(2, 9, 16, 23, 30)),
    ("FREQ=WEEKLY;INTERVAL=2;WKST=SU", september(2, 16, 30)),
    ("FREQ=WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH", september(2, 4, 9, 11, 16, 18, 23, 25, 30)),
]


@pytest.mark.parametrize(("rule", "expected"), RFC_5545)
def test_repeats_follow_the_standard_s_examples(rule, expected):
    chore = Chore(id="x", what="x", stage="transplant", repeat=rule, until="harvest")
    found = chore_dates(chore, timeline_of(date(1997, 9, 2), date(1997, 12, 24)))
    assert list(found[: len(expected)]) == expected


def test_a_repeat_ends_the_day_before_its_until_stage():
    chore = Chore(id="x", what="x", stage="transplant", repeat="FREQ=WEEKLY", until="harvest")
    found = chore_dates(chore, timeline_of(date(1997, 9, 2), date(1997, 9, 16)))
    assert list(found) == september(2, 9)


def test_an_offset_before_the_stage():
    chore = Chore(id="x", what="x", stage="harvest", offset_d=-14)
    assert chore_dates(chore, timeline_of(date(1997, 9, 2), date(1997, 9, 30))) == (date(1997, 9, 16),)


def test_a_stage_the_cohort_never_reaches_makes_no_task():
    chore = Chore(id="x", what="x", stage="flowering")
    assert chore_dates(chore, timeline_of(date(1997, 9, 2), date(1997, 9, 30))) == ()


@pytest.mark.parametrize(("last", "offset", "days"), [(3, 0, [2]), (2, 0, []), (2, 1, [2]), (4, -1, [2])])
def test_a_repeat_of_one_day_makes_one_task_and_one_that_ends_before_it_begins_none(last, offset, days):
    chore = Chore(
        id="x", what="x", stage="transplant", repeat="FREQ=DAILY", until="harvest", until_offset_d=offset
    )
    assert list(chore_dates(chore, timeline_of(*september(2, last)))) == september(*days)


def test_a_repeat_up_to_a_stage_the_cohort_never_reaches_makes_no_task():
    chore = Chore(id="x", what="x", stage="transplant", repeat="FREQ=DAILY", until="flowering")
    assert chore_dates(chore, timeline_of(*september(2, 30))) == ()


def tasks_of(cohort, chore):
    season = farm()
    return [t for t in chore_tasks(season, make_plan(season, TODAY).timelines[cohort]) if t.chore == chore]


def test_a_chore_goes_to_the_cohorts_it_is_for():
    assert tasks_of("A1", "tray")
    assert not tasks_of("C1", "tray")
    assert tasks_of("A1", "dark")
    assert not tasks_of("F1", "dark")


def test_hours_for_each_hundred_plants():
    (task,) = tasks_of("A1", "plant")
    assert task.hours == 1.2  # 120 plants at 1 h for 100


def test_work_is_where_the_plants_stand():
    (tray,), (plant,) = tasks_of("A1", "tray"), tasks_of("A1", "plant")
    assert (tray.place, plant.place) == ("N1", "H1")


def test_lamps_are_worked_on_where_they_hang():
    season = farm()
    timeline = make_plan(season, TODAY).timelines["A1"]
    early = Chore(id="hang", what="Hang the lamps", stage="lights_on", offset_d=-14)
    (task,) = chore_tasks(replace(season, chores={"hang": early}), timeline)
    assert task.date < timeline.likely("transplant")
    assert task.place == "H1"


def test_field_work_before_the_plants_come_is_at_the_growing_place():
    season = farm()
    timeline = make_plan(season, TODAY).timelines["A1"]
    early = {
        at: Chore(id="beds", what="Form beds", stage="transplant", offset_d=-14, at=at)
        for at in ("place", "plants")
    }
    places = {
        at: next(iter(chore_tasks(replace(season, chores={"beds": c}), timeline))).place
        for at, c in early.items()
    }
    assert places == {"place": "H1", "plants": "N1"}


def test_an_id_is_the_same_in_every_version_of_the_program():
    """Copies of a season that are laid out by two versions are merged by these ids."""
    scout = Task(id="", date=date(2026, 12, 8), what="Scout", chore="scout", cohort="A1", n=3)
    assert [task_id(scout, ()), task_id(scout, {task_id(scout, ())})] == ["878n", "5x3p"]
    assert task_id(replace(scout, cohort="", place="H1"), ()) != task_id(scout, ())
