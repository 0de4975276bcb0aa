"""Planting dates on the farm's working days, their start, sowing or sticking, too. Lamps go off by a timer, on any day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from calendar_tui.planning.response.outcomes import Outcome
from calendar_tui.season.records import Crew
from calendar_tui.season.wording import full_day_text


def day_off(outcome: Outcome, crew: Crew) -> date | None:
    """The planting date where it is no working day, else the start where that is none; None where both are."""
    return next((day for day in (outcome.planted, outcome.begun) if not crew.works(day)), None)


def worked(outcomes: Sequence[Outcome], crew: Crew) -> list[Outcome]:
    """Those that are started and planted on working days; where there is none, those that are planted on one, else all."""
    planted = [o for o in outcomes if crew.works(o.planted)]
    return [o for o in planted if crew.works(o.begun)] or planted or list(outcomes)


def nearest_worked(outcomes: Sequence[Outcome], outcome: Outcome, crew: Crew) -> Outcome:
    """Of these the one on working days that is planted nearest to `outcome`, the earlier of two; itself where there is none."""
    near = [o for o in outcomes if day_off(o, crew) is None]
    return min(near, key=lambda o: (abs((o.planted - outcome.planted).days), o.planted), default=outcome)


def day_off_text(outcome: Outcome, day: date) -> str:
    """ "Sun 8 Nov 2026 is no working day", "its start, Sun 15 Nov 2026, is no working day". day: its day off."""
    start = full_day_text(day) if day == outcome.planted else f"its start, {full_day_text(day)},"
    return f"{start} is no working day"
