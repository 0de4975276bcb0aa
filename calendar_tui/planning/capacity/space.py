"""The room that plants take in the places where they grow, and when cohorts there have more of them than fit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from calendar_tui.planning.laying_out.stays import growing
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.tasks.amounts import area_of_cohort_m2, area_of_light_m2
from calendar_tui.season.measures import area_text
from calendar_tui.season.records import Season
from calendar_tui.season.wording import day_text, some_text

# Areas that are equal on paper differ by less than this share as the machine has them.
_EQUAL = 1e-9
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Taken:
    """The room (m2) that a cohort takes where it grows, from its first day there to the day before it leaves or is cut."""

    cohort: str
    first: date
    last: date
    area_m2: float


@dataclass(frozen=True, slots=True)
class Crowding:
    """Days, both ends counted, on which cohorts under one light take more room than there is.

    light: a place's id, or the name of a screened part; area_m2: what there is of it.
    """

    light: str
    first: date
    last: date
    area_m2: float
    taken: tuple[Taken, ...]

    @property
    def needed_m2(self) -> float:
        return sum(taken.area_m2 for taken in self.taken)

    @property
    def cohorts(self) -> tuple[str, ...]:
        return tuple(taken.cohort for taken in self.taken)

    @property
    def text(self) -> str:
        """A sentence with dates, figures and ways out."""
        shares = some_text([f"{t.cohort} {area_text(t.area_m2)}" for t in self.taken], " + ")
        when = f"from {day_text(self.first)} to {day_text(self.last)}"
        over = area_text(self.needed_m2 - self.area_m2)
        ways = "plant closer, plant fewer, or use another place"
        if len(self.taken) > 1:
            shares += f" = {area_text(self.needed_m2)}"
            ways = "plant fewer, use another place, or move one so that they do not overlap"
        return f"{self.light} is too small {when}: {shares} of {area_text(self.area_m2)}, {over} too many; {ways}"


def room_taken(season: Season, timeline: Timeline) -> Iterator[tuple[str, Taken]]:
    """When a cohort takes how much room under each light where it grows; nothing where plants or spacing are not given.

    It takes its last place for a day at least.
    """
    area = area_of_cohort_m2(season, timeline.cohort)
    if area is None:
        return
    cut = timeline.likely("harvest") or season.last_day + _DAY
    grown = growing(timeline.stays)
    for stay in grown:
        first, last = max(stay.first, timeline.begun), min(stay.end, cut) - _DAY
        if first <= last or len(grown) == 1:
            yield stay.light, Taken(timeline.cohort.id, first, max(first, last), area)


def crowdings(season: Season, timelines: Mapping[str, Timeline]) -> Iterator[Crowding]:
    """Where and when more plants stand than fit at their spacing, by light in file order, and then by date.

    Lights without an area are not looked at, nor cohorts without plants or spacing.
    """
    by_light: dict[str, list[Taken]] = {name: [] for p in season.places.values() for name in p.lights}
    for timeline in timelines.values():
        for light, taken in room_taken(season, timeline):
            by_light[light].append(taken)
    for light, all_taken in by_light.items():
        area = area_of_light_m2(season, light)
        if area is None:
            continue
        for first, last, there in _together(all_taken):
            if sum(t.area_m2 for t in there) > area * (1 + _EQUAL):
                yield Crowding(light, first, last, area, there)


def _together(all_taken: Sequence[Taken]) -> Iterator[tuple[date, date, tuple[Taken, ...]]]:
    """Each run of days with the same cohorts on each of them, in order of time."""
    turns = sorted({t.first for t in all_taken} | {t.last + _DAY for t in all_taken})
    for first, end in pairwise(turns):
        there = tuple(t for t in all_taken if t.first <= first <= t.last)
        if there:
            yield first, end - _DAY, there


def most_at_once(counts: Iterable[tuple[date, date, int]]) -> tuple[int, date] | None:
    """The most that is in use on one day, and the first such day; None for nothing.

    counts: first day, the day after the last, and how many.
    """
    spans = [span for span in counts if span[0] < span[1]]
    sums = {day: sum(n for first, end, n in spans if first <= day < end) for day, _, _ in spans}
    day = max(sorted(sums), key=lambda d: sums[d], default=None)
    return None if day is None else (sums[day], day)
