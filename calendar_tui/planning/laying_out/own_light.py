"""The light that a cohort feels in each future: where it stands then, and under lamps for which it asks itself then.

The lamps of its neighbours burn as they are likely to: what they do in their own futures is not known here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from math import inf
from typing import NamedTuple

from calendar_tui.planning.laying_out.light import Light, PlaceLight, felt_h_of
from calendar_tui.planning.laying_out.stages import Days, Stages
from calendar_tui.season.records import Cohort, Season

FeltDays = Sequence[float]


class _Turn(NamedTuple):
    """A stay in one future, as numbers of days of the season: where, from when to when, and when it asks for lamps."""

    light: str
    first: int
    end: int
    asks: int
    dark: int


class _FeltThere(NamedTuple):
    """The felt day (h) of each date in a place: where the cohort asks for its lamps every night, and where it never does."""

    lit: tuple[float, ...]
    by_neighbours: tuple[float, ...]


def felt_in_futures(light: Light, season: Season, cohort: Cohort, out: Stages) -> list[FeltDays]:
    """The felt day (h) where the cohort stands, one value a day, in each future; futures alike share one."""
    begun, on, off = (
        _begins(stage, out, cohort) for stage in (cohort.first_stage, "lights_on", "lights_off")
    )
    later = (_begins(stay.begins, out, cohort) for stay in cohort.stays[1:])
    lights = _lights(season, cohort)
    known: dict[Days, FeltDays] = {}
    by_place: dict[str, _FeltThere] = {}
    felt = []
    for days in zip(begun, on, off, *later, strict=True):
        if days not in known:
            known[days] = _felt(light, cohort, _turns(light, lights, *days), by_place)
        felt.append(known[days])
    return felt


class _Place(NamedTuple):
    """A stay's light. own: whether the cohort asks for its lamps, holds: whether it does so as a nursery of its own accord."""

    light: str
    own: bool
    holds: bool


def _lights(season: Season, cohort: Cohort) -> list[_Place]:
    short_day = season.varieties[cohort.variety].response == "short-day"
    places = []
    for n, stay in enumerate(cohort.stays):
        lamps, nursery = season.places[stay.place].lamps is not None, n < cohort.nursery_stays
        places.append(_Place(stay.light, lamps and not nursery, lamps and nursery and short_day))
    return places


def _turns(
    light: Light, lights: Sequence[_Place], begun: float, on: float, off: float, *later: float
) -> Iterator[_Turn]:
    """The stays of the cohort in one future. begun: its first day; later: when its further stays begin."""
    zero, last = light.first.toordinal(), len(light.natural_h)
    first = -inf
    for here, until in zip(lights, (*later, inf), strict=True):
        end = max(first, until)
        asks, dark = (on, off) if here.own else (begun, inf) if here.holds else (end, end)
        days = first, end, max(asks, first), min(dark, end)
        yield _Turn(here.light, *(int(min(max(day - zero, 0), last)) for day in days))
        first = end


def _begins(begins: str | date, out: Stages, cohort: Cohort) -> Days:
    """The day of a date, or of a stage, in each future."""
    count = len(out[cohort.first_stage].days)
    if isinstance(begins, date):
        return (begins.toordinal(),) * count
    return out[begins].days if begins in out else (inf,) * count


def _felt(light: Light, cohort: Cohort, turns: Iterable[_Turn], by_place: dict[str, _FeltThere]) -> FeltDays:
    felt: list[float] = []
    for turn in turns:
        if turn.first >= turn.end:
            continue
        place = light.places[turn.light]
        if turn.light not in by_place:
            by_place[turn.light] = _felt_there(light, place, cohort)
        there = by_place[turn.light]
        asks, dark = min(turn.asks, turn.end), max(min(turn.asks, turn.end), turn.dark)
        if place.by_clock and asks < dark:  # its lamps may burn on into the night before
            felt += felt_h_of(place, _wanted(light, place, cohort, asks, dark))[turn.first : turn.end]
        else:
            felt += there.by_neighbours[turn.first : asks]
            felt += there.lit[asks:dark]
            felt += there.by_neighbours[dark : turn.end]
    return felt


def _felt_there(light: Light, place: PlaceLight, cohort: Cohort) -> _FeltThere:
    if not place.table:
        return _FeltThere(place.felt_h, place.felt_h)
    every = bytes([1]) * len(light.natural_h)
    return _FeltThere(felt_h_of(place, every), felt_h_of(place, _wanted(light, place, cohort, 0, 0)))


def _wanted(light: Light, place: PlaceLight, cohort: Cohort, asks: int, dark: int) -> bytes:
    """The nights for which lamps are asked: by its neighbours, and by the cohort from one number to another."""
    askers = list(place.askers_by_night)
    for own in place.by_cohort.get(cohort.id, ()):
        for n in range(light.index(own.first), light.index(own.dark)):
            askers[n] -= 1
    for n in range(asks, dark):
        askers[n] += 1
    return bytes(map(bool, askers))
