"""A crop that waits behind the day of its harvest: until it is recorded as cut, what stands is watered, scouted and sampled."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Season
from calendar_tui.season.weeks import monday_of

# Work of a crop that waits is laid out to the end of next week, common practice, no source: nobody knows for how long it stands.
_TO_NEXT_SUNDAY = timedelta(days=13)


def while_it_waits(season: Season, timeline: Timeline, today: date) -> Timeline:
    """The timeline with the day up to which its crop is worked, where that is behind its harvest."""
    end = _waits_to(season, timeline, today)
    return timeline if end == timeline.waits_to else replace(timeline, waits_to=end)


def _waits_to(season: Season, timeline: Timeline, today: date) -> date | None:
    """The end of next week where a crop that flowered stands behind the likely day of its harvest, at most the season's last day."""
    harvest = timeline.likely("harvest")
    if harvest is None or harvest >= today or timeline.cut_through is not None:
        return None
    if not timeline.cohort.flowers_uncut:
        return None
    return min(monday_of(today) + _TO_NEXT_SUNDAY, season.last_day)
