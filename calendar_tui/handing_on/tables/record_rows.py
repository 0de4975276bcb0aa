"""Records by the names of their fields, as plain data for JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.changes.field_edits import value_at
from calendar_tui.planning.changes.held_season import HeldSeason, Ident
from calendar_tui.season.field_names import STAY, NamedField, fields_of
from calendar_tui.season.stay_reading import stay_rows
from calendar_tui.season.typed_values import allowed_words


class FieldValue(NamedTuple):
    """A field of a record and its value as the season file has it; None where it is not set."""

    field: NamedField
    value: Any


def field_values(held: HeldSeason, kind: str, ident: Ident) -> Iterator[FieldValue]:
    """Every field of a record in the order of the reference; of one that takes a name, one for each name that is set."""
    record = _stay(held, ident) if kind == STAY else held.record(kind, ident)
    for field in fields_of(kind):
        value = value_at(record, field.path)
        if not field.takes_name:
            yield FieldValue(field, value)
            continue
        for name, part in (value or {}).items():
            named = field._replace(words=f"{field.words} {name}", path=(*field.path, name), takes_name=False)
            yield FieldValue(named, part)


def _stay(held: HeldSeason, ident: Ident) -> dict[str, Any]:
    row = stay_rows(held.plan.season.cohorts[str(ident[0])].stays)[ident[1] - 1]
    return {**row, "place": " ".join(filter(None, (row["place"], row.get("part", ""))))}


def record_rows(held: HeldSeason, kind: str, idents: Sequence[Ident]) -> list[Row]:
    """A row a record: what it is, and its fields by name."""
    return [
        {
            "kind": kind,
            "ident": list(ident),
            "fields": [_row(held, row) for row in field_values(held, kind, ident)],
        }
        for ident in idents
    ]


def _row(held: HeldSeason, row: FieldValue) -> Row:
    field = row.field
    return {
        "name": field.words,
        "value": row.value,
        "unit": field.unit,
        "needed": field.needed,
        "words": list(allowed_words(field, held.plan.season)),
        "means": field.meaning,
    }
