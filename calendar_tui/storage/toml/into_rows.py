"""Records in blocks of their own, `[[task]]`, turned into lines of the list in `[records]`, with their comments above them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from calendar_tui.season.edits import Data
from calendar_tui.season.kinds import FIRST_KEYS, IN_RECORDS, RECORDS
from calendar_tui.storage.toml.lines import Block, Lines, comments_in, locate
from calendar_tui.storage.toml.rendering import key_text, toml_value
from calendar_tui.storage.toml.rewriting import comment_top, content_end, keys_end
from calendar_tui.storage.toml.rows import INDENT


def into_rows(text: str, data: Data) -> str:
    """The text with the records that stand one to a line since format 3 in such lines, in the order of their dates.

    data: what the text says. The comments above a record, behind its keys and between them stand above its line; blank lines
    between the records go. A list that is there already, and records in a list at the top, are left as they are.
    """
    lines = locate(text)
    gone: set[int] = set()
    lists: dict[str, list[str]] = {}
    for kind, place in IN_RECORDS.items():
        if not lines.under((kind, 0)) or lines.in_file((kind,)) != (kind,):
            continue
        rows = []
        for n, record in enumerate(data[kind]):
            blocks = lines.under((kind, n))
            span = _span(lines, blocks, kind)
            gone.update(span)
            rows.append((str(record.get(FIRST_KEYS[-1], "")), _rows(lines, blocks, record, span)))
        lists[place[1]] = [row for _, of_record in sorted(rows, key=lambda r: r[0]) for row in of_record]
    return _joined(lines, gone, lists) if lists else text


def _span(lines: Lines, blocks: Sequence[Block], kind: str) -> range:
    """The lines of a record's blocks, what stands between it and one of its kind before it, and blank lines below."""
    before = lines.blocks[blocks[0].number - 1]
    top = content_end(lines, before) if before.path[:1] == (kind,) else comment_top(lines, blocks[0].number)
    end = content_end(lines, blocks[-1])
    while end < len(lines.pieces) - 1 and not lines.pieces[end].strip():
        end += 1
    return range(top, end)


def _rows(lines: Lines, blocks: Sequence[Block], record: Mapping[str, Any], span: range) -> list[str]:
    """A record's line, with the comments of its lines above."""
    pairs = dict(_pairs(lines, blocks, record))
    first = [key for key in FIRST_KEYS if key in pairs]
    fields = ", ".join(pairs[key] for key in dict.fromkeys([*first, *pairs]))
    comments = comments_in("\n".join(lines.pieces[span.start : span.stop]))
    return [*(INDENT + comment for comment in comments), f"{INDENT}{{ {fields} }},"]


def _pairs(lines: Lines, blocks: Sequence[Block], record: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Each key of a record with its text: as it is written, where that is one line of one block."""
    written = {
        str(entry.parts[0]): lines.text[entry.start : entry.end]
        for entry in (lines.entries(blocks[0]) if len(blocks) == 1 else ())
        if len(entry.parts) == 1 and "\n" not in lines.text[entry.start : entry.end]
    }
    for key, value in record.items():
        yield key, written.get(key) or f"{key_text((key,))} = {toml_value(value)}"


def _joined(lines: Lines, gone: set[int], lists: Mapping[str, Sequence[str]]) -> str:
    """The text without the lines that go, and with the lists in `[records]`, at its end where it has no such table."""
    eol = "\r" if lines.pieces[0].endswith("\r") else ""
    kept = [piece for n, piece in enumerate(lines.pieces) if n not in gone]
    rest = locate("\n".join(kept))
    fresh = [text for key, rows in lists.items() for text in (f"{key_text((key,))} = [", *rows, "]")]
    header = next((block for block in rest.under((RECORDS,)) if block.path == (RECORDS,)), None)
    if header is not None:
        at = keys_end(rest, header)
        return "\n".join([*kept[:at], *(text + eol for text in fresh), *kept[at:]])
    while kept and not kept[-1].strip():
        kept.pop()
    if kept and eol and not kept[-1].endswith(eol):
        kept[-1] += eol
    return "\n".join([*kept, *(text + eol for text in ("", f"[{RECORDS}]", *fresh)), ""])
