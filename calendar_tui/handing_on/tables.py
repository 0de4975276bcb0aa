"""Tables by pandas: dates to hand on as CSV, and person-hours summed by week and role."""

from __future__ import annotations

from collections.abc import Iterable

import pandas as pd

from calendar_tui.handing_on.json_rows import dates_rows
from calendar_tui.planning.timeline import Timeline
from calendar_tui.season.records import Task


def dates_table(timelines: Iterable[Timeline]) -> pd.DataFrame:
    """One row per cohort and stage; columns cohort, stage, earliest, likely, latest, status, reason."""
    columns = ["cohort", "stage", "earliest", "likely", "latest", "status", "reason"]
    return pd.DataFrame(dates_rows(timelines), columns=columns)


def hours_table(tasks: Iterable[Task]) -> pd.DataFrame:
    """Person-hours of open and done tasks: a row per ISO week (named by its Monday), a column per role, and the sum."""
    rows = [(t.date, t.who or "anyone", t.hours) for t in tasks if t.state != "skipped"]
    frame = pd.DataFrame(rows, columns=["date", "who", "hours"])
    if frame.empty:
        return pd.DataFrame({"all": pd.Series(dtype=float)}, index=pd.Index([], name="week"))
    day = pd.to_datetime(frame["date"])
    frame["week"] = (day - pd.to_timedelta(day.dt.day_of_week, unit="D")).dt.date
    table = frame.pivot_table(index="week", columns="who", values="hours", aggfunc="sum", fill_value=0.0)
    table["all"] = table.sum(axis="columns")
    return table.round(1)
