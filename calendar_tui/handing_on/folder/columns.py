"""The columns of the tables of an open folder: what each holds, and what open standards call it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import Any, NamedTuple

from calendar_tui.handing_on.words.openness import Openness
from calendar_tui.planning.plan import Plan
from calendar_tui.season.fields import FIELDS

STRING, NUMBER, INTEGER, BOOLEAN, DATE = "string", "number", "integer", "boolean", "date"
Row = Mapping[str, Any]


class Column(NamedTuple):
    """type: of Table Schema. miappe, icasa: its name in MIAPPE 1.2 and in the ICASA dictionary, with the unit there where
    that is another; rdf: the class of PPEO, the ontology of MIAPPE, that it names. needed: never empty. categories: all that
    it may hold. refers: the table whose key it holds; a key that is not there is left empty. personal: empty unless names were
    asked for. attr: where a record of the season has its value, "" for one that is worked out.
    """

    name: str
    type: str = STRING
    means: str = ""
    unit: str = ""
    miappe: str = ""
    icasa: str = ""
    rdf: str = ""
    needed: bool = False
    categories: tuple[str, ...] = ()
    refers: str = ""
    personal: bool = False
    attr: str = ""


def kept(
    kind: str,
    key: str,
    type: str = STRING,
    *,
    name: str = "",
    means: str = "",
    unit: str | None = None,
    **more: Any,
) -> Column:
    """A column of what a record has under a key of the season file; it means what that key means, and a number has its unit."""
    field = next(one for one in FIELDS[kind] if one.key == key)
    if unit is None:
        unit = field.unit if type in (NUMBER, INTEGER) else ""
    return Column(name or key, type, means or field.meaning, unit, attr=field.name, **more)


def personal(name: str, means: str, attr: str = "") -> Column:
    """A column of a person's name or own words."""
    return Column(
        name, means=f"{means}; left out unless names were asked for", personal=True, attr=attr or name
    )


NOTE = personal("note", "as written")


class Table(NamedTuple):
    """rows: of a plan, in an order that their keys settle; a column that a row lacks is empty there. What is to be left out of
    them is left out as they are written.
    """

    name: str
    title: str
    means: str
    key: tuple[str, ...]
    columns: tuple[Column, ...]
    rows: Callable[[Plan, Openness], Iterable[Row]]

    def kept_of(self, record: object) -> dict[str, Any]:
        """What a record of the season has itself of a row."""
        return {one.name: getattr(record, one.attr) for one in self.columns if one.attr}


def by_day(records: Mapping[str, Any]) -> list[Any]:
    """Records that have a date, in the order of their days."""
    return sorted(records.values(), key=lambda one: (one.date, one.id))


def cell(value: Any) -> str:
    """A value as it stands in a table: dates by ISO 8601, numbers with a point and without blanks, "" for none."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, float):
        return f"{Decimal(repr(value)):f}"
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    return str(value)
