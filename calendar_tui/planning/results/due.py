"""Which bags are out, when their results are due, and which are overdue."""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.nature.rounding import whole
from calendar_tui.season.records import Season
from calendar_tui.season.sampling import TURNAROUND_D, Sample
from calendar_tui.season.work import WORK_DAYS


class Due(NamedTuple):
    """A bag that is out. likely, latest: when its result comes, by the turnaround of its laboratory."""

    sample: Sample
    likely: date
    latest: date

    @property
    def overdue_since(self) -> date:
        """The first day on which its result should have been there."""
        return self.latest + timedelta(days=1)

    def is_overdue(self, today: date) -> bool:
        """Whether its result should have come."""
        return today > self.latest


def due_results(season: Season) -> tuple[Due, ...]:
    """The bags that were sent and have no result, by the day on which it is due."""
    reported = {result.sample for result in season.results.values()}
    out = [s for s in season.samples.values() if s.state == "sent" and s.id not in reported]
    return tuple(
        sorted((due_of(season, sample) for sample in out), key=lambda one: (one.likely, one.sample.id))
    )


def due_of(season: Season, sample: Sample) -> Due:
    """When the result of a bag comes, by the days and the turnaround of its laboratory."""
    laboratory = season.laboratories.get(sample.laboratory)
    takes = WORK_DAYS if laboratory is None else laboratory.takes
    turnaround = TURNAROUND_D if laboratory is None else laboratory.turnaround_d
    taken_in = sample.sent or sample.date
    while WORK_DAYS[taken_in.weekday()] not in takes:
        taken_in += timedelta(days=1)
    return Due(
        sample, *(taken_in + timedelta(days=whole(days)) for days in (turnaround.likely, turnaround.late))
    )
