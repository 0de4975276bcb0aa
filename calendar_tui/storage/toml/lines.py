"""Where things stand in TOML text: tables, records, keys, and the lines and offsets they take.

A scanner over lines, not a reader of values: it assumes the text has been read by tomli already, and on other
text finds what it can and never fails. Offsets are in characters from the start of the text; lines count from 0
inside this package and from 1 in `Lines.line`.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import accumulate, count
from operator import add
from typing import NamedTuple

import tomli

from calendar_tui.season.kinds import IN_RECORDS, has_records
from calendar_tui.storage.toml.row_lines import RECORD, TO_LINE_END

Path = tuple[str | int, ...]

_STRINGS = (
    r'"""(?:[^"\\]++|\\.|"(?!""))*+"{3,5}'
    r"|'''(?:[^']++|'(?!''))*+'{3,5}"
    r'|"(?:[^"\\\n]++|\\.)*+"'
    r"|'[^'\n]*+'"
)
_STRING = re.compile(_STRINGS, re.DOTALL)
_MARK = re.compile(rf"{_STRINGS}|\#[^\n]*+|[\[\]{{}}]", re.DOTALL)
_DEEPEST = 4  # of arrays and tables in one another that are passed over at once; deeper ones are counted out


def _nested(depth: int) -> str:
    """What stands between two brackets: strings, comments, and so many brackets in one another."""
    inner = rf"|[\[{{]{_nested(depth - 1)}[\]}}]" if depth else ""
    return rf"""(?:[^\[\]{{}}"'\#]++|{_STRINGS}|\#[^\n]*+{inner})*+"""


_CLOSED = re.compile(rf"[\[{{]{_nested(_DEEPEST)}[\]}}]", re.DOTALL)
_BARE_VALUE = re.compile(r"[^,\]}#\n]*+")
# A key with a list of plain texts that ends on its line: of all that may go on below, by far the most.
_ONE_LINE = re.compile(
    r'[ \t]*+[\w.-]++[ \t]*+=[ \t]*+\[(?:[ \t]*+"[^"\\\[\]{}\n]*+"[ \t]*+,?)*+[ \t]*+\][ \t]*+\r?'
)
_ROW = re.compile(rf"[ \t]*+({RECORD}){TO_LINE_END}")
_SPACE = re.compile(r"[ \t]*+")
_GAP = re.compile(r"(?:[ \t\r\n]++|#[^\n]*+)*+")
_COMMA = re.compile(rf"{_GAP.pattern},?{_GAP.pattern}")
_KEY_PART = re.compile(r'[ \t]*+(?:([A-Za-z0-9_-]++)|("(?:[^"\\\n]++|\\.)*+")|\'([^\'\n]*+)\')[ \t]*+')


class TextEntry(NamedTuple):
    """A key and its value: the key's parts (the position for a member of an array) and the offsets where the key
    starts, where the value starts and where the value ends.
    """

    parts: Path
    start: int
    value: int
    end: int


class Block(NamedTuple):
    """The lines from a table's header to the next header: [header, end), lines from 0.

    The keys before the first header are a block of path () whose header is -1.
    """

    path: Path
    number: int
    header: int
    end: int


@dataclass(slots=True)
class Lines:
    """A located text. starts: the offset of each line; pieces: the lines without their "\\n"."""

    text: str
    pieces: list[str]
    starts: list[int]
    blocks: list[Block] = field(default_factory=list)
    _by_path: dict[Path, Block] = field(default_factory=dict)
    _by_record: dict[Path, list[Block]] = field(default_factory=dict)
    _entries: dict[int, list[TextEntry]] = field(default_factory=dict)
    _members: dict[int, list[TextEntry]] = field(default_factory=dict)
    # Where a value that may go on below ends, by where it starts: the long lists are gone through once.
    _ends: dict[int, int] = field(default_factory=dict)

    def line_at(self, offset: int) -> int:
        """The line, from 0, in which an offset lies."""
        return bisect_right(self.starts, offset) - 1

    def line(self, path: Path) -> int | None:
        """The line, from 1, of a path such as ("cohort", 3, "planned", "transplant").

        For a path that is not there, the line of the nearest table or record that would hold it; None if there is
        no such table either.
        """
        place = self.place(path)
        return None if place is None else place[0]

    def place(self, path: Path) -> tuple[int, int] | None:
        """The line of a path, as `line` gives it, and the column, from 1 in characters, where its key or header starts."""
        path = self.in_file(path)
        block, way, rest = self.trail(path)
        entries = self.members(way[-1].value) if way else self.entries(block)
        near = next((e for e in entries if rest and e.parts[: len(rest)] == rest), None)
        if near or way:
            return self._at((near or way[-1]).start)
        if rest and not block.path:
            block = next((b for b in self.blocks if b.path[: len(path)] == path), block)
        if block.header < 0:
            return None
        piece = self.pieces[block.header]
        return block.header + 1, len(piece) - len(piece.lstrip(" \t")) + 1

    def _at(self, offset: int) -> tuple[int, int]:
        line = self.line_at(offset)
        return line + 1, offset - self.starts[line] + 1

    def value_around(self, line: int) -> int | None:
        """The line, from 1, of the key whose value covers a line, from 1; None outside of values."""
        block = max((b for b in self.blocks if b.header < line), key=lambda b: b.header)
        key = next((e for e in reversed(self.entries(block)) if self.line_at(e.start) < line), None)
        return self.line_at(key.start) + 1 if key and self.line_at(key.end) >= line - 1 else None

    def under(self, path: Path) -> list[Block]:
        """The blocks of the table or record at a path and of all tables in it, in their order in the text."""
        return [b for b in self._by_record.get(_record(path), ()) if b.path[: len(path)] == path]

    def entries(self, block: Block) -> list[TextEntry]:
        """The keys that stand in a block itself."""
        there = self._entries.get(block.number)
        if there is None:
            stop = self.starts[block.end] if block.end < len(self.starts) else len(self.text)
            there = list(
                _statements(self.text, self.starts[block.header + 1 : block.header + 2], stop, self._ends)
            )
            self._entries[block.number] = there
        return there

    def members(self, opening: int) -> list[TextEntry]:
        """The members of the array or inline table that opens at an offset."""
        if opening not in self._members:
            self._members[opening] = members(self.text, opening)
        return self._members[opening]

    def pass_over(self, value: int) -> int:
        """Where the value that starts at an offset ends; what is in a list is known from then on."""
        end = None
        if self.text.startswith("[", value):
            self._members[value], end = _members(self.text, value)
        self._ends[value] = _value_end(self.text, value) if end is None else end
        return self._ends[value]

    def in_file(self, path: Path) -> Path:
        """Where the text has what the data have at a path: records that stand one to a line are in a table of theirs."""
        place = IN_RECORDS.get(str(path[0])) if path else None
        listed = self._listed(place) if place else None
        if place is None or listed is None:
            return path
        if len(path) == 1:
            return place
        n, *inside = path[1:]
        if (
            isinstance(n, int) and n >= listed
        ):  # in a block of its own, of which the first comes behind those listed
            return path[0], n - listed, *inside
        return *place, n, *inside

    def _listed(self, place: Path) -> int | None:
        """How many records stand in `[records]` under a place; None where no list is there."""
        _, way, rest = self.trail(place)
        if way and not rest:
            return len(self.members(way[-1].value)) if self.text[way[-1].value] == "[" else None
        at = [b.path[2] for b in self.under(place) if len(b.path) > 2]
        return max(i for i in at if isinstance(i, int)) + 1 if at else None

    @property
    def has_records(self) -> bool:
        """Whether records stand one to a line in a file of this form."""
        _, way, rest = self.trail(("format",))
        written = self.text[way[-1].value : way[-1].end] if way and not rest else ""
        return has_records(
            int(written) if written.isascii() and written.isdigit() and len(written) < 10 else None
        )

    def trail(self, path: Path) -> tuple[Block, list[TextEntry], Path]:
        """The block that holds a path, the entries that lead to it from there, and the part not found."""
        depth = next(n for n in range(len(path), -1, -1) if path[:n] in self._by_path)
        block, rest = self._by_path[path[:depth]], path[depth:]
        entries = self.entries(block)
        way: list[TextEntry] = []
        while rest:
            if isinstance(rest[0], int):
                entry = (
                    entries[rest[0]]
                    if rest[0] < len(entries) and entries[rest[0]].parts == rest[:1]
                    else None
                )
            else:
                entry = next((e for e in entries if e.parts == rest[: len(e.parts)]), None)
            if entry is None:
                break
            way.append(entry)
            rest = rest[len(entry.parts) :]
            entries = self.members(entry.value)
        return block, way, rest

    def _add(self, path: Path, header: int, end: int) -> None:
        block = Block(path, len(self.blocks), header, end)
        self.blocks.append(block)
        self._by_path.setdefault(path, block)
        self._by_record.setdefault(_record(path), []).append(block)


def locate(text: str) -> Lines:
    """Find the tables and records of TOML text; their keys are looked up when they are asked for."""
    pieces = text.split("\n")
    starts = list(map(add, accumulate(map(len, pieces[:-1]), initial=0), count()))
    lines = Lines(text, pieces, starts)
    path: Path = ()
    header = -1
    known: dict[str, tuple[Path, bool]] = {}
    counts: dict[Path, int] = {}
    for i in _header_lines(lines):
        lines._add(path, header, i)
        piece = pieces[i]
        if piece not in known:
            known[piece] = _header(piece)
        path = _resolved(*known[piece], counts)
        header = i
    lines._add(path, header, len(pieces))
    return lines


def _header_lines(lines: Lines) -> Iterator[int]:
    """The lines, from 0, that hold a header, passing over the insides of strings and arrays of several lines."""
    pieces, text = lines.pieces, lines.text
    has_long = '"""' in text or "'''" in text
    i = 0
    while i < len(pieces):
        piece = pieces[i]
        # Nothing else can begin a header or a value of several lines.
        if "[" in piece or "{" in piece or (has_long and ('"""' in piece or "'''" in piece)):
            begins = piece.lstrip(" \t")[:1]
            if begins == "[":
                yield i
            elif begins != "#" and not _ONE_LINE.fullmatch(piece):
                parts, after = _key(text, lines.starts[i])
                if parts and text[after : after + 1] == "=":
                    value = _end(_SPACE, text, after + 1)
                    i = lines.line_at(lines.pass_over(value))
        i += 1


def _header(piece: str) -> tuple[Path, bool]:
    start = piece.index("[") + 1
    is_array = piece[start : start + 1] == "["
    return _key(piece, start + is_array)[0], is_array


def _resolved(parts: Path, is_array: bool, counts: dict[Path, int]) -> Path:
    """The path of a header, with the position of each record on the way; counts the records seen so far."""
    if is_array and len(parts) == 1:  # as most are
        counts[parts] = counts.get(parts, -1) + 1
        return (parts[0], counts[parts])
    path: Path = ()
    for n, part in enumerate(parts, 1):
        path += (part,)
        if is_array and n == len(parts):
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path += (counts[path],)
    return path


def _record(path: Path) -> Path:
    """The start of a path that names the record or the single table it lies in."""
    return path[:2] if len(path) > 1 and isinstance(path[1], int) else path[:1]


def _end(pattern: re.Pattern[str], text: str, pos: int) -> int:
    """Where a pattern that also matches nothing ends."""
    match = pattern.match(text, pos)
    return match.end() if match else pos


def _key(text: str, pos: int) -> tuple[Path, int]:
    """The parts of a key, dotted or not, that starts here, and where it ends; no parts if it is not a key."""
    parts: list[str] = []
    while match := _KEY_PART.match(text, pos):
        bare, quoted, literal = match.groups()
        if quoted is not None:
            bare = _unquoted(quoted)
        parts.append(literal if bare is None else bare)
        pos = match.end()
        if text[pos : pos + 1] != ".":
            return tuple(parts), pos
        pos += 1
    return (), pos


def _unquoted(quoted: str) -> str:
    if "\\" not in quoted:
        return quoted[1:-1]
    try:
        return str(tomli.loads(f"k = {quoted}")["k"])
    except tomli.TOMLDecodeError:
        # Not TOML: the key can be found as it is written.
        return quoted[1:-1]


def _value_end(text: str, pos: int) -> int:
    first = text[pos : pos + 1]
    if first in ("[", "{"):
        return closing(text, pos)
    if first in ('"', "'"):
        match = _STRING.match(text, pos)
        # Three quotes of which only two make a string are a string of several lines that does not end.
        if match is None or (len(match[0]) == 2 and text.startswith(first * 3, pos)):
            return len(text)
        return match.end()
    end = _end(_BARE_VALUE, text, pos)
    return pos + len(text[pos:end].rstrip())


def closing(text: str, pos: int) -> int:
    """The end of the array or inline table that opens here."""
    if whole := _CLOSED.match(text, pos):
        return whole.end()
    depth = 0
    for mark in _MARK.finditer(text, pos):
        if mark[0] in ("[", "{"):
            depth += 1
        elif mark[0] in ("]", "}"):
            depth -= 1
            if not depth:
                return mark.end()
    return len(text)


def comments_in(text: str) -> list[str]:
    """The comments of whole lines of TOML, from # to the end of the line; a # in text is none."""
    return [mark[0].rstrip() for mark in _MARK.finditer(text) if mark[0].startswith("#")]


def _statements(text: str, first: list[int], stop: int, ends: Mapping[int, int]) -> Iterator[TextEntry]:
    """The entries from the first offset, if there is one, up to `stop`; ends: of values, where they are known."""
    pos = first[0] if first else stop
    while (pos := _end(_GAP, text, pos)) < stop:
        parts, after = _key(text, pos)
        if not parts or text[after : after + 1] != "=":
            newline = text.find("\n", pos)
            pos = newline if newline >= 0 else stop
            continue
        value = _end(_SPACE, text, after + 1)
        end = ends.get(value) or _value_end(text, value)
        yield TextEntry(parts, pos, value, end)
        pos = end


def members(text: str, opening: int) -> list[TextEntry]:
    """The members of the array or inline table that opens at an offset; none for another value."""
    return _members(text, opening)[0]


def _members(text: str, opening: int) -> tuple[list[TextEntry], int | None]:
    """The members of an array or inline table, and where it ends; None where that was not reached."""
    found: list[TextEntry] = []
    is_table = text[opening : opening + 1] == "{"
    if not is_table and text[opening : opening + 1] != "[":
        return found, None
    pos = opening + 1
    while True:
        if not is_table and (row := _ROW.match(text, pos)):
            start, end = row.span(1)
            found.append(TextEntry((len(found),), start, start, end))
            pos = row.end()
            continue
        pos = _end(_GAP, text, pos)
        if text[pos : pos + 1] in ("", "]", "}"):
            return found, pos + 1 if text.startswith("}" if is_table else "]", pos) else None
        parts: Path = (len(found),)
        value = pos
        if is_table:
            parts, after = _key(text, pos)
            value = _end(_SPACE, text, after + 1)
        end = _value_end(text, value)
        if end <= pos or not parts:
            return found, None
        found.append(TextEntry(parts, pos, value, end))
        pos = _end(_COMMA, text, end)
