"""What must hold of capacities: dates in order and near the season, and a dryer told in one way."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

from calendar_tui.season.problems import Problem
from calendar_tui.season.records import Season

_FAR_D = 366
# What a dryer is laid out by, what of the crop goes on each, and a figure to show (kg; starting values, no source).
_LAID = {"dryer_m2": ("dryer_kg_per_m2", 10), "dryer_trays": ("dryer_kg_per_tray", 1.5)}


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
    given = [key for key in ("dryer_kg", *_LAID) if getattr(capacity, key) is not None]
    if len(given) > 1:
        yield Problem(
            ("capacity", given[-1]),
            f"capacity: the dryer is set by {' and by '.join(given)}; leave all but one of them out",
        )
    for of, (each, such) in _LAID.items():
        here = [key for key in (of, each) if getattr(capacity, key) is not None]
        if len(here) == 1:
            missing, value = (each, such) if here == [of] else (of, 40)
            yield Problem(
                ("capacity", here[0]),
                f"capacity: {here[0]} needs {missing} beside it, such as {missing} = {value}",
            )


def _benches(season: Season) -> Iterator[Problem]:
    for i, place in enumerate(season.places.values()):
        if place.trays is not None and place.kind != "nursery":
            yield Problem(
                ("place", i, "trays"),
                f'place {place.id} has trays on benches and is a {place.kind}; take trays out, or write kind = "nursery"',
            )


CAPACITY_CHECKS: tuple[Callable[[Season], Iterator[Problem]], ...] = (_windows, _frost, _dryer, _benches)
