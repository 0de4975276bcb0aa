"""From edits to splices: the fewest lines of a season file that say what the edits say.

The edits are carried out on the data first; what then differs in the records they name is written into the text where
the text has it, in the form the text has it in: a key on its own line, a dotted key, a key in an inline table, a
table with a header. The new text is read back and compared with the data before anyone gets to see it.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import takewhile
from operator import is_
from typing import Any

import tomli

from calendar_tui.season.edits import TOP, Data, Edit, Edited, outcome
from calendar_tui.season.kinds import IN_RECORDS, RECORDS, identity
from calendar_tui.season.sameness import same
from calendar_tui.storage.problems import StorageError
from calendar_tui.storage.toml.lines import Lines, Path, locate
from calendar_tui.storage.toml.read_back import read_back
from calendar_tui.storage.toml.rendering import key_text
from calendar_tui.storage.toml.rewriting import (
    Rewrite,
    append_tables,
    put_rows,
    rewrite,
    settle_keys,
    settled,
    take_record,
)
from calendar_tui.storage.toml.splices import Patch, Splice, apply_splices, splices_of


@dataclass(frozen=True, slots=True)
class Spliced:
    """A text after edits. back: the edits that take them back where the splices no longer fit."""

    text: str
    data: Data
    splices: list[Splice]
    edits: tuple[Edit, ...]
    back: tuple[Edit, ...]


def splices_for(text: str, data: Data, edits: Iterable[Edit]) -> list[Splice]:
    """The splices that carry out edits on a text; `data` is what tomli reads from it.

    Raises EditError where an edit does not fit the data, StorageError where the text cannot be spliced.
    """
    return spliced(text, data, edits).splices


def spliced(text: str, data: Data, edits: Iterable[Edit]) -> Spliced:
    """The text and the data with the edits carried out. Raises as `splices_for` does."""
    edits = tuple(edits)
    made = outcome(data, edits)
    if same(made.data, data):
        return Spliced(text, data, [], edits, made.back)
    lines = locate(text)
    try:
        splices = splices_of(lines, _patches(lines, data, made, edits))
        new = apply_splices(text, splices)
        # Whatever form a person's text has, it is the data read back that decides, not the rules by which it was spliced.
        read = read_back(new, text, data)
        added = {edit.kind for edit in edits if edit.op == "add"}
        meant = in_order_of(read, made.data, added.intersection(IN_RECORDS)) if added else made.data
        fits = same(read, meant)
    except tomli.TOMLDecodeError:
        fits = False
    except StorageError as error:
        at = error.line or _line_of(lines, data, edits[0])
        raise StorageError(f"{error.message}; edit the file by hand here", at) from error
    if not fits:
        at = _line_of(lines, data, edits[0])
        raise StorageError("this change cannot be written in the form used here; edit the file by hand", at)
    return Spliced(new, meant, splices, edits, made.back)


def in_order_of(read: Data, made: Data, kinds: Iterable[str] = IN_RECORDS) -> Data:
    """Data with the records of each kind that stands in order of date in the order in which they were read."""
    in_order = dict(made)
    for kind in kinds:
        both = [data.get(kind) for data in (read, made)]
        if not all(isinstance(rows, list) and all(isinstance(r, dict) for r in rows) for rows in both):
            continue
        # Above where a new record went, the two share their tables.
        first = sum(takewhile(bool, map(is_, read[kind], made[kind])))
        idents, own = ([identity(kind, record) for record in data[kind][first:]] for data in (read, made))
        if idents == own:
            continue
        names, there = list(map(repr, idents)), list(map(repr, own))
        if sorted(names) == sorted(there) and len(set(names)) == len(names):
            by_name = dict(zip(there, made[kind][first:], strict=True))
            in_order[kind] = [*made[kind][:first], *(by_name[name] for name in names)]
    return in_order


def _line_of(lines: Lines, data: Data, edit: Edit) -> int | None:
    return lines.line(path_of(data, edit.kind, edit.ident, edit.field))


def path_of(data: Data, kind: str, ident: tuple[Any, ...], field: tuple[str, ...]) -> Path:
    """Where a field that an edit names stands in the data; its kind alone if the record is not there."""
    if kind == TOP:
        return field
    if not ident:
        return (kind, *field)
    place = next((i for i, record in enumerate(data.get(kind, ())) if identity(kind, record) == ident), None)
    return (kind,) if place is None else (kind, place, *field)


def _patches(lines: Lines, data: Data, made: Edited, edits: Iterable[Edit]) -> list[Patch]:
    draft = Rewrite(lines)
    # What is there is rewritten first, while its lines are where `locate` found them; new records come last, as they go
    # behind the last record that stays, or to the end of the text.
    lists = {edit.kind: bool(edit.ident) for edit in edits if edit.kind != TOP}
    top = list(dict.fromkeys(edit.field[0] for edit in edits if edit.kind == TOP))
    for kind, is_list in lists.items():
        if is_list:
            _rewrite_records(draft, kind, data, made)
        elif kind in data or (kind == RECORDS and draft.lines.under((kind,))):
            rewrite(draft, data.get(kind, {}), made.data[kind], (kind,))
    tables = _rewrite_top(draft, data, made.data, top)
    settle_keys(draft)
    for kind, is_list in lists.items():
        if is_list:
            _append_records(draft, kind, data, made)
        elif kind not in data and not (kind == RECORDS and draft.lines.under((kind,))):
            append_tables(draft, f"[{key_text((kind,))}]", [made.data[kind]], ())
    for header, records in tables:
        append_tables(draft, header, records, ())
    return settled(draft)


def _rewrite_top(draft: Rewrite, old: Data, new: Data, keys: list[str]) -> list[tuple[str, list[Any]]]:
    """Write the keys at the top that differ; gives the headers and the tables that go to the end of the text."""
    tables: list[tuple[str, list[Any]]] = []
    for key in keys:
        value = new.get(key)
        if same(old.get(key), value):
            continue
        was_list = isinstance(old.get(key), list) and draft.lines.under((key, 0))
        if was_list:
            for place in range(len(old[key])):
                take_record(draft, (key, place))
        if isinstance(value, list) and value and all(isinstance(v, dict) for v in value):
            tables.append((f"[[{key_text((key,))}]]", value))
            value = None
        elif isinstance(value, dict) and key not in old:
            tables.append((f"[{key_text((key,))}]", [value]))
            value = None
        before = {} if was_list else {k: old[k] for k in (key,) if k in old}
        rewrite(draft, before, {} if value is None else {key: value}, ())
    return tables


def _rewrite_records(draft: Rewrite, kind: str, data: Data, made: Edited) -> None:
    removed = sorted(made.removed.get(kind, ()))
    for place in removed:
        take_record(draft, draft.lines.in_file((kind, place)))
    for place in sorted(made.touched.get(kind, ())):
        # The records removed before it have moved it up by so many.
        now = place - bisect_left(removed, place)
        rewrite(draft, data[kind][place], made.data[kind][now], draft.lines.in_file((kind, place)))


def _append_records(draft: Rewrite, kind: str, data: Data, made: Edited) -> None:
    """Put the new records of a kind after the last one that stays, or at the end of the text if none does.

    Those of a kind that stands one to a line go to their places by date.
    """
    removed = made.removed.get(kind, frozenset())
    before = len(data.get(kind, ()))
    fresh = made.data.get(kind, [])[before - len(removed) :]
    if not fresh:
        return
    if kind in IN_RECORDS and (draft.lines.has_records or draft.lines.in_file((kind,)) != (kind,)):
        put_rows(draft, kind, data.get(kind, ()), fresh)
        return
    if before == 0 and kind in data:
        raise StorageError(f"{kind} is written as one list; write each record under [[{kind}]]")
    last = next((i for i in range(before - 1, -1, -1) if i not in removed), None)
    append_tables(draft, f"[[{key_text((kind,))}]]", fresh, () if last is None else (kind, last))
