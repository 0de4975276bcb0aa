"""Records that stand in one list, each on a line of its own: lines that go, lines that come, everything else as it is."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import takewhile
from typing import Any, NamedTuple

from calendar_tui.season.kinds import FIRST_KEYS
from calendar_tui.storage.toml.lines import Lines, TextEntry, closing
from calendar_tui.storage.toml.rendering import toml_value
from calendar_tui.storage.toml.splices import Patch

INDENT = "  "
_TO_COMMA = re.compile(r"(?:[ \t\r\n]++|#[^\n]*+)*+,")
_NO_MORE = re.compile(r"[ \t]*+(?:#[^\n]*+)?\r?(?=\n|\Z)")


class RecordRow(NamedTuple):
    """A record in a list: where it starts and ends, its comma or None, and its lines, from 0, where it has them alone."""

    start: int
    end: int
    comma: int | None
    lines: range | None

    @property
    def whole(self) -> int:
        """Where the record ends with its comma."""
        return self.end if self.comma is None else self.comma + 1


@dataclass(slots=True)
class Rows:
    """A located list, and what is to happen to it. gone: positions; fresh: by the position that they go behind, -1 for
    the front.
    """

    lines: Lines
    opening: int
    entries: list[TextEntry]
    gone: set[int] = field(default_factory=set)
    fresh: dict[int, list[str]] = field(default_factory=dict)

    def row(self, i: int) -> RecordRow:
        """The row at a position: of thousands, few are asked for."""
        return _row(self.lines, self.entries[i])

    def alone(self) -> Iterator[range]:
        """The lines of the rows that have theirs alone, in turn."""
        rows = (_row(self.lines, entry) for entry in self.entries)
        return (row.lines for row in rows if row.lines)


def rows_at(lines: Lines, opening: int) -> Rows:
    """The rows of the list that opens at an offset."""
    return Rows(lines, opening, lines.members(opening))


def _row(lines: Lines, entry: TextEntry) -> RecordRow:
    comma_after = _TO_COMMA.match(lines.text, entry.end)
    comma = comma_after.end() - 1 if comma_after else None
    first, last = lines.line_at(entry.start), lines.line_at(entry.end if comma is None else comma)
    before = lines.text[lines.starts[first] : entry.start]
    alone = not before.strip() and _ends_line(lines.text, entry.end if comma is None else comma + 1)
    return RecordRow(entry.start, entry.end, comma, range(first, last + 1) if alone else None)


def _ends_line(text: str, at: int) -> bool:
    return _NO_MORE.match(text, at) is not None


def row_text(record: Mapping[str, Any]) -> str:
    """A record on one line, what names and dates it first."""
    first = {key: record[key] for key in FIRST_KEYS if key in record}
    return toml_value({**first, **record})


def row_line(record: Mapping[str, Any]) -> str:
    """A record as a line of a list."""
    return f"{INDENT}{row_text(record)},"


def put_by_date(rows: Rows, dated: Sequence[Any], fresh: Iterable[Mapping[str, Any]]) -> None:
    """Put new records behind the last that is not later. dated: the dates of the rows; what is none stands nowhere."""
    kept = [(i, on) for i, on in enumerate(dated) if i not in rows.gone and isinstance(on, date)]
    last = next((i for i in range(len(rows.entries) - 1, -1, -1) if i not in rows.gone), -1)
    key = FIRST_KEYS[-1]
    days = [record for record in fresh if isinstance(record.get(key), date)]
    for record in sorted(days, key=lambda record: str(record[key])):
        behind = next((i for i, on in reversed(kept) if str(on) <= str(record[key])), -1 if kept else last)
        rows.fresh.setdefault(behind, []).append(row_text(record))
    for record in fresh:
        if not isinstance(record.get(key), date):
            rows.fresh.setdefault(last, []).append(row_text(record))


def row_patches(rows: Rows, gone_lines: set[int]) -> Iterator[Patch]:
    """The patches that take rows away and put rows in. gone_lines: takes the lines, from 0, that go as a whole."""
    for i in sorted(rows.gone):
        row = rows.row(i)
        if row.lines is None:
            yield _taken(rows, i)
        else:
            gone_lines.update(range(_comment_top(rows, i), row.lines.stop))
    for behind, texts in rows.fresh.items():
        yield from _put(rows, behind, texts)


def _comment_top(rows: Rows, i: int) -> int:
    """The first line of the comment right above a row; that above the first may be a heading for all, and stays."""
    lines = rows.row(i).lines
    if lines is None or i == 0:
        return lines.start if lines else 0
    floor = rows.lines.line_at(rows.row(i - 1).whole) + 1
    above = (n for n in range(lines.start - 1, floor - 1, -1))
    return lines.start - sum(
        1 for _ in takewhile(lambda n: rows.lines.pieces[n].lstrip().startswith("#"), above)
    )


def _taken(rows: Rows, i: int) -> Patch:
    """What takes a row away that shares its line, with the comma behind it, or else that before it."""
    row = rows.row(i)
    if row.comma is not None:
        following = rows.row(i + 1).start if i + 1 < len(rows.entries) else row.whole
        gap = rows.lines.text[row.whole : following]
        return Patch(row.start, following if not gap.strip(" \t") else row.whole, "")
    before = rows.row(i - 1).comma if i and i - 1 not in rows.gone else None
    return Patch(row.start if before is None else before, row.end, "")


def _put(rows: Rows, behind: int, texts: list[str]) -> Iterator[Patch]:
    lines, text = rows.lines, rows.lines.text
    end = closing(text, rows.opening) - 1
    row = rows.row(behind) if behind >= 0 else None
    at = row.whole if row else rows.opening + 1
    if row and row.comma is None:
        yield Patch(row.end, row.end, ",")
    first = rows.row(0) if rows.entries else None
    if row is None and first and first.lines:  # below a heading of all
        yield _below(rows, first.lines.start - 1, texts)
    elif row is None and first is None and lines.line_at(end) > lines.line_at(at):
        closes = lines.line_at(end)
        if text[lines.starts[closes] : end].strip():
            yield Patch(end, end, f"{', '.join(texts)}")
        else:
            yield _below(rows, closes - 1, texts)
    elif row is None and first is None:
        eol = "\r\n" if lines.pieces[0].endswith("\r") else "\n"
        yield Patch(at, end, "".join(f"{eol}{INDENT}{new}," for new in texts) + eol)
    elif _ends_line(text, at):
        yield _below(rows, lines.line_at(at), texts)
    elif first and row is None:
        yield Patch(first.start, first.start, "".join(f"{new}, " for new in texts))
    else:
        yield Patch(at, at, "".join(f" {new}," for new in texts))


def _below(rows: Rows, line: int, texts: list[str]) -> Patch:
    """New lines below a line, with the indent and the line ending used there."""
    lines = rows.lines
    near = next((there.start for there in rows.alone()), None)
    piece = lines.pieces[near] if near is not None else INDENT
    indent = piece[: len(piece) - len(piece.lstrip(" \t"))]
    returns = lines.pieces[line].endswith("\r")
    at = lines.starts[line] + len(lines.pieces[line]) - returns
    return Patch(at, at, "".join(f"{chr(13) if returns else ''}\n{indent}{new}," for new in texts))
