"""The response of the date as plain data for JSON and tables: a row a planting date."""

from __future__ import annotations

from collections.abc import Iterable

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.laying_out.stages import Range
from calendar_tui.planning.response.outcomes import RANGED, Outcome
from calendar_tui.planning.response.wished import Wished

_PLANNED = ("planted", "begun", "up", "transplant", "lights_off")
COLUMNS = (
    *_PLANNED,
    *(f"{stage}{end}" for stage in RANGED for end in ("", "_earliest", "_latest")),
    "growth_d",
    "never",
    "reason",
)


def response_rows(outcomes: Iterable[Outcome]) -> list[Row]:
    """A row a planting date, its keys are COLUMNS; of trigger, induced, flowering and harvest the likely date, and _earliest and _latest.

    planted, begun (seeding or sticking), up (emergence or rooted), transplant, lights_off: dates, null where there is none;
    growth_d: days of growth before induction, of a day-neutral variety before flowering; never: why it does not flower,
    else ""; reason: of its trigger, of a day-neutral variety of its flowering.
    """
    return [_row(outcome) for outcome in outcomes]


def wished_data(wished: Wished) -> Row:
    """What can be planted for a wished harvest.

    wanted: that date; off_d: days by which the likely harvest is later than it, null where nothing is harvested.
    best: the planting on working days as a row; any_day: the one that would be best if every day were worked, where that is
    another, and day_off: which of its days is not; else null. planted: the first and last of each run of planting dates with the same likely harvest.
    missed: the planting that would come nearer and had to be started before not_before, as a row, else null.
    first_harvest, last_harvest: the earliest and the latest likely harvest that can still be had.
    """
    return {
        "wanted": wished.wanted,
        "not_before": wished.begin,
        "best": wished.best and _row(wished.best),
        "any_day": wished.any_day and _row(wished.any_day),
        "day_off": wished.day_off,
        "off_d": wished.off_d if wished.best else None,
        "planted": [list(run) for run in wished.planted],
        "missed": wished.missed and _row(wished.missed),
        "first_harvest": wished.first,
        "last_harvest": wished.last,
    }


def _row(outcome: Outcome) -> Row:
    row: Row = {name: getattr(outcome, name) for name in _PLANNED}
    for stage in RANGED:
        dates: Range | None = getattr(outcome, stage)
        row[stage] = dates and dates.likely
        row[f"{stage}_earliest"] = dates and dates.earliest
        row[f"{stage}_latest"] = dates and dates.latest
    return {**row, "growth_d": outcome.growth_d, "never": outcome.never, "reason": outcome.reason}
