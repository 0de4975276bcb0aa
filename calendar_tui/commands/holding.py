"""Which work must not be done on its day, for commands that read the saved tasks alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from calendar_tui.planning.cutting.holds import Hold
    from calendar_tui.planning.laying_out.timeline import Timeline
    from calendar_tui.season.records import Season, Task
    from calendar_tui.storage.opening import Opened


def holds_shown(opened: Opened, season: Season, tasks: Iterable[Task], today: date) -> Mapping[str, Hold]:
    """By the ids of these tasks."""
    from calendar_tui.planning.cutting.holds import holds_of

    return holds_of(season, standing(opened, season, today), tasks, today)


def tick_hold_texts(opened: Opened, season: Season, done: Sequence[tuple[Task, date]]) -> tuple[str, ...]:
    """Why tasks were not to be done on the days on which they are ticked. done: the tasks that are not done yet, with these days."""
    if not done or not (season.sprays or season.officials or season.profiles):
        return ()
    from calendar_tui.planning.cutting.holds import tick_holds

    return tick_holds(season, standing(opened, season, min(day for _, day in done)), done)


def standing(opened: Opened, season: Season, day: date) -> Mapping[str, Timeline]:
    """Where cohorts stand, by ripeness: laid out only while sprays are waited for on a day; of a season with problems nothing."""
    from calendar_tui.planning.cutting.holds import are_sprays_waited_for

    if opened.problems or not are_sprays_waited_for(season, day):
        return {}
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import with_weather

    whole = with_weather(opened).season
    return {} if whole is None else make_plan(whole, day).ripe
