"""The stays of a cohort, added, changed and taken out one by one: proposed with what they move.

Stays are numbered from 1, in the order in which they come. Their fields are those of `fields_of("stay")`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from calendar_tui.planning.changes.carrying import add_stays
from calendar_tui.planning.changes.field_edits import Path, Typed, needed_text, read_typed
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_notes import date_doubts_of
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.field_names import STAY, fields_of
from calendar_tui.season.fields import INSTEAD
from calendar_tui.season.readers import choices
from calendar_tui.season.records import Cohort, light_name
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stay_reading import stay_rows
from calendar_tui.season.typed_values import is_same, typed_text

_PLACE, _FROM = ("place",), ("from",)
_TRANSPLANT = "transplant"


def add_stay(held: HeldSeason, cohort: str, typed: Mapping[str, str]) -> Proposal:
    """The proposal that puts a cohort under another light from a stage or a date on. Raises FieldErrors, Refusal."""
    fields = read_typed(held, STAY, typed, {})
    missing = [
        FieldError(field.words, "", needed_text(field, held.plan.season))
        for field in fields_of(STAY)
        if field.path not in fields or fields[field.path].value is None
    ]
    if missing:
        raise FieldErrors(missing)
    light, begins = fields[_PLACE].value, fields[_FROM].value
    return add_stays(held.plan, [held.plan.season.cohorts[cohort]], light, begins, done=False)


def set_stay(held: HeldSeason, cohort: str, number: int, typed: Mapping[str, str]) -> Proposal:
    """The proposal that gives a stay of a cohort these fields. Raises FieldErrors."""
    rows = stay_rows(held.plan.season.cohorts[cohort].stays)
    row = rows[number - 1]
    fields = read_typed(held, STAY, typed, row)
    new = dict(row)
    for path, field in fields.items():
        new[path[0]] = field.value
    if _PLACE in fields:
        new.pop("part", None)
        new |= _place_of(fields[_PLACE].value)
    if new.get("from") is None:
        new.pop("from", None)
    before: dict[Path, Any] = {_PLACE: _light(row), _FROM: row.get("from")}
    texts = [
        f"{f.field.words} {typed_text(f.field, before[p]) or 'none'} -> {typed_text(f.field, f.value) or 'none'}"
        for p, f in fields.items()
        if not is_same(f.field, before[p], f.value)
    ]
    what = (
        f"{cohort} stay {number} {', '.join(texts)}" if texts else f"{cohort} stay {number}: nothing changed"
    )
    return _proposed(held, cohort, [*rows[: number - 1], new, *rows[number:]], what, fields)


def remove_stay(held: HeldSeason, cohort: str, number: int) -> Proposal:
    """The proposal that takes a stay of a cohort out: it stands longer where it stood before. Raises Refusal."""
    rows = stay_rows(held.plan.season.cohorts[cohort].stays)
    if len(rows) == 1:
        raise Refusal(
            f"{cohort} stands in {_light(rows[0])} alone, so this stay is not taken out; give it another place"
        )
    kept = [*rows[: number - 1], *rows[number:]]
    kept[0].pop("from", None)
    return _proposed(
        held, cohort, kept, f"{cohort} stay {number} in {_light(rows[number - 1])} taken out", {}
    )


def find_stay(cohort: Cohort, typed: str) -> int:
    """The number of the stay that is meant: by its number, or by its place where one is there. Raises Refusal."""
    lights = [stay.light for stay in cohort.stays]
    if typed.isascii() and typed.isdigit() and 1 <= int(typed) <= len(lights):
        return int(typed)
    there = [
        n
        for n, light in enumerate(lights, 1)
        if typed.casefold() in (light.casefold(), light.split(" ")[0].casefold())
    ]
    if len(there) == 1:
        return there[0]
    listed = ", ".join(f"{n} {light}" for n, light in enumerate(lights, 1))
    if there:
        raise Refusal(f"{cohort.id} stays {len(there)} times in {typed}; name one by its number: {listed}")
    raise Refusal(
        f'"{typed}" is no stay of {cohort.id}{choices(typed, lights, "Stays").partition(".")[0]}. Stays: {listed}'
    )


def _place_of(light: str) -> dict[str, str]:
    name, _, part = light.partition(" ")
    return {"place": name, **({"part": part} if part else {})}


def _light(row: Mapping[str, Any]) -> str:
    return light_name(row["place"], row.get("part", ""))


def _proposed(
    held: HeldSeason, name: str, rows: list[dict[str, Any]], what: str, fields: Mapping[Path, Typed]
) -> Proposal:
    cohort = held.plan.season.cohorts[name]
    edits = [] if rows == stay_rows(cohort.stays) else [*_edits(cohort, rows)]
    try:
        season = checked_season(held, edits, {}, fields)
    except FieldErrors as wrong:
        raise FieldErrors([e._replace(words=_field_of(fields)) for e in wrong.errors]) from wrong
    proposal = proposed(held, season, what, edits, "cohort", [(name,)])
    return replace(proposal, doubts=(*date_doubts_of(held, STAY, None, fields), *proposal.doubts))


def _field_of(fields: Mapping[Path, Typed]) -> str:
    """The field whose typed value is to blame, where only one was typed."""
    return next(iter(fields.values())).field.words if len(fields) == 1 else ""


def _edits(cohort: Cohort, rows: list[dict[str, Any]]) -> Iterator[Edit]:
    """What writes these stays: as nursery, place and part where the record has these and they are enough, else as stays."""
    ident = (cohort.id,)
    if not cohort.written_stays and (short := _short(rows)) is not None:
        for key in INSTEAD["cohort"]["stays"]:
            now = getattr(cohort, key) or None
            if short.get(key) is None and now is not None:
                yield Edit("unset", "cohort", ident, (key,))
            elif short.get(key) != now:
                yield Edit("set", "cohort", ident, (key,), short[key])
        return
    if not cohort.written_stays:
        for key in INSTEAD["cohort"]["stays"]:
            if getattr(cohort, key):
                yield Edit("unset", "cohort", ident, (key,))
    yield Edit("set", "cohort", ident, ("stays",), rows)


def _short(rows: list[dict[str, Any]]) -> dict[str, Any] | None:
    """Stays as nursery, place and part; None where these do not hold them."""
    last = {key: rows[-1].get(key) for key in ("place", "part")}
    if len(rows) == 1:
        return last
    first = rows[0]
    fits = len(rows) == 2 and "part" not in first and rows[1].get("from") == _TRANSPLANT
    return {"nursery": first["place"], **last} if fits else None
