"""One record of a season from its plain data, and its problems. How each kind is read is prepared once, not for each record."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from functools import cache
from importlib import import_module
from typing import Any, NamedTuple

from calendar_tui.season.field import REQUIRED, Field
from calendar_tui.season.fields import FIELDS, INSTEAD, NAMED
from calendar_tui.season.kinds import BY_NAME, LISTED, OPTIONAL, SINGLE
from calendar_tui.season.problems import KeyPath, Problem
from calendar_tui.season.readers import FIRST_DATE, LAST_DATE, Reader, Unreadable, choices, shown
from calendar_tui.season.unread import unknown_keys

# The records of tables that stand in others.
_INNER: Mapping[str, tuple[str, str]] = {
    "columns": ("weather", "StationColumns"),
    "lamps": ("records", "Lamps"),
}
# What is taken for a field that does not read, of a table that a season cannot do without, so that all else can be
# looked at; what hangs on it is not told then.
STAND_INS: Mapping[str, Mapping[str, Any]] = {
    "season": {"name": "", "first_day": FIRST_DATE, "last_day": LAST_DATE},
    "site": {"latitude": 0.0, "longitude": 0.0, "timezone": "UTC"},
}

# Of this kind nothing is left out: what it closes stays closed.
SPRAY = "spray"


class RecordForm(NamedTuple):
    """How a kind of record is read.

    make: makes the record of its fields; the first table of a season has none of its own, and is a dict.
    keys: by key, its field's name in the record, its reader, and else the kind of the table under it.
    defaults: of the fields that have another default than the record, by name.
    fill: gives the values that follow from those that are written; None where none do.
    """

    kind: str
    make: Callable[..., Any]
    keys: Mapping[str, tuple[str, Reader | None, str]]
    required: tuple[Field, ...]
    required_keys: frozenset[str]
    defaults: Mapping[str, Any]
    fill: Callable[[dict[str, Any]], dict[str, Any]] | None


@cache
def form_of_record(kind: str) -> RecordForm:
    fields = FIELDS[kind]
    required = tuple(f for f in fields if f.default is REQUIRED)
    make = _class_of(kind)
    by_itself = {name: f.default for name, f in getattr(make, "__dataclass_fields__", {}).items()}
    return RecordForm(
        kind,
        make,
        {f.key: (f.name, f.read, f.table) for f in fields},
        required,
        frozenset(f.key for f in required),
        {
            f.name: f.default
            for f in fields
            if f.default is not REQUIRED and f.default is not None and by_itself.get(f.name) != f.default
        },
        _filled_by_type if kind == "variety" else None,
    )


def _filled_by_type(values: dict[str, Any]) -> dict[str, Any]:
    """The values of a variety, with those of its type for what is not written."""
    if "type" not in values:
        return {**values, "written": frozenset(values) - {"marks"}}
    from calendar_tui.season.variety_types import filled

    return filled(values)


def _class_of(kind: str) -> Callable[..., Any]:
    record = BY_NAME[kind].record if kind in BY_NAME else _INNER[kind]
    if record is None:
        return dict
    file, name = record
    record_class: Callable[..., Any] = getattr(import_module(f"calendar_tui.season.{file}"), name)
    return record_class


def stand_in(kind: str) -> Any:
    """What is taken for a table that a season cannot do without."""
    return form_of_record(kind).make(**STAND_INS[kind])


def read_record(form: RecordForm, path: KeyPath, given: Any, problems: list[Problem]) -> Any:
    """The record in a table of the data; where there are problems, which are added, one of what reads, or None."""
    if not isinstance(given, dict):
        right = f"write it as {_header(form.kind)}, with the keys of a {form.kind}"
        problems.append(Problem(path, f"{form.kind} is {shown(given)}; {right}"))
        return _of_what_reads(form, {}, (), ()) if form.kind == SPRAY else None
    before = len(problems)
    values = dict(form.defaults)
    keys, all_known = form.keys, True
    for key, value in given.items():
        if (how := keys.get(key)) is None:
            all_known = False
            continue
        name, read, table = how
        try:
            values[name] = read(value) if read else _read_inner(table, (*path, key), value, problems)
        except Unreadable as wrong:
            problems.append(Problem((*path, key), f"{key} {wrong}"))
    if form.fill is not None:
        values = form.fill(values)
    waived = _waived(form.kind, path, given, problems) if form.kind in INSTEAD else frozenset()
    if not form.required_keys <= given.keys():
        problems += [
            _missing(form.kind, path, field)
            for field in form.required
            if field.key not in given and field.key not in waived
        ]
    if not all_known:
        problems += _slips(form.kind, path, given)
    if len(problems) == before:
        return form.make(**values)
    return _of_what_reads(form, values, waived, given)


def _waived(kind: str, path: KeyPath, given: Mapping[str, Any], problems: list[Problem]) -> frozenset[str]:
    """The keys in whose place another is given; where both are, that is a problem."""
    waived: frozenset[str] = frozenset()
    for key, others in INSTEAD[kind].items():
        if key in given:
            waived |= frozenset(others)
            both = f"beside {key}, which is written in place of it; leave one of the two out"
            problems += [
                Problem((*path, other), f"{other} is given {both}") for other in others if other in given
            ]
    return waived


def _of_what_reads(
    form: RecordForm, values: Mapping[str, Any], waived: Collection[str], given: Collection[str]
) -> Any:
    there: Mapping[str, Any] = {name: value for name, value in values.items() if value is not None}
    there = {**STAND_INS.get(form.kind, {}), **there}
    if form.kind == SPRAY:
        from calendar_tui.season.spraying import kept_closed

        there = kept_closed(there, given)
    needed = (field for field in form.required if field.key not in waived)
    return form.make(**there) if all(f.name in there for f in needed) else None


def _missing(kind: str, path: KeyPath, field: Field) -> Problem:
    right = f"{field.unit}: {field.meaning}" if field.unit else field.meaning
    return Problem(path, f"the {kind} has no {field.key}; add {field.key} = ... ({right})")


def _slips(kind: str, path: KeyPath, given: Mapping[str, Any]) -> list[Problem]:
    return [
        Problem((*path, key), f"{shown(key)} is not a key of a {kind}{guess}")
        for key, guess in unknown_keys(kind, given)
        if guess
    ]


def _header(kind: str) -> str:
    """How a record of this kind is written."""
    if kind in (*SINGLE, *OPTIONAL):
        return f"[{kind}], once"
    return f"[[{kind}]]" if kind in LISTED else f"{kind} = {{ key = value, ... }}"


def _read_inner(table: str, path: KeyPath, given: Any, problems: list[Problem]) -> Any:
    """The table under a key: a record of its own, or values by names; None where it is no table."""
    if table not in NAMED:
        return read_record(form_of_record(table), path, given, problems)
    if not isinstance(given, dict):
        problems.append(Problem(path, f"{path[-1]} is {shown(given)}; write {{ name = value, ... }}"))
        return None
    reader, names = NAMED[table]
    values: dict[str, Any] = {}
    for key, value in given.items():
        if names and key not in names:
            known = choices(key, names)
            problems.append(Problem((*path, key), f"{shown(key)} is not known under {path[-1]}{known}"))
            continue
        try:
            values[key] = reader(value)
        except Unreadable as wrong:
            problems.append(Problem((*path, key), f"{key} {wrong}"))
    return values
