"""The load by ISO week and role, against the calendar's own weeks, published examples, and sums by pandas."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.capacity.hours import loads, over_full, over_full_text
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.weeks import iso_week, monday_of
from calendar_tui.season.work import WORK_DAYS, Chore, Crew, Task
from tests.counting import lines_run
from tests.planning.acts import plan_date
from tests.planning.farm import TODAY, farm

MONDAY = date(2026, 12, 14)


def _task(name, day, hours, who="crew", **more):
    return Task(id=name, date=day, what=f"Work {name}", who=who, hours=hours, **more)


def _season(*tasks, crew=None, **more):
    return replace(farm(), tasks=tasks, crew=crew, **more)


# From the table in the ISO week date article of a public encyclopedia, which follows ISO 8601; values from memory.
AROUND_NEW_YEAR = {
    date(2005, 1, 1): "2004-W53",
    date(2005, 1, 2): "2004-W53",
    date(2005, 12, 31): "2005-W52",
    date(2006, 1, 1): "2005-W52",
    date(2006, 1, 2): "2006-W01",
    date(2007, 1, 1): "2007-W01",
    date(2007, 12, 31): "2008-W01",
    date(2008, 12, 29): "2009-W01",
    date(2010, 1, 3): "2009-W53",
    date(2027, 1, 1): "2026-W53",
}


@pytest.mark.parametrize(("day", "week"), AROUND_NEW_YEAR.items(), ids=str)
def test_weeks_around_new_year_are_named_as_the_standard_does(day, week):
    assert iso_week(day) == week


@given(st.dates(date(1901, 1, 1), date(2199, 12, 1)))
def test_a_week_begins_on_the_monday_that_pandas_finds(day):
    assert monday_of(day) == pd.Timestamp(day).to_period("W-SUN").start_time.date()
    assert (
        iso_week(day) == f"{pd.Timestamp(day).isocalendar().year}-W{pd.Timestamp(day).isocalendar().week:02d}"
    )
    assert iso_week(monday_of(day)) == iso_week(day)


_TASKS = st.lists(
    st.builds(
        Task,
        id=st.uuids().map(str),
        date=st.dates(date(2026, 12, 20), date(2027, 1, 20)),
        what=st.just("work"),
        who=st.sampled_from(["", "crew", "grower"]),
        hours=st.sampled_from([0.0, 0.1, 0.25, 0.3, 1.5, 7.0]),
        state=st.sampled_from(["open", "done", "skipped"]),
    ),
    max_size=30,
)


@given(_TASKS)
def test_sums_are_those_of_pandas(tasks):
    found = {(load.monday, load.role): load.hours for load in loads(_season(*tasks))}
    rows = [(t.date, t.who or "anyone", t.hours) for t in tasks if t.state != "skipped" and t.hours]
    frame = pd.DataFrame(rows, columns=["date", "who", "hours"])
    week = pd.to_datetime(frame["date"]).dt.to_period("W-SUN")
    expected = {
        (period.start_time.date(), who): hours
        for (period, who), hours in frame.groupby([week, "who"])["hours"].sum().items()
    }
    assert found == pytest.approx(expected)


def test_a_week_over_new_year_is_one_week():
    found = loads(_season(_task("a", date(2026, 12, 28), 1.0), _task("b", date(2027, 1, 3), 2.0)))
    assert [(load.monday, load.hours) for load in found] == [(date(2026, 12, 28), 3.0)]


def test_the_largest_task_comes_first():
    found = loads(_season(*(_task(n, MONDAY, h) for n, h in (("a", 1.0), ("b", 9.0), ("c", 4.0)))))
    assert [t.id for t in found[0].tasks] == ["b", "c", "a"]


def test_a_sum_with_a_placeholder_in_it_is_a_guess():
    chores = {
        "guess": Chore(id="guess", what="", stage="harvest", hours=1.0),
        "known": Chore(id="known", what="", stage="harvest", hours=1.0, mark="own"),
    }
    known = _task("a", MONDAY, 1.0, chore="known")
    assert not loads(_season(known, chores=chores))[0].guessed
    assert loads(_season(known, _task("b", MONDAY, 1.0, chore="guess"), chores=chores))[0].guessed


def test_blocked_days_take_their_share_of_a_week_s_hours():
    crew = Crew(
        work_days=WORK_DAYS[:5],
        blocked=(MONDAY, MONDAY + timedelta(days=6)),  # the Sunday is not worked anyway
        hours_per_week={"crew": 40.0},
    )
    (load,) = loads(_season(_task("a", MONDAY, 33.0), crew=crew))
    assert (load.has_h, load.over_h) == (32.0, 1.0)
    away = replace(crew, blocked=tuple(MONDAY + timedelta(days=n) for n in range(5)))
    (load,) = loads(_season(_task("a", MONDAY, 33.0), crew=away))
    assert (load.has_h, load.over_h) == (0.0, 33.0)


def test_a_week_that_is_just_full_is_not_over_full_by_the_sum_of_tenths():
    crew = Crew(hours_per_week={"crew": 0.3})
    assert not list(over_full(_season(*(_task(n, MONDAY, 0.1) for n in "abc"), crew=crew), TODAY))
    assert sum([0.1, 0.1, 0.1]) > 0.3  # which is what it would be taken for


FULL = (
    _task("a", MONDAY, 30.0, cohort="A1"),
    _task("b", MONDAY, 12.0, cohorts=("C1", "F1"), place="F1"),
    _task("c", MONDAY + timedelta(days=7), 40.0),
    _task("d", date(2026, 11, 30), 99.0),
    _task("e", MONDAY, 99.0, who="grower"),
)


def test_only_weeks_to_come_and_roles_with_hours_are_over_full():
    season = _season(*FULL, crew=Crew(hours_per_week={"crew": 40.0}))
    assert [(load.monday, load.role, load.over_h) for load in over_full(season, TODAY)] == [
        (MONDAY, "crew", 2.0)
    ]
    assert not list(over_full(_season(*FULL), TODAY))
    # On its Sunday a week is not over yet.
    assert len(list(over_full(season, MONDAY + timedelta(days=6)))) == 1
    assert not list(over_full(season, MONDAY + timedelta(days=7)))


@pytest.mark.slow
@given(_TASKS, st.floats(0.05, 30), st.dates(date(2026, 12, 15), date(2027, 1, 25)))
def test_what_is_over_full_is_what_the_loads_to_come_say(tasks, has, today):
    season = _season(*tasks, crew=Crew(hours_per_week={"crew": has, "anyone": has}))
    to_come = [load for load in loads(season) if load.over_h and load.monday >= monday_of(today)]
    assert list(over_full(season, today)) == to_come


def test_an_over_full_week_is_a_clash_of_the_cohorts_behind_it():
    season = _season(*FULL, crew=Crew(hours_per_week={"crew": 40.0}))
    plan = make_plan(season, TODAY)
    (clash,) = (c for c in plan.clashes if c.kind.startswith("crew"))
    assert clash.kind == "crew: crew 2026-W51"
    assert clash.text.startswith(
        "crew has 40 h in the week of Mon 14 Dec and 42 h of work, most of it: a A1 Work a 30 h, b C1 F1 Work b 12 h"
    )
    assert all(clash in plan.clashes_of(name) for name in ("A1", "C1", "F1"))
    assert clash not in plan.clashes_of("D1")


def test_a_season_without_hours_per_week_has_no_such_clash():
    assert not [c for c in make_plan(_season(*FULL), TODAY).clashes if c.kind.startswith("crew")]


def _crew_clashes(proposal):
    return [text for text in proposal.new_clashes if text.startswith("crew has")]


def test_replanning_tells_only_weeks_that_become_over_full():
    """The cohorts behind a week that is over-full already may change; that makes no new clash."""
    plant = Chore(id="plant", what="Plant", stage="transplant", who="crew", hours=10.0)
    fixed = _task("fix", MONDAY, 20.0)
    season = _season(fixed, crew=Crew(hours_per_week={"crew": 25.0}), chores={"plant": plant})
    first = plan_date(make_plan(season, TODAY), season.cohorts["F1"], "transplant", MONDAY)
    assert [t.split(" and ")[0] for t in _crew_clashes(first)] == ["crew has 25 h in the week of Mon 14 Dec"]
    second = plan_date(first.plan, first.plan.season.cohorts["C1"], "transplant", MONDAY)
    assert _crew_clashes(second) == []
    (told,) = (c for c in second.plan.clashes if c.kind.startswith("crew"))
    assert "~40 h of work" in told.text
    assert set(told.shown_with) == {"F1", "C1"}


def test_a_role_with_no_hours_left_is_told_so():
    crew = Crew(blocked=tuple(MONDAY + timedelta(days=n) for n in range(7)), hours_per_week={"crew": 40.0})
    (load,) = over_full(_season(_task("a", MONDAY, 1.0), crew=crew), TODAY)
    assert over_full_text(load).startswith("crew has no hours in the week of Mon 14 Dec and 1 h of work")


def test_the_work_grows_with_the_tasks_alone():
    def season(count):
        day = [MONDAY + timedelta(days=n % 200) for n in range(count)]
        return _season(*(_task(str(n), day[n], 1.0) for n in range(count)))

    small, large = season(500), season(2000)
    assert lines_run(lambda: loads(large)) < 4.5 * lines_run(lambda: loads(small))
