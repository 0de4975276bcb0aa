"""Names in a season's data that this version does not know: slips of known ones, and others, which are kept and not read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from calendar_tui.season.fields import FIELDS, NAMED
from calendar_tui.season.kinds import IN_RECORDS, LISTED, OPTIONAL, RECORDS, SINGLE
from calendar_tui.season.problems import KeyPath, Problem
from calendar_tui.season.readers import near, shown
from calendar_tui.season.upgrades import RENAMED, upgraded

_KNOWN = ("format", *SINGLE, *OPTIONAL, *LISTED, RECORDS)
_LISTS = tuple(key for _, key in IN_RECORDS.values())


def unknown_tables(data: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """The names of the top level that are not known, each with the known one that is close, as `near` words it."""
    yield from ((key, near(key, _KNOWN)) for key in data if key not in _KNOWN)


def record_problems(data: Mapping[str, Any]) -> Iterator[Problem]:
    """What is wrong with the table of the records that stand one to a line, themselves aside."""
    held = data.get(RECORDS, {})
    if not isinstance(held, dict):
        yield Problem((RECORDS,), f"{RECORDS} must be written as [{RECORDS}], with single brackets")
        return
    for key in held:
        if key in _LISTS:
            right = f"write each record as a line {{ id = ... }}, of {key} = [ ... ] in [{RECORDS}]"
            yield Problem(
                (RECORDS, key), f"{key} stands in [{RECORDS}] and apart from it in two forms; {right}"
            )
        elif guess := near(key, _LISTS):
            yield Problem((RECORDS, key), f"{shown(key)} is not a key of [{RECORDS}]{guess}")


def unknown_keys(kind: str, record: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """The keys of a record of a kind that are not known, each with the close one of those that it lacks, or ""."""
    known = {f.key for f in FIELDS[kind]}
    if record.keys() <= known:
        return
    absent = [f.key for f in FIELDS[kind] if f.key not in record]
    renamed = RENAMED.get(kind, {})
    for key in record:
        if key not in known:
            yield key, near(renamed.get(key, key), absent)


def unread(data: Mapping[str, Any]) -> tuple[Problem, ...]:
    """What is kept and not read: every unknown name that is no slip of a known one, where it stands first."""
    data = upgraded(data)
    by_key: dict[tuple[str, str], list[KeyPath]] = {}
    for key, guess in unknown_tables(data):
        if not guess:
            by_key[("", key)] = [(key,)]
    held = data.get(RECORDS)
    for key in held if isinstance(held, dict) else ():
        if key not in _LISTS and not near(key, _LISTS):
            by_key[RECORDS, key] = [(RECORDS, key)]
    for kind, path, record in _records(data):
        for key, guess in unknown_keys(kind, record):
            if not guess:
                by_key.setdefault((kind, key), []).append((*path, key))
    return tuple(
        Problem(paths[0], _text(kind, key, data.get(key), len(paths)))
        for (kind, key), paths in by_key.items()
    )


def _text(kind: str, key: str, value: Any, count: int) -> str:
    also = f" (nor in {count - 1} more {kind} {'record' if count == 2 else 'records'})" if count > 1 else ""
    return f"{shown(key) if kind else _table(key, value)} is not read by this version; it is kept{also}"


def _table(key: str, value: Any) -> str:
    """How a table of the top level is written."""
    if isinstance(value, list):
        return f"[[{key}]]"
    return f"[{key}]" if isinstance(value, dict) else shown(key)


def _records(data: Mapping[str, Any]) -> Iterator[tuple[str, KeyPath, Mapping[str, Any]]]:
    """Every record, and every table of known keys in one, with its kind and its path."""
    for kind in (*SINGLE, *OPTIONAL, *LISTED):
        rows = data.get(kind)
        if kind in LISTED and isinstance(rows, list):
            for i, row in enumerate(rows):
                yield from _record(kind, (kind, i), row)
        elif kind not in LISTED:
            yield from _record(kind, (kind,), rows)


def _record(kind: str, path: KeyPath, record: Any) -> Iterator[tuple[str, KeyPath, Mapping[str, Any]]]:
    if isinstance(record, dict):
        yield kind, path, record
        for field in FIELDS[kind]:
            if field.read is None and field.table not in NAMED:
                yield from _record(field.table, (*path, field.key), record.get(field.key))
