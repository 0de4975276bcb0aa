"""Edits: small records that say what to change in a season's plain data, and their application.

`data` is the nested dict that tomllib gives for a season file. An edit names a record by kind and identity, so it
applies to the data as they are now, whatever else changed meanwhile.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

Data = dict[str, Any]
# The keys that tell one record of a kind from another; a kind not named here is known by its `id`.
IDENTITY: Mapping[str, tuple[str, ...]] = {"season": (), "site": (), "outage": ("place", "from")}


class EditError(ValueError):
    """An edit that does not fit the data: its record or field is not there, or is there already."""


@dataclass(frozen=True, slots=True)
class Edit:
    """One edit.

    op "set": give `field` of the record the value, creating the tables on the way; "unset": take the field away;
    "add": a new record, `value` is its table; "remove": take the record away.
    `ident` holds the values of the record's identity keys, () for a table that stands once.
    """

    op: Literal["set", "unset", "add", "remove"]
    kind: str
    ident: tuple[Any, ...]
    field: tuple[str, ...] = ()
    value: Any = None


@dataclass(frozen=True, slots=True)
class Change:
    """Edits that are saved and undone together, and the sentence that names them."""

    what: str
    edits: tuple[Edit, ...]


def identity(kind: str, record: Mapping[str, Any]) -> tuple[Any, ...]:
    """The identity values of a record of this kind."""
    return tuple(record.get(key) for key in IDENTITY.get(kind, ("id",)))


def apply_edits(data: Data, edits: Iterable[Edit]) -> Data:
    """The data with the edits applied in order; the argument is left as it was.

    Raises EditError where an edit does not fit.
    """
    out = {key: _copied(value) for key, value in data.items()}
    places: dict[str, dict[tuple[Any, ...], int]] = {}
    removed: dict[str, set[int]] = {}
    for edit in edits:
        _apply(out, edit, places, removed)
    for kind, gone in removed.items():
        out[kind] = [r for i, r in enumerate(out[kind]) if i not in gone]
        if not out[kind]:
            del out[kind]
    return out


def _copied(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: _copied(v) for k, v in value.items()}
    if isinstance(value, list):
        return [_copied(v) for v in value]
    return value


def _apply(
    data: Data, edit: Edit, places: dict[str, dict[tuple[Any, ...], int]], removed: dict[str, set[int]]
) -> None:
    if not IDENTITY.get(edit.kind, ("id",)):
        _edit_fields(data.setdefault(edit.kind, {}), edit, edit.kind)
        return
    records = data.setdefault(edit.kind, [])
    if edit.kind not in places:
        places[edit.kind] = {identity(edit.kind, r): i for i, r in enumerate(records)}
    where = places[edit.kind]
    name = f"{edit.kind} {' '.join(map(str, edit.ident))}"
    if edit.op == "add":
        if edit.ident in where:
            raise EditError(f"{name} is there already")
        where[edit.ident] = len(records)
        records.append(_copied(edit.value))
        return
    if edit.ident not in where:
        raise EditError(f"{name} is not there any more")
    if edit.op == "remove":
        removed.setdefault(edit.kind, set()).add(where.pop(edit.ident))
        return
    _edit_fields(records[where[edit.ident]], edit, name)


def _edit_fields(record: Data, edit: Edit, name: str) -> None:
    *way, last = edit.field
    trail = [record]
    for key in way:
        trail.append(trail[-1].setdefault(key, {}) if edit.op == "set" else trail[-1].get(key, {}))
    if edit.op == "set":
        trail[-1][last] = _copied(edit.value)
        return
    if last not in trail[-1]:
        raise EditError(f"{name} has no {'.'.join(edit.field)} any more")
    del trail[-1][last]
    for key, outer, inner in zip(reversed(way), reversed(trail[:-1]), reversed(trail[1:]), strict=True):
        if not inner:
            del outer[key]


def inverse(data: Data, edits: Iterable[Edit]) -> tuple[Edit, ...]:
    """The edits that take `edits`, applied to `data`, back again."""
    edits = tuple(edits)
    backwards: list[Edit] = []
    for i, edit in enumerate(edits):
        now = apply_edits(data, edits[:i]) if i and _touches_twice(edits, i) else data
        backwards.append(_inverse(now, edit))
    return tuple(reversed(backwards))


def _touches_twice(edits: tuple[Edit, ...], i: int) -> bool:
    return any(e.kind == edits[i].kind and e.ident == edits[i].ident for e in edits[:i])


def _inverse(data: Data, edit: Edit) -> Edit:
    if edit.op == "add":
        return Edit("remove", edit.kind, edit.ident)
    record = record_of(data, edit.kind, edit.ident)
    if edit.op == "remove":
        return Edit("add", edit.kind, edit.ident, (), _copied(record))
    value: Any = record
    for key in edit.field:
        value = value.get(key) if isinstance(value, dict) else None
    if value is None:
        return Edit("unset", edit.kind, edit.ident, edit.field)
    return Edit("set", edit.kind, edit.ident, edit.field, _copied(value))


def record_of(data: Mapping[str, Any], kind: str, ident: tuple[Any, ...]) -> Data:
    """The record of this kind and identity. Raises EditError if there is none."""
    records = [data.get(kind, {})] if not IDENTITY.get(kind, ("id",)) else data.get(kind, [])
    for record in records:
        if identity(kind, record) == ident:
            found: Data = record
            return found
    raise EditError(f"{kind} {' '.join(map(str, ident))} is not there any more")
