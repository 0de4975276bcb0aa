"""A text being edited: differences between two states of a table, written where the text has that table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from calendar_tui.season.kinds import FIRST_KEYS, IN_RECORDS, RECORDS
from calendar_tui.season.sameness import same
from calendar_tui.storage.problems import StorageError
from calendar_tui.storage.toml.lines import Block, Lines, Path, TextEntry, closing, members
from calendar_tui.storage.toml.rendering import entry_text, key_text, record_lines, toml_value
from calendar_tui.storage.toml.rows import Rows, put_by_date, row_line, row_patches, rows_at
from calendar_tui.storage.toml.splices import Patch

MISSING = object()


@dataclass(slots=True)
class TableHolder:
    """A block, or the inline table that opens at `opening`, whose keys come and go.

    keys: what stands in it now; dropped: positions in keys; fresh: keys and values to come.
    """

    keys: list[TextEntry]
    header: int
    opening: int | None
    dropped: set[int] = field(default_factory=set)
    fresh: list[tuple[Path, Any]] = field(default_factory=list)


@dataclass(slots=True)
class Rewrite:
    """What is to happen to a text: patches within lines, lines (from 0) that go, keys that come and go, rows of lists.

    lists: the lines of new lists for which the text has no table of records yet.
    """

    lines: Lines
    patches: list[Patch] = field(default_factory=list)
    gone: set[int] = field(default_factory=set)
    holders: dict[tuple[int, int | None], TableHolder] = field(default_factory=dict)
    rows: dict[int, Rows] = field(default_factory=dict)
    lists: list[str] = field(default_factory=list)


def rewrite(draft: Rewrite, old: Mapping[str, Any], new: Mapping[str, Any], path: Path) -> None:
    """Write what differs between two states of the table at a path."""
    named_anew = _renamed(draft, old, new, path)
    for where, value, was_there in _differences(old, new, path):
        if where in named_anew:
            continue
        _, way, rest = draft.lines.trail(where)
        if way and not rest and value is not MISSING:
            draft.patches.append(Patch(way[-1].value, way[-1].end, toml_value(value)))
            continue
        if was_there:
            _drop(draft, where)
        if value is not MISSING:
            block, way, rest = draft.lines.trail(where[:-1])
            _holder(draft, block, way).fresh.append((rest + where[-1:], value))


def take_record(draft: Rewrite, path: Path) -> None:
    """Take a record away, with the comment right above it.

    The comment above the first record of a kind is as likely a heading for all of them, so that one stays.
    Raises StorageError if the record has no header of its own, and is of no kind that stands one to a line.
    """
    rows = _list_of(draft, path)
    if rows is not None:
        rows.gone.add(int(path[-1]))
        return
    blocks = draft.lines.under(path)
    if not blocks:
        raise StorageError(f"{path[0]} is written as one list; write each record under [[{path[0]}]]")
    for block in blocks:
        _take_block(draft, block, with_comment=block is not blocks[0] or path[-1] != 0)


def _list_of(draft: Rewrite, path: Path) -> Rows | None:
    """The list with the record at a path of the file, where records of its kind stand one to a line."""
    if path[:2] not in IN_RECORDS.values():
        return None
    _, way, rest = draft.lines.trail(path[:2])
    if rest or not way or draft.lines.text[way[-1].value] != "[":
        return None
    opening = way[-1].value
    if opening not in draft.rows:
        draft.rows[opening] = rows_at(draft.lines, opening)
    return draft.rows[opening]


def put_rows(
    draft: Rewrite, kind: str, old: Sequence[Mapping[str, Any]], fresh: Sequence[Mapping[str, Any]]
) -> None:
    """Put new records among those of their kind that stand one to a line, by date. old: the records that are there."""
    place = IN_RECORDS[kind]
    rows = _list_of(draft, place)
    if rows is not None:
        put_by_date(rows, [record.get(FIRST_KEYS[-1]) for record in old[: len(rows.entries)]], fresh)
        return
    header = next((b for b in draft.lines.under(place[:1]) if b.path == place[:1]), None)
    dated = sorted(fresh, key=lambda record: str(record.get(FIRST_KEYS[-1], "")))
    texts = [f"{key_text(place[1:])} = [", *map(row_line, dated), "]"]
    if header is not None:
        _put_below(draft, keys_end(draft.lines, header) - 1, texts)
    else:
        draft.lists += texts


def append_tables(draft: Rewrite, header: str, tables: list[Any], after: Path) -> None:
    """Put new tables after the record at a path; where the path is (), before `[records]`, else at the end of the text.

    Raises StorageError if that record has no header of its own.
    """
    lines = draft.lines
    texts = [text for table in tables for text in ["", *record_lines(header, table)]]
    if after:
        blocks = lines.under(after)
        if not blocks:
            raise StorageError(f"{after[0]} is written as one list; write each record under [[{after[0]}]]")
        _put_at_end(draft, texts, content_end(lines, blocks[-1]))
    else:
        _put_at_end(draft, texts, _records_top(lines))


def _records_top(lines: Lines) -> int | None:
    """The first line of `[records]`, which stays the last table of a file, with the comment right above it; None without one."""
    blocks = lines.under((RECORDS,))
    return comment_top(lines, blocks[0].number) if blocks else None


def _put_at_end(draft: Rewrite, texts: list[str], end: int | None = None) -> None:
    """Put lines, the first of them blank, below the last line with text that stays, or the last such before line `end`."""
    pieces = draft.lines.pieces
    stop = len(pieces) if end is None else end
    line = next((i for i in range(stop - 1, -1, -1) if i not in draft.gone and pieces[i].strip()), None)
    if line is None:
        draft.patches.append(Patch(0, 0, "\n".join([*texts[1:], ""])))
    else:
        _put_below(draft, line, texts)


def settled(draft: Rewrite) -> list[Patch]:
    """All patches of the draft, its rows and the lines that go included."""
    if draft.lists:
        _put_at_end(draft, ["", f"[{RECORDS}]", *draft.lists])
    for rows in draft.rows.values():
        draft.patches += row_patches(rows, draft.gone)
    return draft.patches + list(_line_patches(draft))


def settle_keys(draft: Rewrite) -> None:
    """Turn the keys that come and go into patches and lines that go; close up the end of the text."""
    for holder in draft.holders.values():
        if holder.opening is None:
            _settle_block(draft, holder)
        else:
            draft.patches += _inline_patches(draft.lines.text, holder, holder.opening)
    pieces = draft.lines.pieces
    tail = []
    for i in range(len(pieces) - 1, -1, -1):
        if i not in draft.gone and pieces[i].strip():
            break
        tail.append(i)
    if not draft.gone.isdisjoint(tail):
        # The empty last piece is the newline at the end of the text.
        draft.gone.update(tail if pieces[-1] else tail[1:])


def _differences(
    old: Mapping[str, Any], new: Mapping[str, Any], path: Path
) -> Iterator[tuple[Path, Any, bool]]:
    """The paths that differ, each with its new value or MISSING, and whether it was there."""
    for key, was in old.items():
        value = new.get(key, MISSING)
        if isinstance(was, dict) and isinstance(value, dict) and value:
            yield from _differences(was, value, (*path, key))
        elif value is MISSING or not same(was, value):
            yield (*path, key), value, True
    for key, value in new.items():
        if key not in old:
            yield (*path, key), value, False


def _renamed(draft: Rewrite, old: Mapping[str, Any], new: Mapping[str, Any], path: Path) -> set[Path]:
    """Name the keys anew whose values stand under another name from now on: their place and comment stay.

    Gives the paths, old and new, that are written so.
    """
    done: set[Path] = set()
    for key, value in new.items():
        if isinstance(value, dict) and isinstance(old.get(key), dict):
            done |= _renamed(draft, old[key], value, (*path, key))
    fresh = [key for key in new if key not in old]
    for key in (key for key in old if key not in new and not isinstance(old[key], dict)):
        _, way, rest = draft.lines.trail((*path, key))
        name = next((name for name in fresh if same(old[key], new[name])), None)
        if name is None or not way or rest:
            continue
        draft.patches.append(_key_patch(draft.lines.text, way[-1], name))
        fresh.remove(name)
        done |= {(*path, key), (*path, name)}
    return done


def _key_patch(text: str, entry: TextEntry, name: str) -> Patch:
    """What puts another name in place of the last part of an entry's key."""
    written = text[entry.start : entry.value].rpartition("=")[0].rstrip(" \t")
    return Patch(entry.start, entry.start + len(written), key_text((*entry.parts[:-1], name)))


def _holder(draft: Rewrite, block: Block, way: list[TextEntry]) -> TableHolder:
    """The block, or the last of the inline tables that the entries lead through, as a holder of keys."""
    opening = way[-1].value if way else None
    text = draft.lines.text
    if opening is not None and text[opening] != "{":
        raise StorageError("a table is needed where another value stands", draft.lines.line_at(opening) + 1)
    place = (block.header, opening)
    if place not in draft.holders:
        keys = draft.lines.entries(block) if opening is None else members(text, opening)
        draft.holders[place] = TableHolder(keys, block.header, opening)
    return draft.holders[place]


def _drop(draft: Rewrite, path: Path) -> None:
    """Take away the value at a path, in whatever forms it stands."""
    block, way, rest = draft.lines.trail(path)
    if way and not rest:
        holder = _holder(draft, block, way[:-1])
        holder.dropped.add(holder.keys.index(way[-1]))
        return
    for inner in draft.lines.under(path):
        _take_block(draft, inner, with_comment=True)
    if rest:
        holder = _holder(draft, block, way)
        holder.dropped.update(i for i, key in enumerate(holder.keys) if key.parts[: len(rest)] == rest)


def _take_block(draft: Rewrite, block: Block, *, with_comment: bool) -> None:
    lines = draft.lines
    top = comment_top(lines, block.number) if with_comment else block.header
    end = content_end(lines, block)
    while end < len(lines.pieces) - 1 and not lines.pieces[end].strip():
        end += 1
    draft.gone.update(range(top, end))


def comment_top(lines: Lines, number: int) -> int:
    """The first line of the comment right above a block's header, or the header."""
    top = lines.blocks[number].header
    floor = keys_end(lines, lines.blocks[number - 1])
    while top > floor and lines.pieces[top - 1].lstrip().startswith("#"):
        top -= 1
    return top


def keys_end(lines: Lines, block: Block) -> int:
    """The line after the last key of a block, or after its header."""
    keys = lines.entries(block)
    return lines.line_at(keys[-1].end) + 1 if keys else block.header + 1


def content_end(lines: Lines, block: Block) -> int:
    """The line after the last key of a block and the comment right below it, unless that is the next header's."""
    end = keys_end(lines, block)
    last = block.number + 1 == len(lines.blocks)
    stop = len(lines.pieces) if last else comment_top(lines, block.number + 1)
    while end < stop and lines.pieces[end].lstrip().startswith("#"):
        end += 1
    return end


def _settle_block(draft: Rewrite, holder: TableHolder) -> None:
    lines = draft.lines
    for i in holder.dropped:
        key = holder.keys[i]
        draft.gone.update(range(lines.line_at(key.start), lines.line_at(key.end) + 1))
    kept = [key for i, key in enumerate(holder.keys) if i not in holder.dropped]
    for parts, value in holder.fresh:
        kin = [key for key in kept if key.parts[0] == parts[0]]
        above = kin[-1] if kin else kept[-1] if kept else None
        text = entry_text(parts, value)
        if above is not None:
            indent = lines.text[lines.starts[lines.line_at(above.start)] : above.start]
            _put_below(draft, lines.line_at(above.end), [indent + text])
        elif holder.header >= 0:
            _put_below(draft, holder.header, [text])
        else:
            raise StorageError(f"there is no place for {text}")


def _inline_patches(text: str, holder: TableHolder, opening: int) -> Iterator[Patch]:
    keys = holder.keys
    fresh = [entry_text(parts, value) for parts, value in holder.fresh]
    kept = [i for i in range(len(keys)) if i not in holder.dropped]
    if not kept:
        inner = f" {', '.join(fresh)} " if fresh else ""
        yield Patch(opening + 1, closing(text, opening) - 1, inner)
        return
    for i in sorted(holder.dropped):
        # The comma that goes with a key is the one before it, or the one after it at the front of the table.
        if i < kept[0]:
            yield Patch(keys[i].start, keys[i + 1].start, "")
        else:
            yield Patch(keys[i - 1].end, keys[i].end, "")
    if fresh:
        yield Patch(keys[-1].end, keys[-1].end, "".join(f", {entry}" for entry in fresh))


def _put_below(draft: Rewrite, line: int, texts: list[str]) -> None:
    """Insert lines below a line, with the line ending used there."""
    pieces = draft.lines.pieces
    has_return = pieces[line].endswith("\r")
    is_last = line == len(pieces) - 1
    eol = "\r\n" if has_return or (is_last and pieces[0].endswith("\r")) else "\n"
    at = draft.lines.starts[line] + len(pieces[line]) - has_return
    draft.patches.append(Patch(at, at, "".join(eol + text for text in texts)))


def _line_patches(draft: Rewrite) -> Iterator[Patch]:
    starts = [*draft.lines.starts, len(draft.lines.text)]
    gone = sorted(draft.gone)
    first = 0
    for i, line in enumerate(gone):
        if i + 1 == len(gone) or gone[i + 1] != line + 1:
            yield Patch(starts[gone[first]], starts[line + 1], "")
            first = i + 1
