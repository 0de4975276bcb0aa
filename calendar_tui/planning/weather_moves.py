"""What yesterday's temperatures have moved: the season laid out with them, and as it was known before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.records import Season
from calendar_tui.season.weather import StationDays, by_day, known_days
from calendar_tui.season.wording import day_move_text, stage_text


class WeatherMove(NamedTuple):
    """A stage whose likely date temperatures have moved."""

    cohort: str
    stage: str
    old: date
    new: date

    @property
    def text(self) -> str:
        """ "A1 flowering 12 Dec -> 10 Dec"."""
        return f"{self.cohort} {stage_text(self.stage)} {day_move_text(self.old, self.new)}"


def has_new_days(season: Season, today: date) -> bool:
    """Whether a season that runs on heat has temperatures of yesterday or today, so that they may have moved something."""
    if season.heat is None:
        return False
    return max(by_day(known_days(season)), default=date.min) >= today - timedelta(days=1)


def moved_by_weather(plan: Plan) -> tuple[WeatherMove, ...]:
    """The likely dates that the temperatures of yesterday and today have moved, those moved furthest first."""
    if not has_new_days(plan.season, plan.today):
        return ()
    before = make_plan(_without(plan.season, plan.today - timedelta(days=1)), plan.today)
    moves = [
        WeatherMove(name, stage, old.likely, new.likely)
        for name, timeline in plan.timelines.items()
        for stage, new in timeline.stages.items()
        if (old := before.timelines[name].stages.get(stage)) is not None
        and old.likely is not None
        and new.likely is not None
        and old.likely != new.likely
    ]
    return tuple(sorted(moves, key=lambda move: -abs(move.new - move.old)))


def moves_text(moves: Sequence[WeatherMove]) -> str:
    """ "weather since yesterday: A1 flowering 12 Dec -> 10 Dec and 3 more dates"; "" of none."""
    if not moves:
        return ""
    more = len(moves) - 1
    behind = f" and {more} more date{'' if more == 1 else 's'}" if more else ""
    return f"weather since yesterday: {moves[0].text}{behind}"


def _without(season: Season, first: date) -> Season:
    """The season as if no temperatures were known from a day on."""
    read_off = tuple(one for one in season.thermometer if one.date < first)
    return replace(season, thermometer=read_off, weather=_until(season.weather, first))


def _until(days: StationDays | None, first: date) -> StationDays | None:
    if days is None:
        return None
    count = max((first - days.first).days, 0)
    if not count:
        return None
    return replace(days, low_c=days.low_c[:count], high_c=days.high_c[:count])
