"""The week's work from saved tasks."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.tasks.week import (
    GROUPINGS,
    Only,
    all_tasks,
    days_of,
    find_task,
    groups,
    matching,
    overdue_text,
    week_of,
)
from calendar_tui.season.records import Task


def task(id_, day, **more):
    return Task(id=id_, date=day, what="Scout", cohort="A1", **more)


TASKS = (
    task("bbbb", date(2026, 12, 6)),
    task("bbcc", date(2026, 12, 7)),
    task("ccdd", date(2026, 12, 13), state="done"),
    task("ddff", date(2026, 12, 14)),
    task("ffgg", date(2026, 12, 20)),
    task("gghh", date(2026, 12, 21)),
    task("hhjj", date(2026, 12, 1), state="done"),
)


def test_a_week_runs_from_monday_to_sunday():
    """ISO 8601: 7 December 2026 is a Monday, of week 50."""
    week = week_of(TASKS, date(2026, 12, 9))
    assert week.first_day == date(2026, 12, 7)
    assert date(2026, 12, 7).isocalendar()[1:] == (50, 1)
    assert [t.id for _, tasks in week.days for t in tasks] == ["bbcc", "ccdd"]
    assert [t.id for t in week.overdue] == ["bbbb"]
    assert week.next_week == 2


def test_a_task_is_found_by_its_id_or_a_beginning_of_it():
    assert [t.id for t in find_task(TASKS, "BBBB")] == ["bbbb"]
    assert [t.id for t in find_task(TASKS, "bb")] == ["bbbb", "bbcc"]
    assert find_task(TASKS, "zz") == ()
    assert find_task(TASKS, "") == ()


def test_an_id_with_capitals_of_the_grower_s_own_is_found():
    own = task("Door1", date(2026, 12, 8))
    assert find_task([own], "Door1") == (own,)
    assert find_task([own], "door") == (own,)


# Dates by the calendar and by the week (year, week, day) that ISO 8601 itself and its common descriptions give for the
# turn of years; from memory, and worked out again by datetime.isocalendar below.
ISO_WEEKS = [
    (date(2005, 1, 1), (2004, 53, 6)),
    (date(2005, 12, 31), (2005, 52, 6)),
    (date(2007, 1, 1), (2007, 1, 1)),
    (date(2008, 12, 29), (2009, 1, 1)),
    (date(2010, 1, 3), (2009, 53, 7)),
]


@pytest.mark.parametrize(("day", "iso"), ISO_WEEKS)
def test_weeks_over_the_turn_of_a_year(day, iso):
    week = week_of((), day)
    assert day.isocalendar() == iso
    assert week.first_day == date.fromisocalendar(iso[0], iso[1], 1)
    assert [d for d, _ in week.days] == [date.fromisocalendar(iso[0], iso[1], n) for n in range(1, 8)]


@pytest.mark.slow
@given(st.dates(date(1900, 1, 1), date(2199, 12, 31)))
def test_every_day_is_in_its_iso_week(day):
    year, number, weekday = day.isocalendar()
    week = week_of([task("aaaa", day)], day)
    assert week.first_day == date.fromisocalendar(year, number, 1)
    assert [n for n, (_, tasks) in enumerate(week.days, 1) if tasks] == [weekday]


_MANY = st.lists(
    st.builds(
        Task,
        id=st.uuids().map(str),
        date=st.dates(date(2026, 11, 25), date(2026, 12, 25)),
        what=st.sampled_from(["Scout", "Hoe"]),
        place=st.sampled_from(["", "H1", "H1 east", "F1"]),
        who=st.sampled_from(["", "crew"]),
        cohorts=st.sampled_from([(), ("A1", "B1"), ("B1",)]),
        state=st.sampled_from(["open", "done", "skipped"]),
    ),
    max_size=25,
)
DAY = date(2026, 12, 9)


@given(_MANY)
def test_a_task_of_the_week_stands_in_one_group_however_it_is_grouped(tasks):
    week = week_of(tasks, DAY)
    shown = sorted(t.id for t in all_tasks(week))
    for by in GROUPINGS:
        found = groups(week, by, DAY)
        assert sorted(t.id for group in found for t in group.tasks) == shown
        assert sum(group.late for group in found) == sum(
            t.state == "open" and t.date < DAY for t in all_tasks(week)
        )
    assert len(groups(week, "day", DAY)) == 7 + bool(week.overdue)


def test_groups_are_named_and_those_without_a_name_come_last():
    tasks = (task("b", DAY, place="H1"), task("a", DAY), task("c", DAY, place="F1", who="zoe"))
    week = week_of(tasks, DAY)
    assert [g.title for g in groups(week, "place", DAY)] == ["F1", "H1", "no place"]
    assert [g.title for g in groups(week, "role", DAY)] == ["zoe", "anyone"]


@given(_MANY, st.dates(date(2026, 12, 1), date(2026, 12, 20)), st.integers(1, 15))
def test_days_from_today_lose_no_open_task(tasks, first, count):
    found = days_of(tasks, first, count)
    after = first + timedelta(days=count + 7)
    assert found.next_week + sum(t.state == "open" for t in all_tasks(found)) == sum(
        t.state == "open" and t.date < after for t in tasks
    )
    assert [day for day, _ in found.days] == [first + timedelta(days=n) for n in range(count)]


@given(_MANY, st.sampled_from(["", "scout", "h1 scout", "EAST b1", "anyone", "crew f1", "zz"]))
def test_what_is_found_has_every_word_and_what_is_not_lacks_one(tasks, typed):
    found = matching(tasks, typed)
    for one in tasks:
        said = " ".join((one.id, one.what, *one.about, one.place, one.who or "anyone")).casefold()
        assert (one in found) == all(word in said for word in typed.casefold().split())


@given(_MANY)
def test_only_some_and_all_others_make_all(tasks):
    assert [t for t in tasks if Only().fits(t)] == tasks
    assert all(t.place in ("H1", "H1 east") for t in tasks if Only(place="H1").fits(t))
    assert [t for t in tasks if Only(role="anyone").fits(t)] == [t for t in tasks if not t.who]
    assert [t for t in tasks if Only(cohort="A1").fits(t)] == [t for t in tasks if "A1" in t.about]


def test_what_is_overdue_stands_in_the_week_of_today_and_in_no_other():
    today = date(2026, 12, 9)
    assert [t.id for t in week_of(TASKS, today, today).overdue] == ["bbbb"]
    for weeks in (-2, -1, 1, 2, 160):
        assert week_of(TASKS, today + timedelta(weeks=weeks), today).overdue == ()


def test_the_heading_counts_all_that_is_overdue_and_says_what_stands_below_it():
    assert overdue_text(week_of(TASKS, date(2026, 12, 7)), date(2026, 12, 7)) == "Overdue: 1"
    today = date(2026, 12, 9)
    assert overdue_text(week_of(TASKS, today), today) == "Overdue: 2, 1 from before Mon 7 Dec"


@pytest.mark.parametrize("begins", range(7))
def test_a_week_may_begin_with_any_weekday_and_holds_its_day(begins: int) -> None:
    for n in range(14):
        day = date(2026, 12, 7) + timedelta(days=n)
        week = week_of([task("aaaa", day)], day, begins=begins)
        days = [d for d, _ in week.days]
        assert (days[0].weekday(), len(days), week.first_day) == (begins, 7, days[0])
        assert [d for d, tasks in week.days if tasks] == [day]
