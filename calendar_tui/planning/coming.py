"""What comes next with a cohort: a date that is overdue, or its next stage from today on."""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.waiting import missing
from calendar_tui.season.stages import DECIDED, STAGES
from calendar_tui.season.wording import day_text, days_text, stage_text, weekday_text


class Coming(NamedTuple):
    """stage: a name of the table of stages. day: its likely date. days: from today to it, below 0 where it is overdue.

    decided: whether the grower decides on it.
    """

    stage: str
    day: date
    days: int
    decided: bool

    @property
    def short(self) -> str:
        """ "lights off 12 Dec", "sampling today", "transplant 4 d late"."""
        name = stage_text(self.stage)
        if self.days < 0:
            return f"{name} {-self.days} d late"
        return f"{name} today" if self.days == 0 else f"{name} {day_text(self.day)}"

    @property
    def long(self) -> str:
        """ "lights off Sat 12 Dec, in 4 days"."""
        if self.days <= 0:
            return self.short
        return f"{stage_text(self.stage)} {weekday_text(self.day)}, in {days_text(self.days)}"


def coming(timeline: Timeline, today: date) -> Coming | None:
    """The earliest stage that was planned before today and is not recorded, else the next one; None after the last.

    What the plants do by themselves is never called overdue: its date is projected anew each day. Nothing is dried before its
    harvest is recorded.
    """
    late = next(iter(missing(timeline.cohort, today)), None)
    if late is not None:
        day = timeline.cohort.intended(late) or today
        return Coming(late, day, (day - today).days, decided=True)
    harvest = timeline.stages.get("harvest")
    uncut = harvest is not None and harvest.status != "recorded" and harvest.likely < today
    ahead = [
        (day, STAGES.index(name), name)
        for name, stage in timeline.stages.items()
        if stage.status != "recorded" and not (uncut and name == "dried")
        for day in stage.dates or (stage.likely,)
        if day >= today
    ]
    if not ahead:
        return None
    day, _, name = min(ahead)
    return Coming(name, day, (day - today) // timedelta(days=1), name in DECIDED)
