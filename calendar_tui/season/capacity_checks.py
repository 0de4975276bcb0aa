"""What must hold of capacities: dates in order and near the season, and a dryer told in one way."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

from calendar_tui.season.problems import Problem
from calendar_tui.season.records import Season

_FAR_D = 366


def _windows(season: Season) -> Iterator[Problem]:
    capacity = season.capacity
    if capacity is None:
        return
    for kind, first, last in (
        ("planting", capacity.planting_from, capacity.planting_to),
        ("harvest", capacity.harvest_from, capacity.harvest_to),
    ):
        if first is not None and last is not None and last < first:
            yield Problem(
                ("capacity", f"{kind}_to"),
                f"capacity: {kind}_to {last} is before {kind}_from {first}; give them in order",
            )
        for key, day in ((f"{kind}_from", first), (f"{kind}_to", last)):
            if day is not None and not season.first_day <= day <= season.last_day:
                yield Problem(("capacity", key), f"capacity: {key} {day} {_outside(season)}")


def _outside(season: Season) -> str:
    return f"is outside the season, {season.first_day} to {season.last_day}"


def _frost(season: Season) -> Iterator[Problem]:
    site = season.site
    days = (
        ("last_frost", site.last_frost),
        ("first_frost", site.first_frost),
        ("storms_from", site.storms_from),
    )
    for key, day in days:
        if day is not None and _far(season, day):
            yield Problem(
                ("site", key),
                f"site: {key} {day} is far from the season, {season.first_day} to {season.last_day}; is it the right year?",
            )
    if site.last_frost is not None and site.first_frost is not None and site.first_frost <= site.last_frost:
        yield Problem(
            ("site", "first_frost"),
            f"site: first_frost {site.first_frost} is not after last_frost {site.last_frost}; last_frost is of the spring "
            f"and first_frost of the autumn behind it",
        )


def _far(season: Season, day: date) -> bool:
    return (season.first_day - day).days > _FAR_D or (day - season.last_day).days > _FAR_D


def _dryer(season: Season) -> Iterator[Problem]:
    capacity = season.capacity
    if capacity is None:
        return
    if capacity.dryer_kg is not None and capacity.dryer_m2 is not None:
        yield Problem(
            ("capacity", "dryer_m2"),
            "capacity: the dryer is set by dryer_kg and by dryer_m2; leave one of the two out",
        )
    if (capacity.dryer_m2 is None) != (capacity.dryer_kg_per_m2 is None):
        there, missing = (
            ("dryer_m2", "dryer_kg_per_m2")
            if capacity.dryer_kg_per_m2 is None
            else ("dryer_kg_per_m2", "dryer_m2")
        )
        yield Problem(
            ("capacity", there), f"capacity: {there} needs {missing} beside it, such as {missing} = 10"
        )


def _benches(season: Season) -> Iterator[Problem]:
    for i, place in enumerate(season.places.values()):
        if place.trays is not None and place.kind != "nursery":
            yield Problem(
                ("place", i, "trays"),
                f'place {place.id} has trays on benches and is a {place.kind}; take trays out, or write kind = "nursery"',
            )


CAPACITY_CHECKS: tuple[Callable[[Season], Iterator[Problem]], ...] = (_windows, _frost, _dryer, _benches)
