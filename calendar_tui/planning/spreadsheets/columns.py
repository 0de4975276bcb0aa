"""The columns of a table of records: the fields of their kind by their names, each with its unit, behind the id."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from typing import NamedTuple

from calendar_tui.planning.changes.field_edits import value_at
from calendar_tui.planning.changes.held_season import Record
from calendar_tui.season.field_names import NamedField, field_named, fields_of, path_words, plain_words
from calendar_tui.season.readers import shown
from calendar_tui.season.refusal import Refusal

ID = "id"
# Fields that most records leave out: a column each only where a record has one.
_SELDOM = ("not_yet", "causes")
# Units that say what a word is, and no measure.
_NO_MEASURE = re.compile(r"|date|dates|stage|part|role|its unit|(?:.* )?ids?|h:min|12 h or 2 d|RFC 5545 rule")
_HEAD = re.compile(r"(.*?)\s*(?:\(([^()]*)\))?")


class Column(NamedTuple):
    """head: as it is written, with the unit. field: None for the id."""

    head: str
    field: NamedField | None


def columns_of(kind: str, records: Sequence[Record]) -> tuple[Column, ...]:
    """The columns of a table of these records of a kind: every field, and a column for each name under those that take one."""
    fields = (field for named in fields_of(kind) for field in _with_names(named, records))
    return (Column(ID, None), *(Column(head_of(f), f) for f in fields if not _left_out(f, records)))


def _with_names(field: NamedField, records: Sequence[Record]) -> Iterator[NamedField]:
    if not field.takes_name:
        yield field
        return
    tables = (value_at(record, field.path) or {} for record in records)
    for name in dict.fromkeys(name for table in tables for name in table):
        yield field._replace(words=f"{field.words} {name}", path=(*field.path, name), takes_name=False)


def _left_out(field: NamedField, records: Iterable[Record]) -> bool:
    return field.path[0] in _SELDOM and all(value_at(record, field.path) is None for record in records)


def head_of(field: NamedField) -> str:
    """ "area (m2)", "planned transplant", "juvenile time (days early/likely/late)"."""
    unit = unit_of(field)
    return f"{_name_of(field)} ({unit})" if unit else _name_of(field)


def unit_of(field: NamedField) -> str:
    """The measure of a field, without a sign that may stand between cells; "" where it has none, or is called by it."""
    if _NO_MEASURE.fullmatch(field.unit) or field.unit in field.words.split():
        return ""
    return re.sub(r"[\[\]]", "", field.unit).replace(", ", "/")


def _name_of(field: NamedField) -> str:
    return path_words(field.kind, field.path) if field.path[0] == "planned" else field.words


@cache
def _by_name(kind: str) -> Mapping[str, NamedField]:
    """The fields by all that a head may call them: name, key, and where it stands in the record, such as planned.transplant."""
    names: dict[str, NamedField] = {}
    for field in fields_of(kind):
        if not field.takes_name:
            for name in (_name_of(field), ".".join(field.path), " ".join(field.path)):
                names.setdefault(plain_words(name), field)
    return names


def column_names(kind: str) -> tuple[str, ...]:
    """The heads that a table of a kind may have, without those of one's own names."""
    return (ID, *(_name_of(field) for field in fields_of(kind) if not field.takes_name))


def is_id(kind: str, head: str) -> bool:
    """Whether a column has the ids of the records: called so, or as a record of the kind is, "cohort"."""
    return plain_words(head) in (ID, kind)


def column_named(kind: str, head: str) -> Column | None:
    """The column that a head means, with or without its unit; None where there is none."""
    parts = _HEAD.fullmatch(head.strip())
    name = parts[1] if parts else head
    if is_id(kind, name):
        return Column(head, None)
    field = _by_name(kind).get(plain_words(name)) or field_named(kind, name)
    return None if field is None else Column(head, field)


def refuse_other_unit(column: Column) -> None:
    """Raises Refusal where a head has another unit than its field."""
    parts = _HEAD.fullmatch(column.head.strip())
    unit = parts[2] if parts else None
    if unit and column.field is not None and unit not in (unit_of(column.field), column.field.unit):
        raise Refusal(f"column {shown(column.head)} is in {unit}; it would be {head_of(column.field)}")
