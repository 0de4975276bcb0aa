"""The columns of the tables of an open folder: what each holds, and what open standards call it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import Any, NamedTuple

from calendar_tui.handing_on.words.openness import Asked
from calendar_tui.planning.plan import Plan

STRING, NUMBER, INTEGER, BOOLEAN, DATE = "string", "number", "integer", "boolean", "date"
Row = Mapping[str, Any]


class Column(NamedTuple):
    """type: of Table Schema. miappe, icasa: its name in MIAPPE 1.2 and in the ICASA dictionary, with the unit there where
    that is another; rdf: the class of PPEO, the ontology of MIAPPE, that it names. needed: never empty. categories: all that
    it may hold. refers: the table whose key it holds, or is empty.
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


class Table(NamedTuple):
    """rows: of a plan, in an order that their keys settle; a column that a row lacks is empty there."""

    name: str
    title: str
    means: str
    key: tuple[str, ...]
    columns: tuple[Column, ...]
    rows: Callable[[Plan, Asked], Iterable[Row]]


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
