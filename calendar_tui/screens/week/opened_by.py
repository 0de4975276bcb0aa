"""What the rows of what is to be decided open: a view by its name, and what it needs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

from calendar_tui.planning.deciding.decision import (
    BAGS,
    BATCH,
    CLOSED,
    CUT,
    OFFICIAL,
    OVER,
    RELIGHT,
    RESULT,
    SPRAY,
    Decision,
)
from calendar_tui.planning.field_book.due import Round, rounds_of_task
from calendar_tui.planning.field_book.grid import day_of_entry, walk_of
from calendar_tui.season.records import Season, Task

Opens = tuple[Any, ...]
# The kind of record in which a row of this kind is decided, and those of which a new one is made where there is none.
_RECORDS: Mapping[str, str] = {
    CLOSED: "spray",
    SPRAY: "spray",
    BATCH: "batch",
    RESULT: "result",
}


# The pages of rows of these kinds, whatever record they have.
_PAGES: Mapping[str, Callable[[Decision], Opens]] = {
    BAGS: lambda row: ("bags", row.by, row.cohorts[0]),
    CUT: lambda row: ("lot", row.about, True),
    OFFICIAL: lambda row: ("lot", row.about, True),
    OVER: lambda row: ("results",),
    RELIGHT: lambda row: ("lamps", row.cohorts[0]),
}


def book_of(season: Season, rounds: Sequence[Round], today: date) -> Opens:
    """The field book where the rounds of a task are written down, on the day that counts for them."""
    return (
        "field_book",
        walk_of(season, rounds[0]),
        day_of_entry(rounds[0], today),
        tuple(one.variable for one in rounds),
    )


def opened_by_task(season: Season, task: Task, today: date) -> Opens | None:
    """The field book of a task that observes; else its cohort."""
    if rounds := rounds_of_task(season, task.id):
        return book_of(season, rounds, today)
    return ("cohort", task.about[0]) if task.about else None


def opened_by(row: Decision) -> Opens:
    """The form or page where it is decided."""
    if row.stage:
        return "record", row.cohorts[0], row.cohorts[1:], row.stage
    if row.kind in _PAGES:
        return _PAGES[row.kind](row)
    if row.record:
        return "form", _RECORDS[row.kind], row.record
    if row.kind == RESULT:
        return ("results",)
    return ("cohort", row.cohorts[0]) if row.cohorts else ("farm",)
