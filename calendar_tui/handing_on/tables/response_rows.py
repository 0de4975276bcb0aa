"""The response of the date as plain data for JSON and tables: a row a planting date."""

from __future__ import annotations

from collections.abc import Iterable

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.laying_out.stages import Range
from calendar_tui.planning.response.outcomes import RANGED, Outcome


def response_rows(outcomes: Iterable[Outcome]) -> list[Row]:
    """A row a planting date; of trigger, induced, flowering and harvest the likely date, and _earliest and _latest.

    planted, begun (seeding or sticking), up (emergence or rooted), transplant, lights_off: dates, null where there is none;
    growth_d: days of growth before induction, of a day-neutral variety before flowering; never: why it does not flower,
    else ""; reason: of its trigger, of a day-neutral variety of its flowering.
    """
    return [_row(outcome) for outcome in outcomes]


def _row(outcome: Outcome) -> Row:
    row: Row = {
        name: getattr(outcome, name) for name in ("planted", "begun", "up", "transplant", "lights_off")
    }
    for stage in RANGED:
        dates: Range | None = getattr(outcome, stage)
        row[stage] = dates and dates.likely
        row[f"{stage}_earliest"] = dates and dates.earliest
        row[f"{stage}_latest"] = dates and dates.latest
    return {**row, "growth_d": outcome.growth_d, "never": outcome.never, "reason": outcome.reason}
