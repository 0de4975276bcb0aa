"""Many records of a kind at once: key by key, and each value that stands in many of them read once."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from operator import is_
from typing import Any

from calendar_tui.season.fields import INSTEAD
from calendar_tui.season.readers import Reader, Unreadable
from calendar_tui.season.record_reading import RecordForm

# Fewer are read one by one as quickly.
MANY = 50
# Values of one of these types that are equal are the same.
_EXACT = (str, date, int, bool)


def read_many(form: RecordForm, tables: Sequence[Any]) -> list[Any] | None:
    """The records in tables of the data, as `read_record` gives them.

    None where they are to be read one by one: they are few, have tables in them or unknown keys, or one does not read, and
    then its problems are wanted.
    """
    if len(tables) < MANY or form.kind in INSTEAD or set(map(type, tables)) != {dict}:
        return None
    keys = set[str]().union(*tables)
    if not form.required_keys <= keys <= form.keys.keys() or any(form.keys[key][1] is None for key in keys):
        return None
    fields = [{**form.defaults, **table} for table in tables]
    for key in keys:
        name, read, _ = form.keys[key]
        given = [table[key] for table in tables if key in table]
        if len(given) < len(tables) and key in form.required_keys:
            return None
        try:
            values = _read_column(read, given)
        except Unreadable:
            return None
        if values is not given or name != key:
            with_key = (own for own, table in zip(fields, tables, strict=True) if key in table)
            for own, value in zip(with_key, values, strict=True):
                own[name] = value
                if name != key:
                    del own[key]
    return list(map(form.make_of, fields))


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
