"""Edits: small records that say what to change in a season's plain data, and their application.

`data` is the nested dict that tomli gives for a season file. An edit names a record by kind and identity, so it
applies to the data as they are now, whatever else changed meanwhile.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from calendar_tui.season.kinds import identity, identity_keys
from calendar_tui.season.refusal import Refusal

Data = dict[str, Any]
_TWICE = -1
# The kind of an edit on the keys that stand at the top of a season, whole tables and lists among them.
TOP = ""


class EditError(Refusal):
    """An edit that does not fit the data: its record or field is not there, or is there already."""


@dataclass(frozen=True, slots=True)
class Edit:
    """One edit.

    op "set": give `field` of the record the value, creating the tables on the way; "unset": take the field away,
    and the tables on the way that it leaves empty; "add": a new record at the end of its kind, `value` is its table;
    "remove": take the record away. An identity key that is set renames the record, which stays where it is; what names it
    elsewhere takes edits of its own. Identity keys cannot be unset.
    `ident` holds the values of the record's identity keys, () for a table that stands once and for TOP.
    """

    op: Literal["set", "unset", "add", "remove"]
    kind: str
    ident: tuple[Any, ...]
    field: tuple[str, ...] = ()
    value: Any = None


@dataclass(frozen=True, slots=True)
class Change:
    """Edits that are saved and undone together, and the sentence that names them.

    files: what the edits name beside the season file, by its name there: made before they are saved, never written over
    and never taken away, so that what is undone can be done again.
    """

    what: str
    edits: tuple[Edit, ...]
    files: Mapping[str, bytes] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Edited:
    """What edits make of data.

    back: the edits that take them back again, in the order to apply them.
    touched, removed: per kind, the positions in the data before of the records whose fields are edited, and of
    those taken away. A table that stands once has position 0.
    """

    data: Data
    back: tuple[Edit, ...]
    touched: Mapping[str, frozenset[int]]
    removed: Mapping[str, frozenset[int]]


def apply_edits(data: Data, edits: Iterable[Edit]) -> Data:
    """The data with the edits applied in order; the argument is left as it was.

    Records that no edit names are shared with the argument. Raises EditError where an edit does not fit.
    """
    return outcome(data, edits).data


def outcome(data: Data, edits: Iterable[Edit]) -> Edited:
    """What the edits, applied in order, make of the data. Raises EditError where an edit does not fit."""
    work = _Work(dict(data))
    back = [_apply(work, edit) for edit in edits]
    for kind, gone in work.removed.items():
        kept = [r for i, r in enumerate(work.data[kind]) if i not in gone]
        if kept:
            work.data[kind] = kept
        else:
            del work.data[kind]
    old = {kind: len(data[kind]) if isinstance(data[kind], list) else 1 for kind in work.own if kind in data}
    return Edited(
        work.data, tuple(reversed(back)), _before(work.own, work, old), _before(work.removed, None, old)
    )


@dataclass(slots=True)
class _Work:
    """Data under way: the tables in `own` are copies already and may be written to."""

    data: Data
    own: dict[str, set[int]] = field(default_factory=dict)
    places: dict[str, dict[tuple[Any, ...], int]] = field(default_factory=dict)
    removed: dict[str, set[int]] = field(default_factory=dict)


def _before(
    positions: Mapping[str, set[int]], work: _Work | None, old: Mapping[str, int]
) -> dict[str, frozenset[int]]:
    """The positions that stood in the data before; with `work`, without those of records removed since."""
    gone = work.removed if work else {}
    kept = {
        kind: frozenset(i for i in where if i < old.get(kind, 0) and i not in gone.get(kind, ()))
        for kind, where in positions.items()
    }
    return {kind: where for kind, where in kept.items() if where}


def _name(kind: str, ident: tuple[Any, ...]) -> str:
    return f"{kind} {' '.join(map(str, ident))}".strip() or "the top of the file"


def _copied(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {k: _copied(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_copied(v) for v in value]
    return value


def _apply(work: _Work, edit: Edit) -> Edit:
    """Apply one edit and give the edit that takes it back."""
    if not edit.ident or not identity_keys(edit.kind):
        return _edit_fields(_own_single(work, edit), edit)
    where = work.places.get(edit.kind)
    if where is None:
        where = _open_kind(work, edit.kind)
    if edit.op == "add":
        return _add(work, edit, where)
    place = where.get(edit.ident)
    if place is None:
        raise EditError(f"{_name(edit.kind, edit.ident)} is not there any more")
    if place == _TWICE:
        raise EditError(
            f"{_name(edit.kind, edit.ident)} stands twice; give one of the two another id by hand"
        )
    records = work.data[edit.kind]
    if edit.op == "remove":
        work.removed.setdefault(edit.kind, set()).add(place)
        del where[edit.ident]
        return Edit("add", edit.kind, edit.ident, (), _copied(records[place]))
    if place not in work.own[edit.kind]:
        records[place] = _copied(records[place])
        work.own[edit.kind].add(place)
    if (named := renamed(edit)) is not None:
        return _rename(records[place], edit, named, where)
    return _edit_fields(records[place], edit)


def renamed(edit: Edit) -> tuple[Any, ...] | None:
    """The identity of the record after an edit that sets one of its identity keys; None for any other edit."""
    keys = identity_keys(edit.kind)
    if edit.op != "set" or not edit.ident or len(edit.field) != 1 or edit.field[0] not in keys:
        return None
    return tuple(
        edit.value if key == edit.field[0] else was for key, was in zip(keys, edit.ident, strict=False)
    )


def named_anew(edits: Iterable[Edit], kinds: Collection[str]) -> tuple[str, tuple[Any, ...]] | None:
    """The kind and identity of the first record of these kinds that edits add or rename, as it is named after them all."""
    first: tuple[str, tuple[Any, ...]] | None = None
    for edit in edits:
        ident = edit.ident if edit.op == "add" else renamed(edit)
        if ident is not None and edit.kind in kinds and first in (None, (edit.kind, edit.ident)):
            first = edit.kind, ident
    return first


def _rename(record: Data, edit: Edit, named: tuple[Any, ...], where: dict[tuple[Any, ...], int]) -> Edit:
    """Name a record anew where it stands."""
    if edit.value is None:
        raise EditError(f"{_name(edit.kind, edit.ident)} needs its {edit.field[0]}")
    if named != edit.ident and named in where:
        raise EditError(f"{_name(edit.kind, named)} is there already")
    where[named] = where.pop(edit.ident)
    was, record[edit.field[0]] = record[edit.field[0]], edit.value
    return Edit("set", edit.kind, named, edit.field, was)


def _own_single(work: _Work, edit: Edit) -> Data:
    if edit.op in ("add", "remove") or edit.ident:
        raise EditError(f"{edit.kind} stands once in a season: set or unset its fields")
    if edit.kind == TOP:
        return work.data
    table: Data = work.data.get(edit.kind, {})
    if not isinstance(table, dict):
        raise EditError(f"{edit.kind} is not a table; write [{edit.kind}]")
    if edit.kind not in work.own:
        work.own[edit.kind] = {0}
        table = work.data[edit.kind] = _copied(table)
    return table


def _open_kind(work: _Work, kind: str) -> dict[tuple[Any, ...], int]:
    """Copy the list of records of a kind and say where each stands."""
    records = work.data.get(kind, [])
    if not isinstance(records, list) or not all(isinstance(r, dict) for r in records):
        raise EditError(f"{kind} is not a list of records; write each one under [[{kind}]]")
    if kind in work.data:
        work.data[kind] = list(records)
    work.own[kind] = set()
    where = work.places[kind] = {}
    for i, record in enumerate(records):
        ident = identity(kind, record)
        try:
            where[ident] = _TWICE if ident in where else i
        except TypeError:  # a list or a table for its id: no edit names it
            continue
    return where


def _add(work: _Work, edit: Edit, where: dict[tuple[Any, ...], int]) -> Edit:
    if edit.ident in where:
        raise EditError(f"{_name(edit.kind, edit.ident)} is there already")
    record = _copied(edit.value)
    if not isinstance(record, dict) or identity(edit.kind, record) != edit.ident:
        raise EditError(f"the new {_name(edit.kind, edit.ident)} does not carry this name itself")
    records = work.data.setdefault(edit.kind, [])
    where[edit.ident] = len(records)
    work.own[edit.kind].add(len(records))
    records.append(record)
    return Edit("remove", edit.kind, edit.ident)


def _edit_fields(record: Data, edit: Edit) -> Edit:
    """Set or unset one field of a record that may be written to; gives the edit that takes it back."""
    name = _name(edit.kind, edit.ident)
    if not edit.field:
        raise EditError(f"no field of {name} is named")
    if edit.ident and edit.field[0] in identity_keys(edit.kind):
        raise EditError(f"{edit.field[0]} tells {name} from the others: remove the record and add it anew")
    if edit.op == "unset":
        return _unset(record, edit, name)
    if edit.value is None:
        raise EditError(f"{name}: {'.'.join(edit.field)} has no value; unset it instead")
    table = _trail(record, edit, name)[-1]
    last = edit.field[-1]
    was = table.get(last)
    table[last] = _copied(edit.value)
    if was is None:
        return Edit("unset", edit.kind, edit.ident, edit.field)
    return Edit("set", edit.kind, edit.ident, edit.field, was)


def _unset(record: Data, edit: Edit, name: str) -> Edit:
    trail = _trail(record, edit, name)
    last = edit.field[-1]
    if last not in trail[-1]:
        raise EditError(f"{name} has no {'.'.join(edit.field)} any more")
    was = trail[-1].pop(last)
    for key, outer, inner in zip(
        reversed(edit.field[:-1]), reversed(trail[:-1]), reversed(trail[1:]), strict=True
    ):
        if not inner:
            del outer[key]
    return Edit("set", edit.kind, edit.ident, edit.field, was)


def _trail(record: Data, edit: Edit, name: str) -> list[Data]:
    """The tables from the record down to the one that holds the field; "set" creates those that are missing."""
    trail = [record]
    for key in edit.field[:-1]:
        inner = trail[-1].setdefault(key, {}) if edit.op == "set" else trail[-1].get(key, {})
        if not isinstance(inner, dict):
            raise EditError(f"{name}: {key} is not a table, so it has no {edit.field[-1]}")
        trail.append(inner)
    return trail
