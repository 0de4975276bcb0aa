"""Many records of a kind at once: key by key, and each value that stands in many of them read once."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import MISSING
from datetime import date
from itertools import repeat
from operator import is_
from typing import Any

from calendar_tui.season.fields import INSTEAD
from calendar_tui.season.readers import Reader, Unreadable
from calendar_tui.season.record_reading import RecordForm

# Fewer are read one by one as quickly.
MANY = 50
_MISSING = object()
# Values of one of these types that are equal are the same.
_EXACT = (str, date, int, bool)


def read_many(form: RecordForm, tables: Sequence[Any]) -> list[Any] | None:
    """The records in tables of the data, as `read_record` gives them.

    None where they are to be read one by one: they are few, have tables in them or unknown keys, work something out as they
    are made, or one does not read, and then its problems are wanted.
    """
    if len(tables) < MANY or not _made_plainly(form) or set(map(type, tables)) != {dict}:
        return None
    keys = set[str]().union(*tables)
    if not form.required_keys <= keys <= form.keys.keys() or any(form.keys[key][1] is None for key in keys):
        return None
    defaults = _defaults(form)
    columns: dict[str, Iterable[Any]] = {name: repeat(default) for name, default in defaults.items()}
    for key in keys:
        name, read, _ = form.keys[key]
        found = [table.get(key, _MISSING) for table in tables]
        given = [value for value in found if value is not _MISSING]
        if len(given) < len(tables) and key in form.required_keys:
            return None
        try:
            values = _read_column(read, given)
        except Unreadable:
            return None
        if len(given) < len(tables):
            rest, default = iter(values), defaults[name]
            values = [default if value is _MISSING else next(rest) for value in found]
        columns[name] = values
    return _records(form.make, columns, len(tables))


def _made_plainly(form: RecordForm) -> bool:
    """Whether a record is its fields as they are read, and none of them made anew for each."""
    fields = getattr(form.make, "__dataclass_fields__", {}).values()
    plain = all(field.init and field.default_factory is MISSING for field in fields)
    return plain and hasattr(form.make, "__slots__") and form.fill is None and form.kind not in INSTEAD


def _defaults(form: RecordForm) -> dict[str, Any]:
    """What a record has in each field that its table does not name; nothing of use where one must."""
    fields = form.make.__dataclass_fields__.values()  # type: ignore[attr-defined]
    return {field.name: form.defaults.get(field.name, field.default) for field in fields}


def _records(make: Any, columns: Mapping[str, Iterable[Any]], count: int) -> list[Any]:
    """So many records of these columns. `__init__` of a frozen dataclass takes a call for each field of each record."""
    records = [object.__new__(make) for _ in range(count)]
    for name, column in columns.items():
        deque(map(getattr(make, name).__set__, records, column), maxlen=0)
    return records


def _read_column(read: Reader | None, given: list[Any]) -> list[Any]:
    """What values read as; the same list where all read as they are. Raises Unreadable."""
    if read is None or not given:
        return given
    if type(given[0]) not in _EXACT or len(set(map(type, given))) > 1:
        return list(map(read, given))
    different = set(given)
    by_value = dict(zip(different, map(read, different), strict=True))
    if all(map(is_, by_value, by_value.values())):
        return given
    return [by_value[value] for value in given]
