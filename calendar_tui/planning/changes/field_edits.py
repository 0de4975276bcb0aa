"""What is typed for the fields of one record, as edits of the season's data; what is wrong with it, by field."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from typing import Any, NamedTuple

from calendar_tui.planning.changes.held_season import HeldSeason, Ident, Record
from calendar_tui.planning.changes.spelled_out import spelled_out
from calendar_tui.season.edits import Edit, renamed
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.field_names import NamedField, find_field
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.kinds import identity_keys
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import FIRST
from calendar_tui.season.typed_values import NotRight, allowed_words, is_same, plain_value, typed_text
from calendar_tui.season.variety_types import variety_types
from calendar_tui.season.wording import some_text, stage_text

Path = tuple[str, ...]
_PLANNED, _REPLANNED, _RECORDED, _NOT_YET = "planned", "replanned", "recorded", "not_yet"
_LIT_DAY = ("lamps", "target_h")


class Typed(NamedTuple):
    """A field with what was typed for it, and its value as a season file has it; None for none."""

    field: NamedField
    text: str
    value: Any


def read_typed(held: HeldSeason, kind: str, typed: Mapping[str, str], record: Record) -> dict[Path, Typed]:
    """What is typed, by where it stands in a record. record: as it is. Raises FieldErrors with every error."""
    fields: dict[Path, Typed] = {}
    errors: list[FieldError] = []
    for words, text in spelled_out(kind, record, typed).items():
        try:
            field = find_field(kind, words)
            value = plain_value(field, text, held.typing, _intended(record, field.path))
            _refuse_to_come(held, kind, field, value)
        except NotRight as wrong:
            errors.append(FieldError(field.words, text, str(wrong)))
        except Refusal as wrong:
            errors.append(FieldError(words, "", str(wrong)))
        else:
            fields[field.path] = Typed(field, text, value)
    if errors:
        raise FieldErrors(errors)
    return _with_part(held, fields) if kind == "cohort" else fields


def _refuse_to_come(held: HeldSeason, kind: str, field: NamedField, value: Any) -> None:
    today = held.plan.today
    happened = kind == "outage" or field.path[0] in (_RECORDED, _NOT_YET)
    if happened and isinstance(value, date) and value > today:
        raise NotRight(
            f"{typed_text(field, value)} is after today, {typed_text(field, today)}; record what has happened"
        )


def _with_part(held: HeldSeason, fields: dict[Path, Typed]) -> dict[Path, Typed]:
    """A place that is typed with its part, "H2 east", as the two fields that it is."""
    place = fields.get(("place",))
    if place is None or place.value is None:
        return fields
    name, _, part = place.value.partition(" ")
    fields[("place",)] = place._replace(value=name)
    if part or (("part",) not in fields and name in held.plan.season.places):
        named = find_field("cohort", "part")
        fields[("part",)] = Typed(named, part, part or None)
    return fields


def value_at(record: Record, path: Path) -> Any:
    """What a record has at a path; None for nothing. Of a planned date the one that is intended now."""
    if path[0] == _PLANNED and len(path) > 1:
        return _intended(record, path)
    value: Any = record
    for key in path:
        value = value.get(key) if isinstance(value, Mapping) else None
    return value


def _intended(record: Record, path: Path) -> date | None:
    if path[0] != _PLANNED or len(path) < 2:  # a variable has a key of this name
        return None
    tables = [record.get(table, {}) for table in (_REPLANNED, _PLANNED)]
    return next((table[path[1]] for table in tables if path[1] in table), None)


def new_table(
    kind: str, base: Record, fields: Mapping[Path, Typed], order: Iterable[NamedField]
) -> dict[str, Any]:
    """A new record: the base with what is typed, its keys in the order of the reference."""
    table: dict[str, Any] = {key: dict(v) if isinstance(v, dict) else v for key, v in base.items()}
    for path, typed in fields.items():
        _put(table, path, typed.value)
    keys = list(dict.fromkeys(["id", *(field.path[0] for field in order)]))
    ordered = {key: table[key] for key in keys if key in table}
    return {**ordered, **{key: value for key, value in table.items() if key not in ordered}}


def _put(table: dict[str, Any], path: Path, value: Any) -> None:
    for key in path[:-1]:
        table = table.setdefault(key, {})
    if value is None:
        table.pop(path[-1], None)
    else:
        table[path[-1]] = value


def edits_of(kind: str, ident: Ident, record: Record, fields: Mapping[Path, Typed]) -> list[Edit]:
    """The edits that give a record these fields; those that rename it come last. Raises FieldErrors."""
    errors, edits = list[FieldError](), list[Edit]()
    for path, typed in fields.items():
        if is_same(typed.field, value_at(record, path), typed.value):
            continue
        try:
            special = _SPECIAL.get((kind, path[0])) or _OF_KIND.get(kind) or _plain
            edits += special(kind, ident, record, typed, fields)
        except NotRight as wrong:
            errors.append(FieldError(typed.field.words, typed.text, str(wrong)))
    if errors:
        raise FieldErrors(errors)
    keys = identity_keys(kind)
    return _named_last([e for e in edits if e.field[0] not in keys], [e for e in edits if e.field[0] in keys])


def _named_last(others: list[Edit], naming: list[Edit]) -> list[Edit]:
    out = list(others)
    ident: Ident | None = None
    for edit in naming:
        now = Edit(edit.op, edit.kind, edit.ident if ident is None else ident, edit.field, edit.value)
        ident = renamed(now)
        out.append(now)
    return out


def _plain(
    kind: str, ident: Ident, record: Record, typed: Typed, fields: Mapping[Path, Typed]
) -> Iterator[Edit]:
    path = typed.field.path
    if typed.value is not None:
        yield Edit("set", kind, ident, path, typed.value)
    elif value_at(record, path) is not None:
        yield Edit("unset", kind, ident, path)


def _lamps(
    kind: str, ident: Ident, record: Record, typed: Typed, fields: Mapping[Path, Typed]
) -> Iterator[Edit]:
    """Lamps without a lit day are none at all, unless another way of lighting is typed with it."""
    alone = sum(path[0] == "lamps" for path in fields) == 1
    if typed.field.path == _LIT_DAY and typed.value is None and alone:
        yield Edit("unset", kind, ident, ("lamps",))
    else:
        yield from _plain(kind, ident, record, typed, fields)


def _planned(
    kind: str, ident: Ident, record: Record, typed: Typed, fields: Mapping[Path, Typed]
) -> Iterator[Edit]:
    """A date planned anew; the one first planned stays beside it."""
    stage = typed.field.path[1]
    planned, recorded = record.get(_PLANNED, {}), record.get(_RECORDED, {})
    if typed.value is None:
        for table in (_PLANNED, _REPLANNED):
            if stage in record.get(table, {}):
                yield Edit("unset", kind, ident, (table, stage))
        return
    if stage in recorded:
        raise NotRight(
            f"it is recorded on {typed_text(typed.field, recorded[stage])}, so it is not planned again; record the right date"
        )
    yield Edit("set", kind, ident, (_REPLANNED if stage in planned else _PLANNED, stage), typed.value)


def _standing(
    kind: str, ident: Ident, record: Record, typed: Typed, fields: Mapping[Path, Typed]
) -> Iterator[Edit]:
    if "stays" in record:
        if typed.value is None:
            return
        raise NotRight(
            f"{ident[0]} has stays, which say where it stands; change one of them: set stay {ident[0]} ..."
        )
    yield from _plain(kind, ident, record, typed, fields)


def _happened(
    kind: str, ident: Ident, record: Record, typed: Typed, fields: Mapping[Path, Typed]
) -> Iterator[Edit]:
    """A record or a look corrected; a new one has work to tick and a forecast to keep."""
    if typed.value is not None and value_at(record, typed.field.path) is None:
        stage = stage_text(typed.field.key)
        raise NotRight(
            f"it is not recorded yet; record it, which ticks its work too: record {ident[0]} {stage} DATE"
        )
    yield from _plain(kind, ident, record, typed, fields)


def _by_default(
    kind: str, ident: Ident, record: Record, typed: Typed, fields: Mapping[Path, Typed]
) -> Iterator[Edit]:
    """A value that is so without being written is not written."""
    default = next(field.default for field in FIELDS[kind] if field.key == typed.field.key)
    same = typed.value is not None and typed.field.read(typed.value) == default
    yield from _plain(kind, ident, record, typed._replace(value=None) if same else typed, fields)


_OF_KIND: Mapping[str, Callable[..., Iterator[Edit]]] = {"chore": _by_default}
_SPECIAL: Mapping[tuple[str, str], Callable[..., Iterator[Edit]]] = {
    ("place", "lamps"): _lamps,
    ("cohort", _PLANNED): _planned,
    ("cohort", _RECORDED): _happened,
    ("cohort", _NOT_YET): _happened,
    ("cohort", "place"): _standing,
    ("cohort", "part"): _standing,
    ("cohort", "nursery"): _standing,
}


def with_response(fields: dict[Path, Typed], base: Record) -> dict[Path, Typed]:
    """The fields of a variety with the response of its type, where none is typed."""
    kind = fields.get(("type",))
    if kind is None or kind.value is None or ("response",) in fields:
        return fields
    response = variety_types()[kind.value].response
    return {**fields, ("response",): Typed(find_field("variety", "response"), response, response)}


def missing_errors(
    held: HeldSeason, kind: str, table: Record, order: Iterable[NamedField]
) -> list[FieldError]:
    """What a new record lacks, with the words that would do."""
    missing = (
        f
        for f in order
        if f.needed and f.path[0] not in table and not (f.path[0] == "place" and "stays" in table)
    )
    errors = [FieldError(f.words, "", needed_text(f, held.plan.season)) for f in missing]
    if kind == "cohort" and table.get("start") in FIRST:
        first = FIRST[table["start"]][0]
        if all(first not in table.get(of, {}) for of in (_PLANNED, _RECORDED)):
            errors.append(FieldError(first, "", f"it is needed: the date of its {first}"))
    return errors


def needed_text(field: NamedField, season: Season) -> str:
    """ "it is needed: how it is propagated; one of: seed, cutting"."""
    known = allowed_words(field, season)
    return f"it is needed: {field.meaning}" + (f"; one of: {some_text(known)}" if known else "")
