"""Where a season names a record: what follows when it is renamed, and what stands on it when it is to be taken out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from calendar_tui.season.contrasts import with_level
from calendar_tui.season.edits import Data, Edit
from calendar_tui.season.kinds import BY_NAME, Naming, identity

_ROW_KEY = "place"


class Reference(NamedTuple):
    """A record that names another, and where. value: of that key, as the data have it."""

    naming: Naming
    ident: tuple[Any, ...]
    value: Any


def references(data: Data, kind: str, name: str) -> Iterator[Reference]:
    """Every record that names this one, in the order of the data."""
    for naming in BY_NAME[kind].named_in:
        for record in data.get(naming.kind, ()):
            value = _at(record, naming.path)
            if value is not None and _anew(value, name, "") != value:
                yield Reference(naming, identity(naming.kind, record), value)


def renaming_edits(data: Data, kind: str, old: str, new: str) -> Iterator[Edit]:
    """The edits that rename a record and all that names it."""
    yield Edit("set", kind, (old,), ("id",), new)
    for ref in references(data, kind, old):
        yield Edit("set", ref.naming.kind, ref.ident, ref.naming.path, _anew(ref.value, old, new))
    yield from _contrasts_anew(data, kind, old, new)
    for table, key in BY_NAME[kind].counted_in:
        counts = data.get(table, {}).get(key, {})
        if old in counts:
            yield Edit("unset", table, (), (key, old))
            yield Edit("set", table, (), (key, new), counts[old])


def _contrasts_anew(data: Data, kind: str, old: str, new: str) -> Iterator[Edit]:
    """The edits that rename a record in the contrasts of the factor that is called as its kind."""
    for trial in data.get("trial", ()):
        texts = _at(trial, ("contrasts", kind)) or ()
        renamed = [with_level(text, old, new) for text in texts]
        if renamed != list(texts):
            yield Edit("set", "trial", identity("trial", trial), ("contrasts", kind), renamed)


def counting_edits(data: Data, kind: str, name: str) -> Iterator[Edit]:
    """The edits that take a record out of the tables that have a value for it."""
    for table, key in BY_NAME[kind].counted_in:
        if name in data.get(table, {}).get(key, {}):
            yield Edit("unset", table, (), (key, name))


def _at(record: Any, path: tuple[str, ...]) -> Any:
    """What stands at a path of a record; None where nothing does."""
    for key in path:
        record = record.get(key) if isinstance(record, dict) else None
    return record


def _anew(value: Any, old: str, new: str) -> Any:
    """A value with one name in place of another: a name, a place with its part, a list of names or of tables with a place, a table of lists."""
    if isinstance(value, str):
        whole, gap, part = value.partition(" ")
        return f"{new}{gap}{part}" if whole == old else value
    if isinstance(value, list):
        return [_anew(part, old, new) for part in value]
    if isinstance(value, dict) and _ROW_KEY in value:
        return {**value, _ROW_KEY: _anew(value[_ROW_KEY], old, new)}
    if isinstance(value, dict) and all(isinstance(part, list) for part in value.values()):
        return {key: _anew(part, old, new) for key, part in value.items()}
    return value
