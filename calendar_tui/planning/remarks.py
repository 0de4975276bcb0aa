"""Remarks: what fits by the likely dates, and clashes in a fifth of the futures or more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import NamedTuple

from calendar_tui.planning.capacity.by_week import LEAST_OVER, WeekUse, cohort_uses, most_by_week
from calendar_tui.planning.capacity.futures import in_futures, with_futures
from calendar_tui.planning.capacity.uses import WEEK
from calendar_tui.planning.clash_words import FEW_GROWTH_D
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Season
from calendar_tui.season.weeks import monday_of
from calendar_tui.season.wording import some_text, weekday_text


def remarks(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[str]:
    """Each a sentence."""
    if text := small_text(timelines.values()):
        yield text
    for remark in dryer_remarks(season, timelines.values(), today):
        yield remark.text


def small_text(timelines: Iterable[Timeline]) -> str:
    """The cohorts that grow long enough as is likely, and stay small in some futures; "" for none."""
    told = []
    for timeline in timelines:
        grown, likely = timeline.growth_in_futures, timeline.growth_d
        few = sum(days < FEW_GROWTH_D for days in grown)
        if likely is not None and likely >= FEW_GROWTH_D and few and few >= LEAST_OVER * len(grown):
            told.append(f"{timeline.cohort.id} in {few} of {len(grown)} futures")
    if not told:
        return ""
    return f"with under {FEW_GROWTH_D} d of growth before induction plants stay small: {some_text(told)}"


class DryerRemark(NamedTuple):
    """Weeks on end in which the dryer fits by the likely dates and may be over-full, the first and the last by their Mondays.

    over: in how many futures of how many (of), in the worst of them.
    """

    first: date
    last: date
    over: int
    of: int

    @property
    def text(self) -> str:
        weeks = f"in the week of {weekday_text(self.first)}, in"
        if self.last > self.first:
            weeks = f"in the weeks from {weekday_text(self.first)} to {weekday_text(self.last)}, in up to"
        return (
            f"the dryer holds the crop by the likely dates, and may be over-full {weeks} {self.over} of {self.of} "
            "futures; calendar-tui load dryer shows each week"
        )


def dryer_remarks(season: Season, timelines: Iterable[Timeline], today: date) -> Iterator[DryerRemark]:
    """From this week on; none where the dryer's capacity is not set."""
    if season.capacity is None or season.capacity.dryer_holds_kg is None:
        return
    laid = list(timelines)
    likely = most_by_week(season, cohort_uses(season, laid, "dryer", today))
    futures = in_futures(season, laid, ("dryer",), today)["dryer"]
    yield from remarks_of(with_futures(season, likely, futures), today)


def remarks_of(uses: Iterable[WeekUse], today: date) -> Iterator[DryerRemark]:
    """The weeks that may be over-full, from this one on, weeks on end together. uses: of one limit, by week."""
    run: DryerRemark | None = None
    for use in uses:
        if use.futures is None or not use.may_be_over or use.monday < monday_of(today):
            continue
        if run is not None and use.monday == run.last + WEEK:
            run = run._replace(last=use.monday, over=max(run.over, use.futures.over))
            continue
        if run is not None:
            yield run
        run = DryerRemark(use.monday, use.monday, use.futures.over, use.futures.of)
    if run is not None:
        yield run
