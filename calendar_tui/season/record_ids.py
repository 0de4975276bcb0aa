"""Ids that the program made in two copies of a season: that both took the next free number makes two records none."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from calendar_tui.season.edits import Data
from calendar_tui.season.kinds import KINDS
from calendar_tui.season.naming import next_names
from calendar_tui.season.sameness import same

_NUMBERED = tuple(kind.name for kind in KINDS if kind.numbered)


class Renamed(NamedTuple):
    """A record of theirs whose id another record of ours has."""

    kind: str
    old: str
    new: str


def aligned_records(base: Data, ours: Data, theirs: Data) -> tuple[Data, tuple[Renamed, ...]]:
    """Theirs with another id for each record that it numbered as ours numbered another, and which these are.

    One that ours has in the same words under another id, as after an earlier merge, gets that id and is not among them.
    """
    renamed: list[Renamed] = []
    for kind in _NUMBERED:
        was, mine, other = (_by_id(kind, data) for data in (base, ours, theirs))
        names = dict(_new_names(was, mine, other))
        if names:
            records = [{**record, "id": names.get(record["id"], record["id"])} for record in theirs[kind]]
            theirs = {**theirs, kind: records}
            renamed += (Renamed(kind, old, new) for old, new in names.items() if new not in mine)
    return theirs, tuple(renamed)


_ById = Mapping[str, Mapping[str, Any]]


def _by_id(kind: str, data: Data) -> _ById:
    """The records of a kind by id; none where they cannot be told apart."""
    records = data.get(kind, ())
    if not isinstance(records, (list, tuple)) or not all(
        isinstance(record, dict) and type(record.get("id")) is str for record in records
    ):
        return {}
    by_id = {record["id"]: record for record in records}
    return by_id if len(by_id) == len(records) else {}


def _new_names(base: _ById, ours: _ById, theirs: _ById) -> Iterator[tuple[str, str]]:
    """The ids of theirs that change, each with its new one."""
    taken = {*base, *ours, *theirs}
    for name, record in theirs.items():
        if name in base or name not in ours or same(record, ours[name]):
            continue
        alike = (own for own, held in ours.items() if own not in theirs and same(held, {**record, "id": own}))
        new = next(alike, "") or next_names(name, taken)[0]
        taken.add(new)
        yield name, new
