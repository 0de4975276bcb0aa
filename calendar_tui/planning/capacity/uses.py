"""What cohorts take of the farm's capacities: spans of days and amounts; and what there is of each."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Mapping
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.nature.rounding import whole
from calendar_tui.planning.capacity.hours import has_hours
from calendar_tui.planning.capacity.space import room_taken
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.tasks.amounts import area_of_light_m2, trays_of
from calendar_tui.planning.tasks.samplings import bags_by_day
from calendar_tui.season.capacity import Capacity
from calendar_tui.season.records import Crew, Season, Variety
from calendar_tui.season.weeks import monday_of

WEEK = timedelta(days=7)
WEEKLY = ("hours", "samples")
UNITS: Mapping[str, str] = {
    "room": "m2",
    "trays": "trays",
    "dryer": "kg",
    "hours": "h",
    "samples": "samples",
}
WHAT: Mapping[str, str] = {
    "room": "room in {}",
    "trays": "trays on the benches of {}",
    "dryer": "fresh crop in the dryer",
    "hours": "person-hours of {}",
    "samples": "samples for the laboratory",
}


class Limit(NamedTuple):
    """kind: "room", "trays", "dryer", "hours" or "samples"; of: a light, a nursery or a role, or ""."""

    kind: str
    of: str = ""


class Use(NamedTuple):
    """So much is taken on the days from `first` up to, not including, `end`; cohort: by which, "" where not one alone."""

    limit: Limit
    first: date
    end: date
    amount: float
    cohort: str = ""


def crop_uses(season: Season, timeline: Timeline, today: date | None = None) -> Iterator[Use]:
    """What a cohort takes of the benches (trays), the dryer (kg) and the laboratory (samples of a week, Monday to Sunday).

    Fresh crop only as the grower set or weighed it. today: as `dryer_uses` has it.
    """
    yield from tray_uses(season, timeline)
    yield from dryer_uses(season, timeline, today)
    yield from sample_uses(season, timeline)


def room_uses(season: Season, timeline: Timeline) -> Iterator[Use]:
    """What a cohort's plants take where they grow (m2); nothing where plants or spacing are not given."""
    for light, taken in room_taken(season, timeline):
        yield Use(
            Limit("room", light), taken.first, taken.last + timedelta(days=1), taken.area_m2, taken.cohort
        )


def tray_uses(season: Season, timeline: Timeline) -> Iterator[Use]:
    cohort = timeline.cohort
    trays = trays_of(season, cohort) if cohort.nursery else None
    if trays is None:
        return
    for stay in timeline.stays:
        first = max(timeline.begun, stay.first)
        if stay.in_nursery and first < stay.end:
            yield Use(Limit("trays", stay.place), first, stay.end, trays, cohort.id)


def dryer_uses(season: Season, timeline: Timeline, today: date | None = None) -> Iterator[Use]:
    """What a cohort takes of the dryer: what was cut and weighed, as it dries, and at the harvest what is left to cut.

    today: a batch that is not recorded as out is still in on it; None for a cohort that is only tried out.
    """
    cohort, variety, harvest = timeline.cohort, timeline.variety, timeline.likely("harvest")
    # A cohort that is only tried out is none of the season, and nothing of it is cut.
    cut = list(_cut_uses(season, cohort.id, today)) if season.passes and cohort.id in season.cohorts else []
    yield from cut
    each = fresh_kg_each(season, variety)
    if harvest is None or cohort.plants is None or each is None:
        return
    if cut and "harvest" in cohort.recorded:
        return
    capacity = season.capacity or Capacity()
    days = (capacity.dryer_d or whole(variety.drying_d.likely)) + capacity.dryer_clean_d
    kg = cohort.plants * each - sum(use.amount for use in cut)
    if kg > 0:
        yield Use(Limit("dryer"), harvest, harvest + timedelta(days=days), kg, cohort.id)


def fresh_kg_each(season: Season, variety: Variety) -> float | None:
    """Fresh crop of a plant, kg: as it is set, else as all that was cut of the variety was weighed; None where neither is."""
    if variety.fresh_kg_per_plant is not None or not season.passes:
        return variety.fresh_kg_per_plant
    from calendar_tui.planning.drying.weighed import weighed_each

    return weighed_each(season, variety)


def _cut_uses(season: Season, cohort: str, today: date | None) -> Iterator[Use]:
    """Each weighed pass of a cohort, from the day its batch went in until the room is free again; in no batch, from its own."""
    from calendar_tui.planning.drying.batches import drying_days, drying_of
    from calendar_tui.planning.drying.room import free_on
    from calendar_tui.season.lots import passes_of

    clean_d = (season.capacity or Capacity()).dryer_clean_d
    for one in passes_of(season, cohort):
        if one.weight_kg is None:
            continue
        if one.batch in season.batches:
            drying = drying_of(season, season.batches[one.batch])
            first, end = drying.batch.date, free_on(season, drying, today or drying.due)
        else:
            first, end = one.date, one.date + timedelta(days=drying_days(season, one) + clean_d)
        yield Use(Limit("dryer"), first, end, one.weight_kg, cohort)


def sample_uses(season: Season, timeline: Timeline, weeks: Container[date] | None = None) -> Iterator[Use]:
    """What the laboratory is sent of a cohort by week; weeks: only these, by their Mondays."""
    if timeline.likely("harvest") is None or "sampling" not in timeline.stages:
        return
    limit, name = Limit("samples"), timeline.cohort.id
    for day, bags in bags_by_day(season, timeline).items():
        monday = monday_of(day)
        if weeks is None or monday in weeks:
            yield Use(limit, monday, monday + WEEK, bags, name)


def has_of(season: Season, limit: Limit, day: date) -> float | None:
    """The capacity of a limit on a day, or in the day's week; None if it is not set."""
    return _HAS[limit.kind](season, limit.of, day)


def _has_trays(season: Season, nursery: str, day: date) -> float | None:
    return season.places[nursery].trays


def _has_dryer(season: Season, of: str, day: date) -> float | None:
    return None if season.capacity is None else season.capacity.dryer_holds_kg


def _has_hours(season: Season, role: str, day: date) -> float | None:
    return has_hours(season.crew or Crew(), role, monday_of(day))


def _has_samples(season: Season, of: str, day: date) -> float | None:
    return None if season.capacity is None else season.capacity.samples_per_week


_HAS: Mapping[str, Callable[[Season, str, date], float | None]] = {
    "room": lambda season, light, day: area_of_light_m2(season, light),
    "trays": _has_trays,
    "dryer": _has_dryer,
    "hours": _has_hours,
    "samples": _has_samples,
}
