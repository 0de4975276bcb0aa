"""Whether a batch fits into the dryer beside those that are in it, by weight and by what it is laid on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import NamedTuple

from calendar_tui.planning.drying.batches import Drying, dryings, free_again
from calendar_tui.season.capacity import Capacity
from calendar_tui.season.measures import figure, unit_shown
from calendar_tui.season.records import Season
from calendar_tui.season.wording import day_text


class _Measure(NamedTuple):
    """unit; name: of the measure, in words; taken: what a batch takes, None where it is not set; holds: what the dryer has.

    one: the unit of a single one, "" where it is the same.
    """

    unit: str
    name: str
    taken: Callable[[Drying], float | None]
    holds: Callable[[Capacity], float | None]
    one: str = ""


_WEIGHT = _Measure(
    "kg", "fresh weight", lambda drying: drying.fresh_kg, lambda capacity: capacity.dryer_holds_kg
)
# What a batch is laid on: of the dryer whose room is set by it.
_LAID = (
    _Measure("m2", "area", lambda drying: drying.batch.area_m2, lambda capacity: capacity.dryer_m2),
    _Measure(
        "trays",
        "number of trays",
        lambda drying: drying.batch.trays,
        lambda capacity: capacity.dryer_trays,
        "tray",
    ),
)
_MEASURES = (_WEIGHT, *_LAID)
# Sums of weights differ by less than this from what they are on paper, in any unit.
_EQUAL = 1e-9


def over_room(season: Season, name: str, today: date) -> str:
    """How a batch is more than the dryer holds, as a sentence with what fits; "" where it fits, or nothing is known of the room."""
    every = dryings(season)
    own = next(one for one in every if one.batch.id == name)
    return _first_over(season, own, every, today, _MEASURES)


def over_laid(season: Season, own: Drying, before: Sequence[Drying], today: date) -> str:
    """The same by what it is laid on, without its weight. before: the batches that were in before it."""
    return _first_over(season, own, before, today, _LAID)


def _first_over(
    season: Season, own: Drying, every: Sequence[Drying], today: date, measures: Sequence[_Measure]
) -> str:
    return next(filter(None, (_over(season, own, every, today, measure) for measure in measures)), "")


def _over(season: Season, own: Drying, every: Sequence[Drying], today: date, measure: _Measure) -> str:
    holds = None if season.capacity is None else measure.holds(season.capacity)
    wanted = measure.taken(own)
    if holds is None or wanted is None:
        return ""
    end = free_on(season, own, today)
    others = [o for o in every if o is not own and o.batch.date < end]
    days = sorted({own.batch.date} | {o.batch.date for o in others if o.batch.date > own.batch.date})
    for day in days:
        there = [o for o in others if o.batch.date <= day < free_on(season, o, today)]
        taken = sum(measure.taken(o) or 0.0 for o in there)
        if taken + wanted > holds + _EQUAL:
            beside = "".join(f", {_beside_text(season, o, today, measure)}" for o in there)
            left = max(holds - taken, 0.0)
            verb = "fits" if figure(left, measure.unit) == "1" else "fit"
            return (
                f"the dryer holds {_amount_text(holds, measure)}; on {day_text(day)}{beside}: "
                f"{_amount_text(left, measure)} {verb}, and {own.batch.id} has {figure(wanted, measure.unit)}"
            )
    return ""


def _beside_text(season: Season, other: Drying, today: date, measure: _Measure) -> str:
    """What another batch takes, and until when: "D2 has 28.1 kg up to 22 Jun"."""
    taken, free = measure.taken(other), day_text(free_on(season, other, today))
    if taken is None:
        return f"{other.batch.id}, whose {measure.name} is not set, is in up to {free}"
    return f"{other.batch.id} has {_amount_text(taken, measure)} up to {free}"


def _amount_text(amount: float, measure: _Measure) -> str:
    number = figure(amount, measure.unit)
    return f"{number} {measure.one if measure.one and number == '1' else unit_shown(measure.unit)}"


def weighed_in(season: Season, day: date, today: date) -> float:
    """Fresh crop of the batches that are in the dryer on a day, kg."""
    return sum(_WEIGHT.taken(one) or 0.0 for one in _in_on(season, day, today))


def _in_on(season: Season, day: date, today: date) -> list[Drying]:
    return [one for one in dryings(season) if one.batch.date <= day < free_on(season, one, today)]


def room_text(season: Season, day: date, today: date) -> str:
    """What the batches leave of the dryer on a day; "" where its room is not set."""
    parts = [
        f"{figure(taken, unit)} of {figure(holds, unit)} {unit_shown(unit)} taken, {figure(max(holds - taken, 0.0), unit)} fit"
        for taken, holds, unit in room_on(season, day, today)
    ]
    return f"Dryer on {day_text(day)}: {'; '.join(parts)}." if parts else ""


def room_on(season: Season, day: date, today: date) -> Iterator[tuple[float, float, str]]:
    """What the batches take of the dryer on a day and what it holds, in its units; nothing of what is not set."""
    there = _in_on(season, day, today)
    for measure in _MEASURES:
        holds = None if season.capacity is None else measure.holds(season.capacity)
        if holds is not None:
            yield sum(measure.taken(one) or 0.0 for one in there), holds, measure.unit


def free_on(season: Season, drying: Drying, today: date) -> date:
    """From when its room can be filled again; a batch that is not recorded as out is in there today."""
    free = free_again(season, drying)
    if not drying.is_in or drying.due >= today:
        return free
    return free + (today - drying.due)
