"""Whether a batch fits into the dryer beside those that are in it, by weight and by area."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from typing import NamedTuple

from calendar_tui.planning.drying.batches import Drying, dryings, free_again
from calendar_tui.season.capacity import Capacity
from calendar_tui.season.records import Season
from calendar_tui.season.wording import day_text, number_text


class _Measure(NamedTuple):
    """unit; taken: what a batch takes, None where it is not known; holds: what the dryer has."""

    unit: str
    taken: Callable[[Drying], float | None]
    holds: Callable[[Capacity], float | None]


_WEIGHT = _Measure("kg", lambda drying: drying.fresh_kg, lambda capacity: capacity.dryer_holds_kg)
_AREA = _Measure("m2", lambda drying: drying.batch.area_m2, lambda capacity: capacity.dryer_m2)
# Sums of weights differ by less than this from what they are on paper, kg or m2.
_EQUAL = 1e-9


def over_room(season: Season, name: str, today: date) -> str:
    """How a batch is more than the dryer holds, as a sentence with what fits; "" where it fits, or nothing is known of the room."""
    over = _over(season, name, today, _WEIGHT)
    return over.text if over else over_area(season, name, today)


def over_weight_on(season: Season, name: str, today: date) -> date | None:
    """The day on which a batch is more than the dryer holds by weight; None where it fits."""
    over = _over(season, name, today, _WEIGHT)
    return over.day if over else None


def over_area(season: Season, name: str, today: date) -> str:
    """The same by its area alone."""
    over = _over(season, name, today, _AREA)
    return over.text if over else ""


class _Over(NamedTuple):
    day: date
    text: str


def _over(season: Season, name: str, today: date, measure: _Measure) -> _Over | None:
    holds = None if season.capacity is None else measure.holds(season.capacity)
    every = dryings(season)
    own = next(one for one in every if one.batch.id == name)
    wanted = measure.taken(own)
    if holds is None or wanted is None:
        return None
    end = free_on(season, own, today)
    others = [o for o in every if o is not own and o.batch.date < end]
    days = sorted({own.batch.date} | {o.batch.date for o in others if o.batch.date > own.batch.date})
    for day in days:
        there = [o for o in others if o.batch.date <= day < free_on(season, o, today)]
        taken = sum(measure.taken(o) or 0.0 for o in there)
        if taken + wanted > holds + _EQUAL:
            beside = "".join(
                f", {o.batch.id} has {number_text(measure.taken(o) or 0.0)} {measure.unit} up to "
                f"{day_text(free_on(season, o, today))}"
                for o in there
            )
            fits = number_text(max(holds - taken, 0.0))
            return _Over(
                day,
                f"the dryer holds {number_text(holds)} {measure.unit}; on {day_text(day)}{beside}: {fits} {measure.unit} fit, "
                f"and {name} has {number_text(wanted)}",
            )
    return None


def room_text(season: Season, day: date, today: date) -> str:
    """What the batches leave of the dryer on a day; "" where its room is not set."""
    parts = [
        f"{number_text(taken)} of {number_text(holds)} {unit} taken, {number_text(max(holds - taken, 0.0))} fit"
        for taken, holds, unit in room_on(season, day, today)
    ]
    return f"Dryer on {day_text(day)}: {'; '.join(parts)}." if parts else ""


def room_on(season: Season, day: date, today: date) -> Iterator[tuple[float, float, str]]:
    """What the batches take of the dryer on a day and what it holds, kg and m2; nothing of what is not set."""
    there = [one for one in dryings(season) if one.batch.date <= day < free_on(season, one, today)]
    for measure in (_WEIGHT, _AREA):
        holds = None if season.capacity is None else measure.holds(season.capacity)
        if holds is not None:
            yield sum(measure.taken(one) or 0.0 for one in there), holds, measure.unit


def free_on(season: Season, drying: Drying, today: date) -> date:
    """From when its room can be filled again; a batch that is not recorded as out is in there today."""
    free = free_again(season, drying)
    if not drying.is_in or drying.due >= today:
        return free
    return free + (today - drying.due)
