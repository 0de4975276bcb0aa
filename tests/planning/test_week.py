"""The week's work from saved tasks."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.week import find_task, week_of
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
    assert week.monday == date(2026, 12, 7)
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
    assert week.monday == date.fromisocalendar(iso[0], iso[1], 1)
    assert [d for d, _ in week.days] == [date.fromisocalendar(iso[0], iso[1], n) for n in range(1, 8)]


@given(st.dates(date(1900, 1, 1), date(2199, 12, 31)))
def test_every_day_is_in_its_iso_week(day):
    year, number, weekday = day.isocalendar()
    week = week_of([task("aaaa", day)], day)
    assert week.monday == date.fromisocalendar(year, number, 1)
    assert [n for n, (_, tasks) in enumerate(week.days, 1) if tasks] == [weekday]
