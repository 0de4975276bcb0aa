"""On which days a cohort is sampled for the laboratory, and so how many bags and samples it comes to."""

from __future__ import annotations

from datetime import date, timedelta

from calendar_tui.planning.laying_out.timeline import SAMPLE_EVERY_D, Timeline
from calendar_tui.planning.tasks.chore_dates import applies, span_of
from calendar_tui.season.records import Season


def sampling_dates(season: Season, timeline: Timeline) -> tuple[date, ...]:
    """Weekly from flowering to harvest, and on to the last day of the chore that shows bags, where that is later."""
    sampling = timeline.stages.get("sampling")
    if sampling is None:
        return ()
    dates, last = sampling.dates, _last_day(season, timeline)
    if last is None or not dates:
        return dates
    further = range(SAMPLE_EVERY_D, (last - dates[-1]).days + 1, SAMPLE_EVERY_D)
    return (*dates, *(dates[-1] + timedelta(days=n) for n in further))


def _last_day(season: Season, timeline: Timeline) -> date | None:
    """The last day on which a chore that shows bags may fall for a cohort; None where it has none."""
    spans = [
        span_of(chore, timeline)
        for chore in season.chores.values()
        if "bags" in chore.shows and applies(season, chore, timeline)
    ]
    return max((span[1] for span in spans if span is not None), default=None)
