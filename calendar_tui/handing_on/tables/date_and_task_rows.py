"""Dates and tasks as rows for spreadsheets."""

from __future__ import annotations

from collections.abc import Iterable

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.stays import growing_on
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.spreadsheets.task_table import task_values
from calendar_tui.season.records import Season
from calendar_tui.season.stages import CODES

# Of what `dates` prints: a row per cohort and stage, as `dates_rows` has them.
STAGE_COLUMNS = ("cohort", "stage", "code", "earliest", "likely", "latest", "status", "reason")

# What docs/handing-on.md says of them stands there in the same order.
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


def task_table_rows(season: Season) -> list[Row]:
    """One row per saved task, by date; its keys are TASK_COLUMNS."""
    tasks = sorted(season.tasks, key=lambda t: (t.date, t.place, t.cohort, t.id))
    return [task_values(season, task) for task in tasks]


def date_table_rows(timelines: Iterable[Timeline]) -> list[Row]:
    """One row per date of a cohort's stage: of weekly samples one each, with the range in the first; its keys are DATE_COLUMNS."""
    return [
        _date_row(timeline, stage_date, n)
        for timeline in timelines
        for stage_date in timeline.stages.values()
        for n in range(1, max(len(stage_date.dates), 1) + 1)
    ]


def _date_row(timeline: Timeline, stage_date: StageDate, n: int) -> Row:
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
