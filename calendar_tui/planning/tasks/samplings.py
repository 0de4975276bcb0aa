"""On which days a cohort is sampled for the laboratory, and so how many bags and samples it comes to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from datetime import date, timedelta
from typing import TYPE_CHECKING

from calendar_tui.planning.laying_out.timeline import SAMPLE_EVERY_D, Timeline
from calendar_tui.planning.tasks.chore_dates import applies, span_of
from calendar_tui.season.records import Chore, Season, Task
from calendar_tui.season.supplies import Supplies

if TYPE_CHECKING:
    from calendar_tui.planning.sampling.planned import Trip


def is_in_plan(season: Season, cohort: str) -> bool:
    """Whether a sampling plan tells when bags of a cohort are cut."""
    return any(not plan.cohorts or cohort in plan.cohorts for plan in season.samplings.values())


def bags_by_day(season: Season, timeline: Timeline) -> dict[date, int]:
    """How many bags are cut of a cohort on each day: by the sampling plans that it is in, else at each weekly sampling."""
    if is_in_plan(season, timeline.cohort.id):
        from calendar_tui.planning.sampling.planned import bags_of_cohort

        return Counter(bag.day for bag in bags_of_cohort(season, timeline))
    bags = (season.supplies or Supplies()).bags_per_sampling
    return dict.fromkeys(_weekly(season, timeline), bags)


def cuts_by_plan(season: Season, chore: Chore, cohort: str = "") -> bool:
    """Whether a chore is the work of cutting bags on the days of the season's sampling plans. cohort: whether for it."""
    if not season.samplings or "bags" not in chore.shows or not chore.repeat or chore.together:
        return False
    return not cohort or (cohort in season.cohorts and is_in_plan(season, cohort))


def rounds(
    season: Season, chore: Chore, timelines: Mapping[str, Timeline], standing: Collection[Task]
) -> Iterator[tuple[int, Trip]]:
    """The rounds in which bags are cut, each with a number that its day gives it.

    standing: tasks that are done, skipped or moved by hand: where the work of a day stands for some cohorts, the others
    have it yet to come.
    """
    from calendar_tui.planning.sampling.planned import planned_bags, trips

    kin = {name: t for name, t in timelines.items() if applies(season, chore, t)}
    settled = {(t.n, name) for t in standing if t.chore == chore.id for name in t.about}
    for trip in trips(planned_bags(season, kin)):
        n = max((trip.day - season.first_day).days + 1, 1)
        left = tuple(bag for bag in trip.bags if (n, bag.cohort) not in settled)
        if left:
            yield n, trip._replace(bags=left)


def sampling_dates(season: Season, timeline: Timeline) -> tuple[date, ...]:
    """The days on which bags are cut: by its sampling plans, else weekly from flowering to harvest.

    Without a plan it goes on to the last day of the chore that shows bags, where that is later.
    """
    return tuple(bags_by_day(season, timeline))


def _weekly(season: Season, timeline: Timeline) -> Iterator[date]:
    sampling = timeline.stages.get("sampling")
    if sampling is None:
        return
    dates, last = sampling.dates, _last_day(season, timeline)
    yield from dates
    if last is None or not dates:
        return
    further = range(SAMPLE_EVERY_D, (last - dates[-1]).days + 1, SAMPLE_EVERY_D)
    yield from (dates[-1] + timedelta(days=n) for n in further)


def _last_day(season: Season, timeline: Timeline) -> date | None:
    """The last day on which a chore that shows bags may fall for a cohort; None where it has none."""
    spans = [
        span_of(chore, timeline)
        for chore in season.chores.values()
        if "bags" in chore.shows and applies(season, chore, timeline)
    ]
    return max((span[1] for span in spans if span is not None), default=None)
