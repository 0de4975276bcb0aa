"""Tables by pandas: dates and tasks to hand on as CSV."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import pandas as pd

from calendar_tui.handing_on.tables.harmless import harmless
from calendar_tui.handing_on.tables.json_rows import dates_rows
from calendar_tui.handing_on.tables.quantity_rows import COLUMNS, quantity_rows
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.stays import growing_on
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.needs.sums import Quantities
from calendar_tui.season.records import Season, Task
from calendar_tui.season.stages import CODES
from calendar_tui.season.wording import WEEKDAYS
from calendar_tui.season.yes_no import yes_no_text


def dates_table(timelines: Iterable[Timeline]) -> pd.DataFrame:
    """One row per cohort and stage; columns cohort, stage, code, earliest, likely, latest, status, reason."""
    columns = ["cohort", "stage", "code", "earliest", "likely", "latest", "status", "reason"]
    return pd.DataFrame(dates_rows(timelines), columns=columns)


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
    "code",
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
        "moved": yes_no_text(task.moved),
        "caution": chore.caution if chore is not None else "",
    }


def dates_frame(timelines: Iterable[Timeline]) -> pd.DataFrame:
    """One row per date of a cohort's stage: of weekly samples one each, with the range in the first."""
    rows = [
        _date_row(timeline, stage_date, n)
        for timeline in timelines
        for stage_date in timeline.stages.values()
        for n in range(1, max(len(stage_date.dates), 1) + 1)
    ]
    return pd.DataFrame(rows, columns=list(DATE_COLUMNS), dtype=object)


def _date_row(timeline: Timeline, stage_date: StageDate, n: int) -> Mapping[str, Any]:
    cohort, day = timeline.cohort, stage_date.dates[n - 1] if stage_date.dates else stage_date.likely
    return {
        "cohort": cohort.id,
        "variety": cohort.variety,
        "place": growing_on(timeline.stays, day).light,
        "plants": cohort.plants,
        "stage": stage_date.stage,
        "code": CODES[stage_date.stage],
        "n": n,
        "earliest": stage_date.earliest if n == 1 else None,
        "likely": day,
        "latest": stage_date.latest if n == 1 else None,
        "status": stage_date.status,
        "intended": stage_date.intended if n == 1 else None,
        "reason": stage_date.reason,
    }


def quantities_frame(quantities: Quantities) -> pd.DataFrame:
    """One row per cohort and item, then one per sum; no cell is a formula."""
    rows = [
        {name: harmless(cell) if isinstance(cell, str) else cell for name, cell in row.items()}
        for row in quantity_rows(quantities)
    ]
    return pd.DataFrame(rows, columns=list(COLUMNS), dtype=object)


def csv_bytes(frame: pd.DataFrame) -> bytes:
    """A table as CSV by RFC 4180 in UTF-8, with the mark that spreadsheets know UTF-8 by; no cell is a formula."""
    text = frame.map(lambda cell: harmless(cell) if isinstance(cell, str) else cell)
    return str(text.to_csv(index=False, lineterminator="\r\n")).encode("utf-8-sig")
