"""What of a scheme is counted for its rows."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace
from typing import Any

from calendar_tui.handing_on.tables.stagger_rows import tasks_added
from calendar_tui.planning.changes.proposal import TaskMove
from calendar_tui.season.records import Task


def _task(**keys: Any) -> Task:
    return Task(id="", date=date(2027, 5, 5), what="Scout", **keys)


def test_tasks_that_cohorts_share_are_no_ones_own_though_they_are_known_by_the_first() -> None:
    own, one_only = _task(cohort="S1"), _task(cohorts=("S1",), place="F1")
    shared, whole = _task(cohort="S1", cohorts=("S1", "S2"), place="F1"), _task()
    moves = [TaskMove(None, task) for task in (own, one_only, shared, shared, whole)]
    scheme: Any = SimpleNamespace(proposal=SimpleNamespace(tasks=(*moves, TaskMove(own, own))))
    assert tasks_added(scheme) == {"S1": 2, None: 3}
