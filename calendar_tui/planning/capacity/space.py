"""The room that plants take in the places where they grow, and when cohorts there have more of them than fit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from calendar_tui.nature.quantities import area_of_plants_m2
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.tasks.amounts import area_of_light_m2
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.wording import day_text, number_text, some_text

# Areas that are equal on paper differ by less than this share as the machine has them.
_EQUAL = 1e-9


@dataclass(frozen=True, slots=True)
class Stay:
    """A cohort in its growing place from its first day there to the day before its harvest; the room it takes (m2)."""

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
    stays: tuple[Stay, ...]

    @property
    def needed_m2(self) -> float:
        return sum(stay.area_m2 for stay in self.stays)

    @property
    def cohorts(self) -> tuple[str, ...]:
        return tuple(stay.cohort for stay in self.stays)

    @property
    def text(self) -> str:
        """A sentence with dates, figures and ways out."""
        taken = some_text([f"{s.cohort} {square_metres(s.area_m2)}" for s in self.stays], " + ")
        when = f"from {day_text(self.first)} to {day_text(self.last)}"
        over = square_metres(self.needed_m2 - self.area_m2)
        ways = "plant closer, plant fewer, or use another place"
        if len(self.stays) > 1:
            taken += f" = {square_metres(self.needed_m2)}"
            ways = "plant fewer, use another place, or move one so that they do not overlap"
        return f"{self.light} is too small {when}: {taken} of {square_metres(self.area_m2)}, {over} too many; {ways}"


def square_metres(area_m2: float) -> str:
    """ "108 m2", "0.5 m2": to a whole m2 from 100 on, to a tenth below."""
    return f"{number_text(round(area_m2) if area_m2 >= 100 else area_m2)} m2"


def area_of_cohort_m2(cohort: Cohort) -> float | None:
    """The area that its plants take at their spacing; None without a number of plants or a spacing."""
    if cohort.plants is None or cohort.spacing_m is None:
        return None
    return area_of_plants_m2(cohort.plants, *cohort.spacing_m)


def stay_of(season: Season, timeline: Timeline) -> Stay | None:
    """When a cohort takes how much room in its growing place; None where plants or spacing are not given."""
    area = area_of_cohort_m2(timeline.cohort)
    first = timeline.likely("transplant") or timeline.likely(timeline.cohort.first_stage)
    if area is None or first is None:
        return None
    harvest = timeline.likely("harvest")
    last = season.last_day if harvest is None else harvest - timedelta(days=1)
    return Stay(timeline.cohort.id, first, max(first, last), area)


def crowdings(season: Season, timelines: Mapping[str, Timeline]) -> Iterator[Crowding]:
    """Where and when more plants stand than fit at their spacing, by light in file order, and then by date.

    Lights without an area are not looked at, nor cohorts without plants or spacing.
    """
    by_light: dict[str, list[Stay]] = {name: [] for p in season.places.values() for name in p.lights}
    for timeline in timelines.values():
        stay = stay_of(season, timeline)
        if stay is not None:
            by_light[timeline.cohort.light].append(stay)
    for light, stays in by_light.items():
        area = area_of_light_m2(season, light)
        if area is None:
            continue
        for first, last, there in _together(stays):
            if sum(s.area_m2 for s in there) > area * (1 + _EQUAL):
                yield Crowding(light, first, last, area, there)


def _together(stays: Sequence[Stay]) -> Iterator[tuple[date, date, tuple[Stay, ...]]]:
    """Each run of days with the same stays on each of them, in order of time."""
    turns = sorted({s.first for s in stays} | {s.last + timedelta(days=1) for s in stays})
    for first, end in pairwise(turns):
        there = tuple(s for s in stays if s.first <= first <= s.last)
        if there:
            yield first, end - timedelta(days=1), there


def most_at_once(counts: Iterable[tuple[date, date, int]]) -> tuple[int, date] | None:
    """The most that is in use on one day, and the first such day; None for nothing.

    counts: first day, the day after the last, and how many.
    """
    spans = [span for span in counts if span[0] < span[1]]
    sums = {day: sum(n for first, end, n in spans if first <= day < end) for day, _, _ in spans}
    day = max(sorted(sums), key=lambda d: sums[d], default=None)
    return None if day is None else (sums[day], day)
