"""Hours spent as they are typed, and shared out over tasks ticked together. By hand: 210 min are 3.5 h."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.changes.spent import shared_out, typed_hours
from calendar_tui.season.date_words import day_and_cause
from calendar_tui.season.records import Task
from calendar_tui.season.refusal import Refusal


@pytest.mark.parametrize(
    ("typed", "hours"),
    [
        ("3.5", 3.5),
        ("3,5", 3.5),
        ("3.5 h", 3.5),
        ("3 h 30", 3.5),
        ("3:30", 3.5),
        ("3h30", 3.5),
        ("210 min", 3.5),
        ("0", 0.0),
        ("2 hours", 2.0),
    ],
)
def test_hours_are_read_as_people_write_them(typed: str, hours: float) -> None:
    assert typed_hours(f" {typed} ") == hours


@pytest.mark.parametrize("typed", ["", "some", "-1", "3 h 75", "1e3", "3.5.1", "nan", "99999"])
def test_what_is_no_hours_is_refused(typed: str) -> None:
    with pytest.raises(Refusal, match="hours spent"):
        typed_hours(typed)


def tasks(*hours: float) -> list[Task]:
    return [Task(id=f"t{n}", date=date(2027, 1, 1), what="Work", hours=h) for n, h in enumerate(hours)]


def test_hours_are_shared_out_by_those_planned_and_evenly_without() -> None:
    assert shared_out(3.0, tasks(1.0, 0.5)) == {"t0": 2.0, "t1": 1.0}
    assert shared_out(3.0, tasks(1.0, 0.0)) == {"t0": 1.5, "t1": 1.5}
    assert shared_out(0.0, tasks(1.0)) == {"t0": 0.0}


@given(st.floats(0, 200), st.lists(st.floats(0, 50), min_size=1, max_size=20))
def test_the_parts_add_up_to_the_whole(hours: float, planned: list[float]) -> None:
    parts = shared_out(round(hours, 2), tasks(*planned)).values()
    assert sum(parts) == pytest.approx(round(hours, 2), abs=1e-6)
    assert min(parts) >= 0


@pytest.mark.parametrize(
    ("typed", "day", "cause"),
    [
        ("8 dec because rain", "8 dec", "rain"),
        ("today Because: no crew", "today", "no crew"),
        ("8 dec", "8 dec", ""),
        ("because rain", "", "rain"),
        ("", "", ""),
    ],
)
def test_a_cause_stands_behind_its_date(typed: str, day: str, cause: str) -> None:
    assert day_and_cause(typed) == (day, cause)
