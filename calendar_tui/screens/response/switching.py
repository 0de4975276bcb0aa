"""What a planting is switched to: the next variety, place, nursery, start, or days under lamps."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from calendar_tui.planning.response.outcomes import Planting
from calendar_tui.season.records import Season

# Days after planting at which the lamps are tried off; None: natural days.
OFF_D: tuple[int | None, ...] = (None, 14, 28, 42, 56)


def _after(known: Sequence[Any], now: object) -> Any:
    """The one after; the first after the last, and where it is none of them."""
    return known[(known.index(now) + 1) % len(known)] if now in known else known[0]


def _next_variety(season: Season, planting: Planting) -> Planting:
    return replace(planting, variety=_after(list(season.varieties), planting.variety), nursery_d=None)


def _next_place(season: Season, planting: Planting) -> Planting:
    lights = [(p.id, part) for p in season.places.values() for part in p.parts]
    place, part = _after(lights, (planting.place, planting.part))
    return replace(planting, place=place, part=part)


def _next_nursery(season: Season, planting: Planting) -> Planting:
    nurseries = [p.id for p in season.places.values() if p.kind == "nursery" and p.id != planting.place]
    return replace(planting, nursery=_after([None, *nurseries], planting.nursery))


def _next_start(season: Season, planting: Planting) -> Planting:
    return replace(planting, start="seed" if planting.start == "cutting" else "cutting")


def _next_off(season: Season, planting: Planting) -> Planting:
    return replace(planting, lights_off=_after(OFF_D, planting.lights_off))


NEXT: Mapping[str, Callable[[Season, Planting], Planting]] = {
    "variety": _next_variety,
    "place": _next_place,
    "nursery": _next_nursery,
    "start": _next_start,
    "lights_off": _next_off,
}


# Why a key finds nothing to change to.
NO_OTHER = {
    "variety": "The season has no other variety.",
    "place": "The season has no other place.",
    "nursery": "The season has no other place of the kind nursery.",
    "start": "There is no other start.",
    "lights_off": "{place} has no lamps: its days are natural ones.",
}


def fitting_place(season: Season, planting: Planting) -> Planting:
    """Without lamps where the place has none, and without a nursery that is the place itself."""
    lit = season.places[planting.place].lamps is not None
    nursery = None if planting.nursery == planting.place else planting.nursery
    return replace(planting, nursery=nursery, lights_off=planting.lights_off if lit else None)


def stands(season: Season, planting: Planting) -> bool:
    """Whether the season still has all that the planting needs."""
    place = season.places.get(planting.place)
    nursery = planting.nursery is None or planting.nursery in season.places
    there = place is not None and planting.part in place.parts
    return there and nursery and planting.variety in season.varieties
