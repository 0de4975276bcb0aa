"""The kinds of record of a season: what tells one from another, and which stand one to a line in `[records]`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

# The keys that tell one record of a kind from another; a kind not named here is known by its `id`.
IDENTITY: Mapping[str, tuple[str, ...]] = {
    "season": (),
    "site": (),
    "crew": (),
    "heat": (),
    "station": (),
    "supplies": (),
    "stock": (),
    "capacity": (),
    "outage": ("place", "from"),
    "programme": ("place", "from"),
}
BY_ID = ("id",)

# The table that holds the kinds that come in hundreds, the first format that has it, and where each of them stands in a
# file of that format. In the data they stand by their own names, as the other kinds do.
RECORDS = "records"
RECORDS_SINCE = 3
IN_RECORDS: Mapping[str, tuple[str, str]] = {"task": (RECORDS, "task")}
# The keys that a record of one line begins with; lines stand in the order of the last of them.
FIRST_KEYS = ("id", "date")


def identity_keys(kind: str) -> tuple[str, ...]:
    """The keys that tell one record of this kind from another; () for a table that stands once."""
    return IDENTITY.get(kind, BY_ID)


def identity(kind: str, record: Mapping[str, Any]) -> tuple[Any, ...]:
    """The identity values of a record of this kind."""
    keys = identity_keys(kind)
    return (record.get(keys[0]),) if len(keys) == 1 else tuple(record.get(key) for key in keys)


def has_records(form: Any) -> bool:
    """Whether a file of this format has records one to a line; a file that names none is of the newest."""
    return type(form) is not int or not 0 < form < RECORDS_SINCE


def by_kind(data: Mapping[str, Any]) -> dict[str, Any]:
    """The data of a file with each kind under its own name, wherever it stands; as they are where that is so already.

    Records in blocks of their own come behind those of one line. What cannot be brought together stays in `[records]`, as
    keys of one's own do.
    """
    held = data.get(RECORDS)
    if not isinstance(held, dict):
        return dict(data)
    rest, found = dict(held), {key: value for key, value in data.items() if key != RECORDS}
    for kind, (_, key) in IN_RECORDS.items():
        if key in rest and (
            kind not in found or (isinstance(rest[key], list) and isinstance(found[kind], list))
        ):
            lines = rest.pop(key)
            found[kind] = [*lines, *found[kind]] if kind in found else lines
            if found[kind] == []:
                del found[kind]
    if rest:
        found[RECORDS] = rest
    return found
