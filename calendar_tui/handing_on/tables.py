"""Tables by pandas: dates to hand on as CSV, and person-hours summed by week and role."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

import pandas as pd

from calendar_tui.handing_on.json_rows import dates_rows
from calendar_tui.handing_on.plain_text import wrapped
from calendar_tui.planning.timeline import Timeline
from calendar_tui.season.records import Task


def dates_table(timelines: Iterable[Timeline]) -> pd.DataFrame:
    """One row per cohort and stage; columns cohort, stage, earliest, likely, latest, status, reason."""
    columns = ["cohort", "stage", "earliest", "likely", "latest", "status", "reason"]
    return pd.DataFrame(dates_rows(timelines), columns=columns)


def hours_table(tasks: Iterable[Task]) -> pd.DataFrame:
    """Person-hours of open and done tasks: a row per ISO week (named by its Monday), a column per role."""
    rows = [(t.date, t.who or "anyone", t.hours) for t in tasks if t.state != "skipped"]
    frame = pd.DataFrame(rows, columns=["date", "who", "hours"])
    if frame.empty:
        return pd.DataFrame()
    day = pd.to_datetime(frame["date"])
    frame["week"] = (day - pd.to_timedelta(day.dt.day_of_week, unit="D")).dt.date
    return frame.pivot_table(index="week", columns="who", values="hours", aggfunc="sum", fill_value=0.0)


def hours_rows(table: pd.DataFrame) -> list[dict[str, Any]]:
    """One row per week: week, hours in all, and roles, the hours of each role that has any; to a tenth of an hour."""
    return [
        {
            "week": week,
            "hours": round(float(row.sum()), 1),
            "roles": {str(role): round(float(h), 1) for role, h in row.items() if h},
        }
        for week, row in table.iterrows()
    ]


def hours_text(table: pd.DataFrame) -> Iterator[str]:
    """A line a week: its Monday, the hours in all, and those of each role."""
    for row in hours_rows(table):
        roles = ", ".join(f"{role} {hours:g}" for role, hours in row["roles"].items())
        head = f"{row['week']}  {row['hours']:6.1f} h  "
        yield from (line.rstrip() for line in wrapped(roles, " " * len(head), first=head))
