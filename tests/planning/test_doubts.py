"""Which dates are questioned before they are saved, and how."""

from datetime import date, timedelta
from typing import Any

import pytest

from calendar_tui.planning.changes.doubts import Start, Typed, doubt, task_doubts
from calendar_tui.season.records import Task

TODAY = date(2026, 12, 8)
SEASON = (date(2026, 9, 15), date(2027, 5, 15))
A3 = Start("A3", "seeding", date(2026, 11, 5))


def typed(day: date, **more: Any) -> Typed:
    return Typed(day=day, today=TODAY, first_day=SEASON[0], last_day=SEASON[1], **more)


@pytest.mark.parametrize(
    ("day", "more", "said"),
    [
        (TODAY, {"start": A3}, ""),
        (TODAY + timedelta(days=60), {}, ""),
        (TODAY - timedelta(days=60), {}, ""),
        (TODAY + timedelta(days=61), {}, "Sun 7 Feb 2027 is 61 days after today"),
        (TODAY - timedelta(days=61), {}, "Thu 8 Oct 2026 is 61 days before today"),
        (TODAY - timedelta(days=61), {"far_off": True}, ""),
        (date(2027, 3, 9), {"was": date(2027, 3, 2)}, ""),
        (A3.day - timedelta(days=1), {"start": A3}, "Wed 4 Nov 2026 is before A3 was sown (5 Nov 2026)"),
        (A3.day, {"start": A3}, ""),
        (
            TODAY,
            {"start": Start("C1", "sticking", date(2026, 12, 20))},
            "Tue 8 Dec 2026 is before C1 is stuck (20 Dec 2026)",
        ),
        (TODAY - timedelta(days=1), {"to_come": True}, "Mon 7 Dec 2026 is before today"),
        (TODAY, {"task": "k66g", "due": TODAY + timedelta(days=7)}, ""),
        (
            TODAY,
            {"task": "k66g", "due": TODAY + timedelta(days=8)},
            "Tue 8 Dec 2026 is 8 days before k66g is due (16 Dec 2026)",
        ),
        (
            date(2026, 8, 12),
            {"start": A3},
            "Wed 12 Aug 2026 is outside the season (15 Sep 2026 to 15 May 2027) and before A3 was sown (5 Nov 2026) "
            "and 118 days before today",
        ),
    ],
)
def test_a_date_is_questioned_with_its_reasons(day, more, said):
    assert doubt(typed(day, **more)) == said


def test_work_before_a_cohort_begins_may_be_moved_before_it():
    order = Task(id="k66g", date=date(2026, 10, 20), what="Order seed", cohort="A3")
    scout = Task(id="dv7b", date=date(2026, 12, 10), what="Scout", cohort="A3")
    early = date(2026, 11, 1)
    assert task_doubts([(order, early)], {"A3": A3}, early, SEASON, moved=True) == ()
    said = ("Sun 1 Nov 2026 is before A3 is sown (5 Nov 2026)",)
    assert task_doubts([(scout, early), (scout, early)], {"A3": A3}, early, SEASON, moved=True) == said


def test_a_task_that_stays_on_its_date_is_not_questioned():
    late = Task(id="k66g", date=date(2026, 12, 1), what="Scout", cohort="A3")
    assert task_doubts([(late, late.date)], {"A3": A3}, TODAY, SEASON, moved=True) == ()
