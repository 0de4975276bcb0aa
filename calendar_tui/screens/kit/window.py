"""The days on screen: which column a day stands in, how far one can zoom, and where a window moves to."""

from __future__ import annotations

from datetime import date, timedelta
from functools import lru_cache
from typing import NamedTuple

from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.plan import Plan

# Days that a zoom shows at the least, and the columns a day then has at the least, where the width allows.
MONTHS_D, WEEKS_D, DAYS_D = 122, 60, 17
DAY_COLUMNS = 3
# The zoom that shows the cohorts and no more: days around them, and within how many of them today is shown as well.
CROPS, MARGIN_D, NEAR_D = "crops", 4, 60
# How far past the season's last day the time axis may reach to show late dates whole.
PAST_SEASON_D = 60


class Window(NamedTuple):
    """`days` days from `first` laid over `width` columns, evenly."""

    first: date
    days: int
    width: int

    @property
    def last(self) -> date:
        return self.first + timedelta(days=self.days - 1)

    def day(self, column: float) -> date:
        """The day that begins at or before a column, or a part of one."""
        return self.first + timedelta(days=int(column * self.days // self.width))

    def columns(self, day: date) -> tuple[int, int]:
        """The first and last column of a day; outside 0..width-1 where it is not on screen."""
        n = (day - self.first).days
        last = -(-(n + 1) * self.width // self.days) - 1
        return min(-(-n * self.width // self.days), last), last

    def column(self, day: date) -> int:
        return self.columns(day)[0]

    def around(self, day: date, begin: date, end: date) -> Window:
        """This window moved by half windows until it shows the day, held inside begin..end."""
        half, first = max(self.days // 2, 1), self.first
        while day < first:
            first -= timedelta(days=half)
        while day > first + timedelta(days=self.days - 1):
            first += timedelta(days=half)
        latest = end - timedelta(days=self.days - 1)
        return self._replace(first=max(min(first, latest), begin))


@lru_cache(maxsize=4)
def days_in(window: Window) -> tuple[date, ...]:
    """The day that begins at or before each column, or a part of one."""
    return tuple(window.day(x) for x in range(window.width))


def axis_ends(plan: Plan) -> tuple[date, date]:
    """The first and last day of the time axis: the season, and what its cohorts reach past it, within limits."""
    season = plan.season
    latest = [s.latest for s in _last_stages(plan)]
    limit = season.last_day + timedelta(days=PAST_SEASON_D)
    return season.first_day, max(season.last_day, min(max(latest, default=season.last_day), limit))


def _last_stages(plan: Plan) -> list[StageDate]:
    """The stages of the cohort that likely ends last. Others' futures are not asked for: the first picture has to be quick."""
    last = max(plan.timelines.values(), key=lambda t: max(s.likely for s in t.stages.values()), default=None)
    return [] if last is None else list(last.stages.values())


def crop_ends(plan: Plan) -> tuple[date, date]:
    """The first and last day of what the season opens with: its cohorts, from the first start to the last end or the
    latest harvest of the last one, and today where that is near; the whole axis where there are none.
    """
    begin, end = axis_ends(plan)
    timelines = plan.timelines.values()
    last = [s.likely for t in timelines for s in t.stages.values()]
    last += [s.latest for s in _last_stages(plan) if s.stage == "harvest"]
    if not last:
        return begin, end
    first, last_day = min(t.begun for t in timelines), max(last)
    if first - timedelta(days=NEAR_D) <= plan.today <= last_day + timedelta(days=NEAR_D):
        first, last_day = min(first, plan.today), max(last_day, plan.today)
    margin = timedelta(days=MARGIN_D)
    return max(first - margin, begin), min(last_day + margin, end)


def zooms(total_d: int, width: int, crops_d: int = 0) -> tuple[tuple[str, int], ...]:
    """The zooms there are, from the whole season in: name and days shown; each shows fewer days than the last.

    crops_d: the days that the cohorts take; 0 for none.
    """
    months = width if width >= MONTHS_D else 2 * width
    weeks = width // max(width // WEEKS_D, 1)
    days = width // max(width // DAYS_D, DAY_COLUMNS)
    out = [("season", total_d)]
    for name, shown in ((CROPS, crops_d), ("months", months), ("weeks", weeks), ("days", max(days, 1))):
        if 0 < shown < out[-1][1]:
            out.append((name, shown))
    return tuple(out)
