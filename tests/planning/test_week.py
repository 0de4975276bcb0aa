"""The week's work from saved tasks."""

from datetime import date

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
