"""Whether a batch fits into the dryer beside those that are in it, by weight and by area."""

from __future__ import annotations

from collections.abc import Callable
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


_MEASURES = (
    _Measure("kg", lambda drying: drying.fresh_kg, lambda capacity: capacity.dryer_holds_kg),
    _Measure("m2", lambda drying: drying.batch.area_m2, lambda capacity: capacity.dryer_m2),
)
# Sums of weights differ by less than this from what they are on paper, kg or m2.
_EQUAL = 1e-9


def over_room(season: Season, name: str) -> str:
    """How a batch is more than the dryer holds, as a sentence with what fits; "" where it fits, or nothing is known of the room."""
    texts = (_over(season, name, measure) for measure in _MEASURES)
    return next(filter(None, texts), "")


def _over(season: Season, name: str, measure: _Measure) -> str:
    holds = None if season.capacity is None else measure.holds(season.capacity)
    every = dryings(season)
    own = next(one for one in every if one.batch.id == name)
    wanted = measure.taken(own)
    if holds is None or wanted is None:
        return ""
    end = free_again(season, own)
    others = [
        o for o in every if o is not own and o.batch.date < end and own.batch.date < free_again(season, o)
    ]
    days = sorted({own.batch.date} | {o.batch.date for o in others if o.batch.date > own.batch.date})
    for day in days:
        there = [o for o in others if o.batch.date <= day < free_again(season, o)]
        taken = sum(measure.taken(o) or 0.0 for o in there)
        if taken + wanted > holds + _EQUAL:
            beside = "".join(
                f", {o.batch.id} has {number_text(measure.taken(o) or 0.0)} {measure.unit} up to {day_text(free_again(season, o))}"
                for o in there
            )
            fits = number_text(max(holds - taken, 0.0))
            return (
                f"the dryer holds {number_text(holds)} {measure.unit}; on {day_text(day)}{beside}: {fits} {measure.unit} fit, "
                f"and {name} has {number_text(wanted)}"
            )
    return ""


def room_text(season: Season, day: date) -> str:
    """What the batches leave of the dryer on a day; "" where its room is not set."""
    there = [one for one in dryings(season) if one.batch.date <= day < free_again(season, one)]
    parts = []
    for measure in _MEASURES:
        holds = None if season.capacity is None else measure.holds(season.capacity)
        if holds is not None:
            taken = sum(measure.taken(one) or 0.0 for one in there)
            parts.append(
                f"{number_text(taken)} of {number_text(holds)} {measure.unit} taken, "
                f"{number_text(max(holds - taken, 0.0))} fit"
            )
    return f"Dryer on {day_text(day)}: {'; '.join(parts)}." if parts else ""
