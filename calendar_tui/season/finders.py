"""What a typed word names in a season: a cohort, a variety, a chore, a stage, a place, a light, in any case of letters."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeVar

from calendar_tui.language.speaking import phrase, phrase_form
from calendar_tui.season.checks import stage_problem
from calendar_tui.season.kinds import BY_NAME
from calendar_tui.season.readers import choices
from calendar_tui.season.records import Chore, Cohort, Place, Season, Variety
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import STAGES

_Named = TypeVar("_Named")


def _find(known: Mapping[str, _Named], name: str, kind: str) -> _Named:
    """The record of this id; in any case of letters where none is written just so. Raises Refusal."""
    by_folded = {known_name.casefold(): record for known_name, record in known.items()}
    record = known.get(name) or by_folded.get(name.casefold())
    if record is None:
        there = choices(name, known, phrase_form("Known")) if known else phrase("; there is none yet")
        none = phrase('"{word}" is not a {kind} of this season', word=name, kind=phrase(kind))
        raise Refusal(none + there)
    return record


def find_cohort(season: Season, name: str) -> Cohort:
    """The cohort of this id. Raises Refusal."""
    return _find(season.cohorts, name, "cohort")


def find_variety(season: Season, name: str) -> Variety:
    """The variety of this id. Raises Refusal."""
    return _find(season.varieties, name, "variety")


def find_record(kind: str, season: Season, name: str) -> str:
    """The id of a record of a kind that has ids, in any case of letters. Raises Refusal."""
    named: Any = _find(of_kind(season, kind), name, kind)
    return str(named.id)


def of_kind(season: Season, kind: str) -> Mapping[str, Any]:
    """The records of a kind that has ids, by these."""
    by_id: Mapping[str, Any] = getattr(season, BY_NAME[kind].attr)
    return by_id


def find_lot(season: Season, name: str) -> str:
    """The id of a lot, or of a cohort that is one. Raises Refusal."""
    lots: Mapping[str, Any] = {**season.cohorts, **season.lots}
    return str(_find(lots, name, "lot").id)


def find_chore(season: Season, name: str) -> Chore:
    """The chore of this id. Raises Refusal."""
    return _find(season.chores, name, "chore")


def find_stage(season: Season, cohort: Cohort, typed: str, table: str = "recorded") -> str:
    """The stage as typed, where the cohort can have it under that table. Raises Refusal."""
    name = stage_named(typed)
    if message := stage_problem(season, cohort, table, name):
        raise Refusal(message)
    return name


def stage_named(typed: str) -> str:
    """The stage of this name, "lights off" and "lights-off" too. Raises Refusal."""
    name = as_stage(typed)
    if name not in STAGES:
        raise Refusal(f'"{typed}" is not a stage{choices(name, STAGES, "Stages")}')
    return name


def as_stage(typed: str) -> str:
    """Words as a stage of these words is written: "lights_off" of "lights off" and "Lights-off"."""
    return typed.strip().casefold().replace("-", "_").replace(" ", "_")


def find_place(season: Season, name: str) -> Place:
    """The place of this id. Raises Refusal."""
    return _find(season.places, name, "place")


def find_light(season: Season, name: str) -> str:
    """The id of a place, or the name of the light of a screened part, in any case of letters. Raises Refusal."""
    parts = {light.casefold(): light for p in season.places.values() if p.screened for light in p.lights}
    if part_light := parts.get(name.casefold()):
        return part_light
    whole, _, part = name.partition(" ")
    by_folded = {p.id.casefold(): p for p in season.places.values()}
    place = by_folded.get(whole.casefold())
    if part and place is not None:
        raise Refusal(_no_part_text(place, part))
    return find_place(season, name).id


def _no_part_text(place: Place, part: str) -> str:
    if not place.screened:
        return f'{place.id} is not screened into parts, so "{part}" is not a part of it; name the place alone'
    return f'"{part}" is not a part of {place.id}{choices(part, place.screened, "Its parts")}'
