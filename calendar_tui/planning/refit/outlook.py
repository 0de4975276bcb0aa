"""What a fit is for: the cohorts that are still to come. Whether the records bear on them, and what they would teach."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from calendar_tui.nature import refit
from calendar_tui.nature.refit import Weights
from calendar_tui.nature.teaching import expected_left
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.refit.records import InductionRecord, Light, light_of, own_timelines
from calendar_tui.season.fitted_sets import IN_SETS
from calendar_tui.season.records import Variety
from calendar_tui.season.stages import AFTER

# A day that no record had within so many hours is one that no record speaks of; so many of them are worth a warning.
NEAR_H, MANY_DAYS = 0.25, 5
# How far beyond the likely critical and full-response days a day still matters, in standard deviations.
_REACH_SD = 1.0
_SEEN = frozenset(("induced", *AFTER["induced"]))


class LightGap(NamedTuple):
    """A cohort to come whose plants will wait through days such as no record had: how many, the shortest and longest, h."""

    cohort: str
    days: int
    low_h: float
    high_h: float


class Lesson(NamedTuple):
    """What a record of a cohort to come would leave, expected, of the standard deviation of each figure, by its key.

    planted: the day of its planting.
    """

    cohort: str
    planted: date
    left: Mapping[str, float]

    @property
    def all_left(self) -> float:
        """Of all four together: the product."""
        whole = 1.0
        for part in self.left.values():
            whole *= part
        return whole


@dataclass(frozen=True, slots=True)
class Outlook:
    """gaps: cohorts that the records do not bracket; by_age: those whose date hangs on their juvenile time alone.

    lessons: what each would teach, the most first.
    """

    gaps: tuple[LightGap, ...]
    by_age: tuple[str, ...]
    lessons: tuple[Lesson, ...]


def outlook_of(plan: Plan, variety: Variety, records: Sequence[InductionRecord], after: Weights) -> Outlook:
    """What there is to know of the cohorts of the variety in this plan that have not been induced as far as is recorded."""
    pending = [t for t in own_timelines(plan, variety) if _SEEN.isdisjoint(t.cohort.recorded)]
    lights = {t.cohort.id: light_of(plan, t, after.grid.juvenile_d) for t in pending}
    growing = [(t, light) for t in pending if (light := lights[t.cohort.id]) is not None]
    lessons = sorted(_lessons(growing, after), key=lambda one: one.all_left)
    return Outlook(
        tuple(_gaps(growing, records, after)),
        tuple(t.cohort.id for t, _ in growing if _waits_for_age(t)),
        tuple(lessons),
    )


def _waits_for_age(timeline: Timeline) -> bool:
    """Whether the days are short already when its plants are ready."""
    ready = timeline.ready
    return (
        timeline.cohort.start == "seed" and ready is not None and timeline.likely("trigger") == ready.likely
    )


def _lessons(growing: Iterable[tuple[Timeline, Light]], after: Weights) -> Iterator[Lesson]:
    known: dict[object, Mapping[str, float]] = {}
    for timeline, light in growing:
        alike = light.felt_h, light.starts
        if alike not in known:
            days = refit.induction_days(light.felt_h, light.starts, after.grid)
            left = expected_left(after, days, len(light.felt_h))
            known[alike] = dict(zip(IN_SETS, left.values(), strict=True))
        yield Lesson(timeline.cohort.id, timeline.planted, known[alike])


def _gaps(
    growing: Iterable[tuple[Timeline, Light]], records: Sequence[InductionRecord], after: Weights
) -> Iterator[LightGap]:
    if not records:
        return
    known = sorted({felt for one in records for felt in _waited(one)})
    full, critical = refit.margin(after, "full_h"), refit.margin(after, "critical_h")
    low, high = full.mean - _REACH_SD * full.sd, critical.mean + _REACH_SD * critical.sd
    for timeline, light in growing:
        first, last = timeline.ready, timeline.likely("induced")
        if first is None or last is None:
            continue
        a, b = ((day - light.first).days for day in (first.likely, last))
        odd = [h for h in light.felt_h[a : b + 1] if low < h < high and not _near(h, known)]
        if len(odd) >= MANY_DAYS:
            yield LightGap(timeline.cohort.id, len(odd), min(odd), max(odd))


def _waited(one: InductionRecord) -> tuple[float, ...]:
    """The felt days (h) of a cohort from when it may have been ready until its record."""
    until = one.record.until if one.record.until < len(one.light.felt_h) else one.record.after
    return one.light.felt_h[one.light.starts[len(one.light.starts) // 3] : int(until) + 1]


def _near(felt_h: float, known: Sequence[float]) -> bool:
    from bisect import bisect_left

    at = bisect_left(known, felt_h)
    return any(abs(known[n] - felt_h) <= NEAR_H for n in (at - 1, at) if 0 <= n < len(known))
