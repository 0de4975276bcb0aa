"""Tables by pandas: dates and tasks to hand on as CSV, and person-hours summed by week and role."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from typing import Any

import pandas as pd

from calendar_tui.handing_on.json_rows import dates_rows
from calendar_tui.handing_on.plain_text import wrapped
from calendar_tui.handing_on.quantities_text import COLUMNS, quantity_rows
from calendar_tui.planning.quantity_sums import Quantities
from calendar_tui.planning.stages import StageDate
from calendar_tui.planning.timeline import Timeline
from calendar_tui.planning.wording import WEEKDAYS
from calendar_tui.season.records import Season, Task

# What a spreadsheet takes for the beginning of a formula, wide forms and leading blanks included.
_FORMULA = frozenset("=+-@\t\r＝＋－＠")


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


def guessed_hours(season: Season) -> frozenset[tuple[date, str]]:
    """The weeks (their Mondays) and roles of which some hours are a guess."""
    guesses = {chore.id for chore in season.chores.values() if chore.guessed and chore.hours}
    return frozenset(
        (t.date - timedelta(days=t.date.weekday()), t.who or "anyone")
        for t in season.tasks
        if t.chore in guesses and t.hours and t.state != "skipped"
    )


def hours_rows(
    table: pd.DataFrame, guessed: frozenset[tuple[date, str]] = frozenset()
) -> list[dict[str, Any]]:
    """One row per week: week, hours in all, and roles, the hours of each role that has any; to a tenth of an hour.

    guessed: the roles of which some hours of that week are a guess.
    """
    return [
        {
            "week": week,
            "hours": round(float(row.sum()), 1),
            "roles": {str(role): round(float(h), 1) for role, h in row.items() if h},
            "guessed": [str(role) for role, h in row.items() if h and (week, role) in guessed],
        }
        for week, row in table.iterrows()
    ]


def hours_text(table: pd.DataFrame, guessed: frozenset[tuple[date, str]] = frozenset()) -> Iterator[str]:
    """A line a week: its Monday, the hours in all, and those of each role; "~" where some are a guess."""
    for row in hours_rows(table, guessed):
        marks = {role: "~" if role in row["guessed"] else "" for role in row["roles"]}
        roles = ", ".join(f"{role} {marks[role]}{hours:g}" for role, hours in row["roles"].items())
        head = f"{row['week']}  {'~' if row['guessed'] else ' '}{row['hours']:6.1f} h  "
        yield from (line.rstrip() for line in wrapped(roles, " " * len(head), first=head))


# --- files for spreadsheets

# The columns of each table: what docs/handing-on.md says of them stands there in the same order.
TASK_COLUMNS = (
    "id",
    "date",
    "weekday",
    "what",
    "cohort",
    "place",
    "who",
    "hours",
    "hours_mark",
    "amount",
    "state",
    "done_on",
    "fact",
    "moved",
    "why",
    "note",
    "caution",
    "chore",
)
DATE_COLUMNS = (
    "cohort",
    "variety",
    "place",
    "plants",
    "stage",
    "n",
    "earliest",
    "likely",
    "latest",
    "status",
    "intended",
    "reason",
)


def tasks_frame(season: Season) -> pd.DataFrame:
    """One row per saved task, by date."""
    rows = [
        _task_row(season, task)
        for task in sorted(season.tasks, key=lambda t: (t.date, t.place, t.cohort, t.id))
    ]
    return pd.DataFrame(rows, columns=list(TASK_COLUMNS), dtype=object)


def _task_row(season: Season, task: Task) -> Mapping[str, Any]:
    chore = season.chores.get(task.chore)
    return {
        **{name: getattr(task, name) for name in TASK_COLUMNS if hasattr(task, name)},
        "weekday": WEEKDAYS[task.date.weekday()],
        "cohort": " ".join(task.about),
        "hours_mark": (chore.hours_mark or chore.mark) if chore is not None and task.hours else "",
        "moved": "yes" if task.moved else "no",
        "caution": chore.caution if chore is not None else "",
    }


def dates_frame(timelines: Iterable[Timeline]) -> pd.DataFrame:
    """One row per date of a cohort's stage: of weekly samples one each, with the range in the first."""
    rows = [
        _date_row(timeline, found, n)
        for timeline in timelines
        for found in timeline.stages.values()
        for n in range(1, max(len(found.dates), 1) + 1)
    ]
    return pd.DataFrame(rows, columns=list(DATE_COLUMNS), dtype=object)


def _date_row(timeline: Timeline, found: StageDate, n: int) -> Mapping[str, Any]:
    cohort = timeline.cohort
    return {
        "cohort": cohort.id,
        "variety": cohort.variety,
        "place": cohort.light,
        "plants": cohort.plants,
        "stage": found.stage,
        "n": n,
        "earliest": found.earliest if n == 1 else None,
        "likely": found.dates[n - 1] if found.dates else found.likely,
        "latest": found.latest if n == 1 else None,
        "status": found.status,
        "intended": found.intended if n == 1 else None,
        "reason": found.reason,
    }


def quantities_frame(found: Quantities) -> pd.DataFrame:
    """One row per cohort and item, then one per sum; no cell is a formula."""
    rows = [
        {name: harmless(cell) if isinstance(cell, str) else cell for name, cell in row.items()}
        for row in quantity_rows(found)
    ]
    return pd.DataFrame(rows, columns=list(COLUMNS), dtype=object)


def csv_bytes(frame: pd.DataFrame) -> bytes:
    """A table as CSV by RFC 4180 in UTF-8, with the mark that spreadsheets know UTF-8 by; no cell is a formula."""
    text = frame.map(lambda cell: harmless(cell) if isinstance(cell, str) else cell)
    return str(text.to_csv(index=False, lineterminator="\r\n")).encode("utf-8-sig")


def harmless(text: str) -> str:
    """A text that no spreadsheet works out: an apostrophe before one that would begin a formula."""
    return f"'{text}" if text.lstrip(" ")[:1] in _FORMULA and text.strip(" ") else text
